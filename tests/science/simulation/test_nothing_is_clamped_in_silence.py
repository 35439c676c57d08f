"""D12: a law runs where it holds, and what is held at a bound is told."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from models.air.evaporation import evaporation_rate
from models.air.series import AirSeries
from models.errors import InputError
from models.simulation import physics
from models.simulation.scenario import Placement, Scenario

Panel = Callable[..., Scenario]
HOUR = timedelta(hours=1)


def test_a_face_dries_in_hard_frost_by_the_law_and_not_by_a_bound() -> None:
    rates = [
        float(evaporation_rate(concrete_C=8.0, air_C=air, rh_fraction=0.8, wind_km_h=14.0))
        for air in (-10.0, -16.9, -18.0, -30.0, -45.0)
    ]
    assert rates == sorted(rates)
    assert rates[0] < rates[1] < rates[2] == rates[3] == rates[4]
    frozen = evaporation_rate(concrete_C=-25.0, air_C=-30.0, rh_fraction=0.8, wind_km_h=14.0)
    assert float(frozen) == 0.0


@pytest.mark.parametrize(("field", "value"), [("air_C", -91.0), ("wind_km_h", 221.0)])
def test_what_no_air_has_is_refused(field: str, value: float) -> None:
    met = {"concrete_C": 8.0, "air_C": 0.0, "rh_fraction": 0.8, "wind_km_h": 14.0} | {field: value}
    with pytest.raises(InputError) as refused:
        evaporation_rate(**met)
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("colder_K", "told_C", "is_held"), [(20, None, True), (20, 12.0, False), (0, None, False)]
)
def test_concrete_that_is_held_at_a_bound_is_told(
    panel: Panel,
    cool: AirSeries,
    poured_at: datetime,
    colder_K: float,
    told_C: float | None,
    is_held: bool,
) -> None:
    air = replace(cool, air_C=cool.air_C - colder_K, dew_point_C=cool.dew_point_C - colder_K)
    pour = panel(placement=Placement(poured_at, told_C))
    drawn = physics.drawn(pour, air, poured_at + HOUR, 48)
    assert isinstance(drawn, physics.Members)
    held = [one for one in drawn.notes if one.code == "placed_held"]
    assert len(held) == is_held
    for one in held:
        assert one.values["held_C"] == 0.5
        found_C = one.values["found_C"]
        assert isinstance(found_C, float)
        assert found_C < 0.5
        assert (drawn.placed_C >= 0.5).all()
