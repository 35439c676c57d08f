"""A service that tells no moisture: what hangs on it is blocked, and nothing else (E6)."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from models.air import members
from models.air.series import AirSeries
from models.planning import timeline
from models.results import Projection
from models.simulation.scenario import Scenario
from tests.support.words import codes

HOUR = timedelta(hours=1)
HANG_ON_IT = {"first-heating", "rain-safe", "light-use", "full-use"}


@pytest.fixture
def dry(cool: AirSeries) -> AirSeries:
    return replace(cool, dew_point_C=cool.dew_point_C * np.nan)


def told(scenario: Scenario, air: AirSeries, now: datetime) -> Projection:
    return timeline.project(scenario, air, now)


def test_strength_and_frost_are_told_and_only_drying_and_coats_are_blocked(
    panel: Callable[..., Scenario], cool: AirSeries, dry: AirSeries, poured_at: datetime
) -> None:
    now = poured_at + 6 * HOUR
    colder = replace(dry, air_C=dry.air_C - 5)
    answer = told(panel("open yard"), colder, poured_at + HOUR)
    assert any(alert.kind == "frost" for alert in answer.alerts)
    steps = {step.step: step for step in told(panel("open yard"), dry, now).steps}
    blocked = {name for name, step in steps.items() if step.state == "blocked"}
    assert blocked >= HANG_ON_IT | {"coat-1"}
    assert blocked.isdisjoint({"strip", "turn", "end-wet-cure", "sand", "finish"})
    assert "no_moisture_no_drying" in codes(*steps["coat-1"].because)
    full = {step.step: step for step in told(panel("open yard"), cool, now).steps}
    assert steps["strip"].p90 is not None
    assert full["strip"].p90 is not None
    assert steps["strip"].p90 >= full["strip"].p90 - HOUR, "unknown moisture makes nothing earlier"
    assert full["coat-1"].state != "blocked"


def test_a_dew_point_that_nobody_tells_is_drawn_widely_and_never_over_the_air(
    dry: AirSeries, cool: AirSeries
) -> None:
    drawn = members.draw(dry, 64, 1)
    under = (drawn.air_C - drawn.dew_point_C).mean(axis=0)
    assert (drawn.dew_point_C <= drawn.air_C).all()
    assert np.percentile(under, 10) < 4
    assert np.percentile(under, 90) > 15
    np.testing.assert_array_equal(drawn.air_C, members.draw(cool, 64, 1).air_C)


def test_an_hour_or_two_without_it_block_nothing(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime
) -> None:
    holed = cool.dew_point_C.copy()
    holed[80:82] = np.nan
    answer = told(panel("open yard"), replace(cool, dew_point_C=holed), poured_at + HOUR)
    assert not [step.step for step in answer.steps if step.state == "blocked"]
