"""A dehumidifier and heat dry the air of a garage, a fan moves it (D6)."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.errors import InputError, Unknown
from models.simulation import physics
from models.simulation.scenario import Meant, Scenario
from models.steps.opening import Trajectory

ON_H, LATER = 100, slice(112, 140)


def under(scenario: Scenario, air: AirSeries, now: datetime) -> Trajectory:
    found = physics.simulate(scenario, air, now, 160)
    assert not isinstance(found, Unknown)
    return found.trajectory


@pytest.fixture(scope="module")
def garage(panel: Callable[..., Scenario]) -> Scenario:
    return panel(site=Site("unheated room"))


def test_a_dehumidifier_holds_half_of_the_damp_where_it_is_warm_enough(
    garage: Scenario, cool: AirSeries, poured_at: datetime
) -> None:
    on = poured_at + timedelta(hours=ON_H)
    as_is = under(garage, cool, poured_at)
    dried = under(replace(garage, plan=(Meant("dry-on", on),)), cool, poured_at)
    np.testing.assert_array_equal(as_is.rh[:ON_H], dried.rh[:ON_H])
    np.testing.assert_array_equal(as_is.air_C, dried.air_C)
    assert np.median(as_is.rh[LATER]) > 0.6
    warm = as_is.air_C[LATER] >= 8.0
    assert 0.3 < warm.mean() < 1.0
    assert dried.rh[LATER][warm].max() < 0.51
    np.testing.assert_array_equal(dried.rh[LATER][~warm], as_is.rh[LATER][~warm])


def test_heat_dries_the_air_by_its_warmth_and_a_fan_moves_it(
    garage: Scenario, cool: AirSeries, poured_at: datetime
) -> None:
    on = poured_at + timedelta(hours=ON_H)
    as_is = under(garage, cool, poured_at)
    heated = under(replace(garage, plan=(Meant("heat-on", on, heat=22.0),)), cool, poured_at)
    fanned = under(replace(garage, plan=(Meant("fan-on", on),)), cool, poured_at)
    assert np.median(heated.rh[LATER]) < np.median(as_is.rh[LATER]) - 0.2
    assert np.allclose(fanned.wind_m_s[LATER], 2.0)
    assert fanned.wind_m_s[LATER].mean() > 10 * as_is.wind_m_s[LATER].mean()


def test_a_dehumidifier_wants_walls(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime
) -> None:
    yard = panel(plan=(Meant("dry-on", poured_at + timedelta(hours=ON_H)),))
    with pytest.raises(InputError) as refused:
        under(yard, cool, poured_at)
    assert refused.value.field == "plan[0].step"
