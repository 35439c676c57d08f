"""Records with ends and holes: what stood on weather is told, what did not is blocked."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from models.air.series import HOUR, AirSeries, from_low_high
from models.concrete.section import Covering
from models.errors import Unknown
from models.message import Message
from models.planning import default_plan
from models.planning.timeline import project
from models.simulation import physics
from models.simulation.scenario import Scenario
from tests.support.words import codes, number

Panel = Callable[..., Scenario]


def states(pour: Scenario, air: AirSeries | Unknown, now: datetime) -> dict[str, str]:
    return {step.step: step.state for step in project(pour, air, now).steps}


def test_a_truncated_record_agrees_with_the_whole_as_far_as_it_goes(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    short = cool.between(cool.start, poured_at + 40 * HOUR)
    now = poured_at + 60 * HOUR
    cut, whole = (physics.simulate(panel(), air, now, 336) for air in (short, cool))
    assert isinstance(cut, physics.Simulation)
    assert isinstance(whole, physics.Simulation)
    assert cut.truncated
    assert not whole.truncated
    assert len(cut.trajectory.hour) == 41
    assert cut.trajectory.forecast_rows == 41
    for share in (0.1, 0.5, 0.9):
        a, b = (np.quantile(c.trajectory.te_mean_h[:41], share, axis=1) for c in (cut, whole))
        np.testing.assert_allclose(a, b, atol=1.5)  # other draws of the same errors


def test_the_warning_names_where_the_record_ends(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    short = cool.between(cool.start, poured_at + 20 * HOUR)
    told = project(panel(), short, poured_at + 50 * HOUR)
    (ended,) = [one for one in told.warnings if one.code == "no_weather_after"]
    assert number(ended, "gap_h") == pytest.approx(30, abs=1)


def test_a_truncated_record_never_opens_a_later_step(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    short = cool.between(cool.start, poured_at + 20 * HOUR)
    covered = panel(coverings=(Covering(1.0, None, "blanket"),))
    seen = states(covered, short, poured_at + 400 * HOUR)
    for step in ("strip", "turn", "hone", "uncover", "end-wet-cure", "coat-1"):
        assert seen[step] == "blocked", step


def test_a_bridged_hole_is_told_and_answers_as_the_whole(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    air = cool.air_C.copy()
    air[80:83] = np.nan
    now = poured_at + 30 * HOUR
    holed = project(panel(), replace(cool, air_C=air), now)
    whole = project(panel(), cool, now)
    assert Message("hours_bridged", {"hours_missing": 3}) in holed.warnings
    for a, b in zip(holed.steps, whole.steps, strict=True):
        if a.step == "strip":
            assert a.p90 is not None
            assert b.p90 is not None
            assert abs(a.p90 - b.p90) < timedelta(minutes=30)


def test_a_hole_of_five_hours_in_the_past_ends_what_is_known(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    air = cool.air_C.copy()
    begin = int(cool.hour_of(poured_at)) + 10
    air[begin : begin + 5] = np.nan
    seen = states(panel(), replace(cool, air_C=air), poured_at + 200 * HOUR)
    assert seen["strip"] == "blocked"


def test_a_hole_at_the_time_of_placing_blocks_everything(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    air = cool.air_C.copy()
    at = int(cool.hour_of(poured_at))
    air[at - 2 : at + 4] = np.nan
    assert set(states(panel(), replace(cool, air_C=air), poured_at + HOUR).values()) == {"blocked"}


def test_a_hole_days_before_placing_does_no_harm(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    air = cool.air_C.copy()
    air[5:40] = np.nan
    seen = states(panel(), replace(cool, air_C=air), poured_at + HOUR)
    assert seen["strip"] == "not yet"


def test_stale_weather_is_said(panel: Panel, cool: AirSeries, poured_at: datetime) -> None:
    told = project(panel(), cool, poured_at + 60 * HOUR)
    assert "stale_weather" in codes(*told.warnings)


def test_a_typed_night_gives_an_answer(panel: Panel, poured_at: datetime) -> None:
    typed = from_low_high(-4.0, 8.0, poured_at)
    told = project(panel("open yard"), typed, poured_at + HOUR)
    strip = next(step for step in told.steps if step.step == "strip")
    assert strip.state == "not yet"
    assert strip.p50 is not None
    mild = project(panel("open yard"), from_low_high(8.0, 18.0, poured_at), poured_at + HOUR)
    assert next(s for s in mild.steps if s.step == "strip").p50 < strip.p50  # type: ignore[operator]


def test_frost_is_warned_of_by_chance_and_hour(panel: Panel, poured_at: datetime) -> None:
    typed = from_low_high(-9.0, 2.0, poured_at)
    told = project(panel("open yard"), typed, poured_at + HOUR)
    assert any("frost" in code for code in codes(*told.warnings))
    mild = project(panel("open yard"), from_low_high(9.0, 18.0, poured_at), poured_at + HOUR)
    assert not any("frost" in code for code in codes(*mild.warnings))


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_bands_are_the_weighted_quantiles_of_the_members(
    panel: Panel, cool: AirSeries, poured_at: datetime, share: float
) -> None:
    now = poured_at + 20 * HOUR
    told = project(panel(), cool, now)
    through = default_plan.simulated(panel(), cool, now, 28 * 24 + 24)
    assert isinstance(through, physics.Simulation)
    assert told.concrete is not None
    band = getattr(told.concrete.mean_C, f"p{round(100 * share)}")
    drawn = np.sort(through.trajectory.mean_C, axis=1)  # each stands at the middle of its share
    middle = (np.arange(drawn.shape[1]) + 0.5) / drawn.shape[1]
    want = np.array([np.interp(share, middle, row) for row in drawn])
    np.testing.assert_allclose(band, want, atol=1e-9)
