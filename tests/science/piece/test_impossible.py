"""Geometry that cannot be is refused by the two numbers that clash, each with its unit."""

from typing import Any

import pytest

from models.errors import InputError
from models.piece.shape import Face, FaceTold, Insert, Opening, Shape

PANEL: dict[str, Any] = {
    "kind": "panel",
    "length_mm": 1400.0,
    "width_mm": 800.0,
    "thickness_mm": 45.0,
}
BOX: dict[str, Any] = {
    "kind": "box",
    "length_mm": 700.0,
    "width_mm": 500.0,
    "height_mm": 450.0,
    "wall_mm": 50.0,
}
BASIN: dict[str, Any] = {**BOX, "kind": "basin", "height_mm": 160.0, "floor_mm": 30.0}
SLAB: dict[str, Any] = {
    **PANEL,
    "kind": "slab-with-basin",
    "wall_mm": 40.0,
    "floor_mm": 35.0,
    "bowl_length_mm": 400.0,
    "bowl_width_mm": 300.0,
    "bowl_depth_mm": 150.0,
}
ROUND: dict[str, Any] = {**PANEL, "kind": "round-panel", "length_mm": 700.0, "width_mm": 700.0}
RIBBED: dict[str, Any] = {
    **PANEL,
    "kind": "ribbed-panel",
    "ribs": 3,
    "rib_mm": 40.0,
    "rib_depth_mm": 30.0,
}
BENCH: dict[str, Any] = {**BOX, "kind": "u-shape", "thickness_mm": 60.0}
OWN: dict[str, Any] = {
    "kind": "by-hand",
    "length_mm": 500.0,
    "width_mm": 400.0,
    "told_volume_l": 20.0,
    "told_faces_m2": 0.8,
    "thickest_part_mm": 120.0,
    "thinnest_part_mm": 40.0,
}
CLASHES: list[tuple[dict[str, Any], dict[str, Any], str, str]] = [
    (BOX, {"wall_mm": 250.0}, "wall_mm", "500 mm"),
    (BOX, {"floor_mm": 450.0}, "floor_mm", "450 mm"),
    (BOX, {"height_mm": 50.0}, "wall_mm", "50 mm"),
    (BOX, {"taper_mm": 200.0}, "taper_mm", "500 mm"),
    (
        BOX,
        {"ledge_mm": 200.0, "ledge_thickness_mm": 30.0, "ledge_down_mm": 0.0},
        "ledge_mm",
        "400 mm",
    ),
    (
        BOX,
        {"ledge_mm": 20.0, "ledge_thickness_mm": 30.0, "ledge_down_mm": 390.0},
        "ledge_down_mm",
        "400 mm",
    ),
    (BOX, {"openings": (Opening(60.0, 420.0, wall="front"),)}, "opening[0].width_mm", "450 mm"),
    (
        BOX,
        {"openings": (Opening(60.0, 60.0, wall="left", left_mm=30.0),)},
        "opening[0].left_mm",
        "500 mm",
    ),
    (BOX, {"floor_mm": 0.0, "openings": (Opening(60.0, 60.0),)}, "opening[0].wall", "0 mm"),
    (
        BOX,
        {
            "ledge_mm": 20.0,
            "ledge_thickness_mm": 30.0,
            "ledge_down_mm": 90.0,
            "openings": (Opening(60.0, 60.0, wall="front", front_mm=300.0),),
        },
        "opening[0].front_mm",
        "330 to 360 mm",
    ),
    (BASIN, {"slope_mm": 130.0}, "slope_mm", "160 mm"),
    (BASIN, {"draft_mm": 200.0}, "draft_mm", "500 mm"),
    (BASIN, {"draft_mm": 190.0, "drain_mm": 45.0}, "drain_mm", "20 mm"),
    (SLAB, {"bowl_depth_mm": 45.0}, "bowl_depth_mm", "45 mm"),
    (SLAB, {"bowl_width_mm": 730.0}, "bowl_width_mm", "800 mm"),
    (SLAB, {"bowl_left_mm": 20.0}, "bowl_left_mm", "400 mm"),
    (
        SLAB,
        {"openings": (Opening(35.0, 35.0, left_mm=700.0, front_mm=400.0),)},
        "opening[0].left_mm",
        "460 to 940 mm",
    ),
    (PANEL, {"drop_edge_mm": 40.0, "drop_wall_mm": 30.0}, "drop_edge_mm", "45 mm"),
    (PANEL, {"openings": (Opening(1390.0, 300.0),)}, "opening[0].length_mm", "1400 mm"),
    (
        PANEL,
        {"openings": (Opening(300.0, 300.0, left_mm=1090.0),)},
        "opening[0].left_mm",
        "1400 mm",
    ),
    (
        PANEL,
        {
            "openings": (
                Opening(300.0, 300.0, left_mm=100.0, front_mm=100.0),
                Opening(300.0, 300.0, left_mm=350.0, front_mm=200.0),
            )
        },
        "opening[1].left_mm",
        "300 mm",
    ),
    (PANEL, {"inserts": (Insert("steel", depth_mm=45.0),)}, "insert[0].depth_mm", "45 mm"),
    (
        PANEL,
        {"openings": (Opening(300.0, 200.0, corner_mm=101.0),)},
        "opening[0].corner_mm",
        "width_mm 200 mm",
    ),
    (ROUND, {"openings": (Opening(500.0, 500.0),)}, "opening[0].length_mm", "350 mm"),
    (RIBBED, {"rib_mm": 290.0}, "rib_mm", "800 mm"),
    (
        RIBBED,
        {"openings": (Opening(200.0, 100.0, left_mm=100.0, front_mm=350.0),)},
        "opening[0].front_mm",
        "380 to 420 mm",
    ),
    (BENCH, {"thickness_mm": 450.0}, "thickness_mm", "450 mm"),
    (BENCH, {"length_mm": 100.0}, "wall_mm", "100 mm"),
    (OWN, {"height_mm": 80.0}, "told_volume_l", "16 l"),
    (OWN, {"told_volume_l": 25.0}, "told_volume_l", "24 l"),
    (OWN, {"thinnest_part_mm": 130.0}, "thinnest_part_mm", "120 mm"),
]


@pytest.mark.parametrize(("usual", "change", "field", "other"), CLASHES)
def test_what_cannot_be_is_refused_by_the_two_that_clash(
    usual: dict[str, Any], change: dict[str, Any], field: str, other: str
) -> None:
    Shape(**usual)  # as it is it can be
    with pytest.raises(InputError) as refused:
        Shape(**{**usual, **change})
    assert refused.value.field == field
    assert other in f"{refused.value.wrong}; {refused.value.allowed}"


@pytest.mark.parametrize(
    ("usual", "change", "field"),
    [
        (PANEL, {"floor_mm": 30.0}, "floor_mm"),
        (PANEL, {"drop_edge_mm": 80.0}, "drop_wall_mm"),
        (ROUND, {"drop_sides": "front"}, "drop_sides"),
        (BOX, {"ledge_mm": 20.0}, "ledge_thickness_mm"),
        (BASIN, {"openings": (Opening(50.0, 50.0),)}, "opening"),
        (PANEL, {"openings": (Opening(50.0, 50.0, wall="front"),)}, "opening[0].wall"),
        (
            PANEL,
            {"openings": (Opening(90.0, 90.0, form="round", corner_mm=9.0),)},
            "opening[0].corner_mm",
        ),
        (PANEL, {"cast_way": "on-side"}, "cast_way"),
        (PANEL, {"faces_told": (FaceTold("rim"),)}, "face[0].face"),
        ({**RIBBED, "ribs": None}, {}, "ribs"),
        (OWN, {"thinnest_part_mm": None}, "thinnest_part_mm"),
    ],
)
def test_what_a_kind_has_not_or_lacks_is_refused_by_name(
    usual: dict[str, Any], change: dict[str, Any], field: str
) -> None:
    with pytest.raises(InputError) as refused:
        Shape(**{**usual, **change})
    assert refused.value.field == field


def test_a_face_against_the_mould_is_never_trowelled() -> None:
    with pytest.raises(InputError, match="trowelled"):
        FaceTold("top", against="mould", trowelled=True)


def face(shape: Shape, key: str) -> Face:
    found = shape.face(key)
    assert found is not None
    return found


def test_a_top_cast_face_down_is_open_below_and_one_cast_as_it_stands_on_top() -> None:
    down, up = Shape(**PANEL), Shape(**PANEL, cast_way="face-up")
    assert (face(down, "top").against, face(down, "underside").against) == ("mould", "open")
    assert (face(up, "top").against, face(up, "underside").against) == ("open", "mould")
    assert face(down, "underside").trowelled
    assert not face(down, "underside").shown


def test_film_may_lie_on_what_is_told_to_be_hidden_and_on_nothing_else() -> None:
    """Untold, a maker is warned: the open face may be the one that shows."""
    assert not Shape(**PANEL).film_may_lie
    assert Shape(**PANEL, cast_way="face-down").film_may_lie
    assert not Shape(**PANEL, cast_way="face-up").film_may_lie
    assert not Shape(**PANEL, faces_told=(FaceTold("underside", shown=True),)).film_may_lie


def test_what_is_told_of_a_face_goes_before_what_is_usual() -> None:
    told = (FaceTold("underside", shown=True, trowelled=False), FaceTold("edges", shown=False))
    shape = Shape(**PANEL, faces_told=told)
    assert face(shape, "underside").shown
    assert not face(shape, "underside").trowelled
    assert not face(shape, "edges").shown
