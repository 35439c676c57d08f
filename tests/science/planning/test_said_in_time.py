"""What is advised can still be done."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from models.air.series import AirSeries
from models.message import Message
from models.planning import timeline
from models.results import Projection
from models.simulation import physics
from models.simulation.scenario import Observation, Placement, Scenario
from tests.support.words import codes, within

HOUR = timedelta(hours=1)


def colder(cool: AirSeries, by_K: float) -> AirSeries:
    return replace(cool, air_C=cool.air_C - by_K, dew_point_C=cool.dew_point_C - by_K)


@pytest.mark.parametrize("by_K", [3.5, 4.0, 5.0])
def test_no_blanket_is_advised_for_a_frost_that_has_been(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime, by_K: float
) -> None:
    """A week later the frost of the first night is looked for, not covered against."""
    warm_since = np.arange(cool.hours) > 72 + 48
    air = colder(cool, by_K)
    air = replace(
        air,
        air_C=np.where(warm_since, 14.0, air.air_C),
        dew_point_C=np.where(warm_since, 9.0, air.dew_point_C),
    )
    now = poured_at + 7 * 24 * HOUR
    simulation = physics.simulate(panel(), air, now, 300)
    assert isinstance(simulation, physics.Simulation)
    assert 0.05 <= simulation.frozen_by(168.0) < 0.5
    warnings = timeline.project(panel(), air, now).warnings
    (frost,) = [one for one in warnings if "frost" in one.code]
    assert frost.code == "frost_may_have_come"
    assert frost.values["need_MPa"] == panel().code.frost_MPa == 5.0


def test_a_reading_that_is_there_is_not_asked_for(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime
) -> None:
    air, now = colder(cool, 11.0), poured_at + 40 * HOUR
    told = timeline.project(panel(), air, now)
    assert [step.state for step in told.steps].count("frozen") > 3
    assert "reading_would_settle" in codes(*told.warnings)
    low, high = float(air.air_C[72:96].min()), float(air.air_C[72:96].max())
    read = Observation(poured_at + 24 * HOUR, "air-min-max", low, high, 24.0)
    told = timeline.project(panel(observations=(read,)), air, now)
    assert [step.state for step in told.steps].count("frozen") > 3
    assert "reading_would_settle" not in codes(
        *told.warnings, *(step.because for step in told.steps)
    )


@pytest.mark.parametrize("minutes", [0, 7, 14, 29, 44, 59])
def test_no_deadline_of_an_alert_has_passed(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime, minutes: int
) -> None:
    """Frost is at the door: by a quarter of an hour ago is no deadline, at once is."""
    now = poured_at + timedelta(minutes=minutes)
    alerts = timeline.project(panel("open yard"), colder(cool, 20.0), now).alerts
    assert alerts
    for alert in alerts:
        assert alert.act_by >= min(now, alert.at) - timedelta(minutes=1)
        assert "act_by" not in codes(alert.text) or alert.act_by > now


def test_no_measure_is_advised_for_a_face_that_dried_a_day_ago(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime
) -> None:
    air = replace(
        cool, air_C=cool.air_C + 24, dew_point_C=cool.dew_point_C - 6, wind_m_s=12 + 0 * cool.air_C
    )
    scenario = panel("open yard", placement=Placement(poured_at, 33.0))
    fresh = drying(timeline.project(scenario, air, poured_at + HOUR))
    assert Message("measure", {"measure": "wind break"}) in within(*fresh)
    (late,) = drying(timeline.project(scenario, air, poured_at + 30 * HOUR))
    assert codes(late) == {"evaporation_high", "look_for_cracks"}
    assert not drying(timeline.project(scenario, air, poured_at + 168 * HOUR))


def drying(answer: Projection) -> list[Message]:
    return [one for one in answer.warnings if one.code.startswith("evaporation")]
