"""Laps and cover of mesh.

Source     NZ_MESH_LAPS; ACI_318_COVER; EN_1992_1_1 table 4.4N.
Page says  a lap of one pitch and 50 mm; cover of 1 1/2 in where exposed, of 3/4 in where not;
           EN, class S4: XC1 15 mm, XC4 30 mm, and 10 mm for deviations.
Status     page for the lap and ACI 318, from memory for EN and for the least lap of 150 mm.
Tolerance  exact: printed in whole millimetres and fractions of an inch.
"""

import pytest

from models.errors import InputError
from models.facts.amounts import MESH_COVER
from models.piece.mesh import Face, Sheet, lap_mm, mat
from models.piece.mesh_faces import faces_of
from models.piece.shape import Opening, Shape

SHEET = Sheet(2000.0, 1000.0, 50.0, 3.0)


def test_two_sheets_lap_by_a_pitch_and_fifty() -> None:
    assert lap_mm(200.0) == 250.0
    assert lap_mm(25.0) == 150.0


def test_cover_of_the_codes() -> None:
    aci, en = MESH_COVER["ACI"], MESH_COVER["EN"]
    assert [aci.outdoors_mm / 25.4, aci.dry_mm / 25.4] == pytest.approx([1.5, 0.75])
    assert (en.outdoors_mm, en.dry_mm) == (30.0 + 10.0, 15.0 + 10.0)


def test_a_mat_keeps_off_walls_and_openings_by_the_cover() -> None:
    one = mat(Face("panel", 1, 1400.0, 800.0, 60.0, ((300.0, 200.0),)), SHEET, 20.0)
    assert (one.length_mm, one.width_mm, one.out) == (1360.0, 760.0, ((340.0, 240.0),))
    assert (one.strips, one.cover_mm, one.covered) == (1, 27.0, True)


def test_a_face_wider_than_the_sheet_takes_strips_that_lap() -> None:
    one = mat(Face("panel", 1, 1840.0, 1840.0, 60.0), SHEET, 20.0)
    assert one.strips == 2
    assert 2 * one.strip_width_mm - lap_mm(50.0) == pytest.approx(1800.0)
    assert one.strip_width_mm <= SHEET.width_mm


def test_forty_millimetres_cannot_cover_steel_by_the_codes() -> None:
    """Design fact: 19 mm both sides leave 2 mm."""
    assert not mat(Face("panel", 1, 1400.0, 800.0, 40.0), SHEET, 19.05).covered


def test_a_leg_that_the_cover_fills_is_refused() -> None:
    with pytest.raises(InputError) as refused:
        mat(Face("panel", 1, 900.0, 120.0, 60.0), SHEET, 40.0)
    assert "40 mm of mesh" in refused.value.wrong


def test_a_box_takes_a_mat_a_side_and_a_block_none() -> None:
    box = Shape("box", 700.0, 700.0, height_mm=600.0, wall_mm=50.0)
    assert sum(face.many for face in faces_of(box)) == 5
    assert faces_of(Shape("block", 900.0, 350.0, height_mm=150.0)) == ()
    top = Shape("panel", 1400.0, 800.0, 45.0, openings=(Opening(300.0, 200.0),))
    assert faces_of(top)[0].openings == ((300.0, 200.0),)
