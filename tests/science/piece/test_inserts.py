"""What a maker is told of what is cast in."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.piece.inserts import breakout_kN, look_at, strength_to_load_MPa
from models.piece.measures import Insert


def codes(insert: Insert) -> list[str]:
    return [one.code for one in look_at(insert).cautions]


@pytest.mark.parametrize(
    ("insert", "told"),
    [
        (Insert("aluminium"), ["insert_aluminium"]),
        (Insert("zinc"), ["insert_zinc"]),
        (Insert("wood"), ["insert_wood"]),
        (Insert("brass"), []),
        (Insert("steel", by_flame=True), ["insert_by_flame"]),
        (Insert("steel", gap_mm=3.0, by_flame=True), []),
        (Insert("wood", gap_mm=10.0, by_flame=True), ["insert_wood", "insert_burns"]),
        (Insert("stainless", edge_mm=12.0), ["insert_at_edge"]),
        (Insert("stainless", edge_mm=40.0, depth_mm=35.0), ["insert_near_edge"]),
        (Insert("stainless", load_kg=40.0), ["insert_depth_untold"]),
        (Insert("stainless", load_kg=40.0, depth_mm=30.0), ["insert_need"]),
    ],
)
def test_each_has_the_one_caution_that_is_its_own(insert: Insert, told: list[str]) -> None:
    assert codes(insert) == told


@given(st.floats(1.0, 500.0), st.floats(15.0, 200.0), st.floats(0.0, 300.0), st.floats(1.01, 3.0))
def test_more_load_less_depth_or_less_edge_never_needs_less_strength(
    load: float, depth: float, edge: float, more: float
) -> None:
    need = strength_to_load_MPa(load, depth, edge)
    assert strength_to_load_MPa(load * more, depth, edge) >= need
    assert strength_to_load_MPa(load, depth / more, edge) >= need * (1 - 1e-9)
    assert strength_to_load_MPa(load, depth, edge / more) >= need * (1 - 1e-9)


def test_at_the_needed_strength_the_pull_is_under_the_breakout_by_both_factors() -> None:
    need = strength_to_load_MPa(80.0, 40.0, 50.0)
    assert breakout_kN(need, 40.0, 50.0) == pytest.approx(80 * 9.80665e-3 * 1.6 / 0.7)
