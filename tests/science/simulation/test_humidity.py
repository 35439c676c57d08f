"""A hygrometer beside the piece says how moist the air there is."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.errors import InputError, Unknown
from models.simulation import physics
from models.simulation.scenario import Observation, Scenario
from models.units import Array

HOUR = timedelta(hours=1)


def humidity(scenario: Scenario, air: AirSeries, now: datetime) -> tuple[Array, Array]:
    """Relative humidity and air at the piece, (rows, members)."""
    simulation = physics.simulate(scenario, air, now, 96)
    assert not isinstance(simulation, Unknown)
    return simulation.trajectory.rh, simulation.trajectory.air_C


def seen(scenario: Scenario, *readings: tuple[float, float]) -> Scenario:
    at = scenario.placement.at
    return replace(
        scenario,
        observations=tuple(
            Observation(at + hour * HOUR, "humidity", value) for hour, value in readings
        ),
    )


@pytest.mark.parametrize("read", [35.0, 60.0, 95.0])
def test_the_humidity_in_a_garage_is_what_is_read_there(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime, read: float
) -> None:
    garage = panel(site=Site("unheated room"))
    before, air = humidity(garage, cool, poured_at + 24 * HOUR)
    after, same = humidity(seen(garage, (20.0, read)), cool, poured_at + 24 * HOUR)
    np.testing.assert_array_equal(air, same)  # the air is not moved by its moisture
    told = np.median(after[20])
    assert told == pytest.approx(read / 100, abs=0.04)
    assert after[20].std() < 0.6 * before[20].std()
    assert abs(np.median(after[44]) - read / 100) < abs(np.median(before[44]) - read / 100)


def test_wetter_readings_never_make_drier_air(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime
) -> None:
    garage, now = panel(site=Site("unheated room")), poured_at + 30 * HOUR
    ladder = [humidity(seen(garage, (24.0, rh)), cool, now)[0] for rh in (20, 45, 70, 85, 99)]
    for drier, wetter in zip(ladder, ladder[1:], strict=False):
        assert (wetter >= drier - 1e-9).all()
    assert ladder[-1].max() <= 1.0


def test_the_same_reading_ten_times_in_an_hour_is_one(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime
) -> None:
    garage, now = panel(site=Site("unheated room")), poured_at + 30 * HOUR
    once, _ = humidity(seen(garage, (24.0, 80.0)), cool, now)
    often, _ = humidity(seen(garage, *[(24.0, 80.0)] * 10), cool, now)
    np.testing.assert_allclose(often, once, atol=1e-12)


def test_a_fresh_face_dries_slower_in_a_damp_room(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime
) -> None:
    garage, now = panel(site=Site("unheated room")), poured_at + 30 * HOUR

    def evaporation(scenario: Scenario) -> float:
        simulation = physics.simulate(scenario, cool, now, 48)
        assert not isinstance(simulation, Unknown)
        return simulation.evaporation_kg_m2h

    dry, damp = (evaporation(seen(garage, (1.0, rh))) for rh in (30.0, 95.0))
    assert damp < 0.8 * dry


@pytest.mark.parametrize("value", [0.0, -3.0, 101.0, float("nan")])
def test_a_humidity_that_no_air_has_is_refused(poured_at: datetime, value: float) -> None:
    with pytest.raises(InputError) as refused:
        Observation(poured_at, "humidity", value)
    assert refused.value.field == "value"
