"""D12: a law runs where it holds, and what is held at a bound is told."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from models.air.evaporation import evaporation_rate
from models.air.series import AirSeries
from models.concrete import moisture_laws, moisture_prior
from models.concrete import prior as priors
from models.concrete.mixture import LabelStrength, Mixture
from models.errors import InputError
from models.simulation import physics, placed
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


def test_weak_and_strong_concrete_dry_by_the_law_and_not_by_a_bound() -> None:
    """It was held between C12 and C60, so that a mix of 8 MPa dried as one of 20."""
    strength_MPa = [4.0, 8.0, 16.0, 20.0, 28.0, 60.0, 90.0, 140.0]
    characteristic = moisture_laws.characteristic_MPa(strength_MPa)
    rates = moisture_laws.diffusivity_at_saturation(characteristic)
    assert (np.diff(rates) < 0).all()
    assert characteristic[3:].tolist() == [12.0, 20.0, 52.0, 82.0, 132.0]
    middle = [
        np.median(moisture_prior.draw_law(priors.draw(mix, 64, 1)).D1_mm2_d)
        for mix in (Mixture("high-early", (LabelStrength(672.0, MPa),)) for MPa in (110.0, 80.0))
    ]
    assert middle[1] / middle[0] == pytest.approx((110 - 8) / (80 - 8), rel=0.1)


def test_water_beyond_what_was_measured_weakens_by_the_law_and_is_told(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    """More than a kilogram a kilogram of cement was counted as one."""
    notes, factors = [], []
    for water_l in (0.0, 4.0, 8.0, 16.0):
        pour = panel(placement=Placement(poured_at, 18.0, water_added_l=water_l))
        drawn = physics.drawn(pour, cool, poured_at + HOUR, 48)
        assert isinstance(drawn, physics.Members)
        notes.append([one for one in drawn.notes if one.code == "water_held"])
        factors.append(placed.water_factor(pour))
        if notes[-1]:
            assert notes[-1][0].values["water_cement"] == pour.water_cement
    assert not notes[0]
    assert notes[-1]
    assert factors == sorted(factors, reverse=True)
    assert factors[3] == pytest.approx(factors[2] ** 2)
