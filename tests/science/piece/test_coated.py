"""How much is coated, how many litres that takes."""

import pytest

from models import quantity
from models.coating.film import SealerSystem
from models.errors import InputError
from models.facts.sealers import CHEMISTRIES
from models.piece.coated import coated_m2, litres_of_coat
from models.piece.shape import Opening, Shape


def test_a_top_is_coated_on_its_face_and_edges_but_not_below() -> None:
    top = Shape("panel", 1800.0, 900.0, 50.0)
    assert coated_m2(top) == pytest.approx(1.89)


def test_an_opening_takes_face_away_and_brings_edges() -> None:
    hole = Shape("panel", 1800.0, 900.0, 50.0, openings=(Opening(400.0, 300.0),))
    assert coated_m2(hole) == pytest.approx(1.89 - 0.12 + 2 * 0.7 * 0.05)


def test_a_box_is_coated_inside_and_out_and_on_its_rim() -> None:
    box = Shape("box", 700.0, 700.0, height_mm=600.0, wall_mm=50.0)
    outside, inside, floor = 4 * 0.7 * 0.6, 4 * 0.6 * 0.55, 0.6 * 0.6
    assert coated_m2(box) == pytest.approx(outside + inside + floor + 0.7**2 - 0.6**2)


def test_a_step_is_coated_on_top_and_all_round() -> None:
    step = Shape("block", 900.0, 350.0, height_mm=150.0)
    assert coated_m2(step) == pytest.approx(0.9 * 0.35 + 2 * 1.25 * 0.15)


def test_a_thinned_coat_is_one_part_water_to_two_of_sealer() -> None:
    thinned = litres_of_coat(1.89, 10.0, 2 / 3)
    assert thinned.sealer_l == pytest.approx(0.126)
    assert thinned.water_l == pytest.approx(thinned.sealer_l / 2)


def test_coverage_is_typed_as_the_can_says_it() -> None:
    """300 ft2/gal is 7.36 m2/l, 1 m2/l is 40.746 ft2/gal (NIST SP 811, own arithmetic)."""
    assert quantity.read("coverage_m2_l", "300 ft2/gal", "coverage_m2_l") == pytest.approx(
        7.363, abs=0.001
    )
    assert quantity.read("coverage_m2_l", "40.746 ft2/gal", "coverage_m2_l") == pytest.approx(
        1.0, abs=1e-5
    )
    assert "ft2/gal" in quantity.show(7.363, "coverage_m2_l")


@pytest.mark.parametrize("kind", sorted(CHEMISTRIES))
def test_every_kind_has_a_whole_sheet(kind: str) -> None:
    usual = SealerSystem(kind).resolved()
    assert usual.light_use_h <= usual.full_use_h
    assert usual.recoat_max_h is None or usual.recoat_min_h <= usual.recoat_max_h
    assert usual.min_C < usual.max_C
    assert usual.diluted_coats < usual.coats
    low, high = CHEMISTRIES[kind].reseal_years
    assert 0 < low < high


def test_the_products_own_sheet_goes_before_the_usual_one() -> None:
    told = SealerSystem(
        "epoxy", coats=3, recoat_min_h=5, max_rh_pct=70, hold_h=6, dew_margin_K=4
    ).resolved()
    assert (told.coats, told.recoat_min_h, told.max_rh) == (3, 5, 0.70)
    assert (told.hold_h, told.dew_margin_K) == (6, 4)
    assert told.recoat_max_h == CHEMISTRIES["epoxy"].recoat_max_h


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("dew_margin_K", 0.0),
        ("hold_h", -1.0),
        ("coverage_m2_l", 0.0),
        ("light_use_h", 1e6),
        ("rain_free_h", float("nan")),
        ("full_use_h", "a week"),
    ],
)
def test_a_sheet_that_cannot_be_is_refused_by_its_field(field: str, value: object) -> None:
    with pytest.raises(InputError) as refused:
        SealerSystem("wax", **{field: value})  # type: ignore[arg-type]
    assert refused.value.field == field


def test_full_use_before_light_use_is_refused() -> None:
    with pytest.raises(InputError, match="full_use_h"):
        SealerSystem("wax", light_use_h=48, full_use_h=24)
