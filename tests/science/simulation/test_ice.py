"""Ice, not the hour at which a corner passes zero, is what harms a young piece."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

import numpy as np
import pytest

from models.air.series import HOUR, AirSeries
from models.concrete.section import Covering
from models.planning import pour_check, timeline
from models.simulation import physics
from models.simulation.plan import PlanEntry
from models.simulation.scenario import Observation, Placement, Scenario, ShopRules, StrengthTest

Panel = Callable[..., Scenario]


def nights_of(air: AirSeries, low_C: float) -> AirSeries:
    """The same days with every hour so much colder that the nights fall to a value."""
    by_K = float(air.air_C.min()) - low_C
    return replace(air, air_C=air.air_C - by_K, dew_point_C=air.dew_point_C - by_K)


def simulated(
    scenario: Scenario, air: AirSeries, now: datetime, hours: int = 120, count: int | None = None
) -> physics.Simulation:
    simulation = physics.simulate(scenario, air, now, hours, count)
    assert isinstance(simulation, physics.Simulation)
    return simulation


def test_a_measured_low_just_under_zero_is_no_frost(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    """At -0.2 degC no water of young concrete is ice: 61 % were called frozen."""
    now = poured_at + 30 * HOUR
    air = nights_of(cool, -0.2)
    read = (Observation(poured_at + 26 * HOUR, "air-min-max", -0.2, 9.8, 24.0),)
    simulation = simulated(panel(observations=read), air, now, count=1024)
    coldest = simulation.trajectory.coldest_C[:27].min(axis=0)
    assert np.mean(coldest < 0) > 0.2, "the corner passes zero in some"
    assert simulation.frozen_by(30.0) < 0.05  # what a piece may run
    told = timeline.project(panel(observations=read), air, now)
    assert "frozen" not in {step.state for step in told.steps}


@pytest.mark.parametrize("low_C", [2.0, 1.0, 0.0, -1.0, -2.0, -3.0])
def test_colder_nights_harm_more_and_few_members_tell_as_much(
    panel: Panel, cool: AirSeries, poured_at: datetime, low_C: float
) -> None:
    now = poured_at + HOUR
    few = simulated(panel(), nights_of(cool, low_C), now).frozen_by(120.0)
    many = simulated(panel(), nights_of(cool, low_C), now, count=1024).frozen_by(120.0)
    colder = simulated(panel(), nights_of(cool, low_C - 0.3), now).frozen_by(120.0)
    assert few == pytest.approx(many, abs=0.06)
    assert few < colder <= 0.9


def test_the_strength_told_is_that_of_a_piece_that_did_not_freeze(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    """A frost of 9 % moved turning from 5 days to 17."""
    now = poured_at + HOUR
    trajectory = simulated(panel(), nights_of(cool, -2.0), now, 672).trajectory
    assert trajectory.weight @ trajectory.harm_chance > 0.1
    assert np.all(np.diff(trajectory.strength_MPa, axis=0) >= 0)
    assert np.all(np.diff(trajectory.harm, axis=0) >= 0)
    frozen = np.isfinite(trajectory.frozen_h)
    assert frozen.any()
    assert np.all(frozen == (trajectory.harm_chance > 0))


def test_the_chance_grows_smoothly_with_the_delay_of_a_cover(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    """After 0.9 h it was none, after 1.0 h 36 %, after 2.0 h all."""
    now = poured_at + HOUR
    air = nights_of(cool, -2.0)
    scenario = panel("open yard", placement=Placement(poured_at, 12.0))
    delays = np.arange(12.0, 22.0, 0.1)
    chances = [
        simulated(replace(scenario, coverings=(Covering(d, None, "blanket"),)), air, now, 60)
        for d in delays
    ]
    chance = np.array([one.frozen_by(60.0) for one in chances])
    assert chance[-1] - chance[0] > 0.15
    assert np.all(np.diff(chance) > -2e-3)
    assert np.abs(np.diff(chance)).max() < 0.03


def test_the_pour_check_counts_ice_as_the_timeline_does(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    """Not yet 3.5 MPa after three days near 2 degC was called frozen."""
    steady = replace(cool, air_C=0 * cool.air_C + 2.2, dew_point_C=0 * cool.air_C)
    scenario = panel(
        placement=Placement(poured_at, 17.0), rules=ShopRules(owned=(Covering(0.0, None, "film"),))
    )
    full = simulated(scenario, steady, poured_at, 200)
    young = full.trajectory.strength_MPa[72] < 3.5
    assert young.any(), "some are still young after three days"
    answer = pour_check.check(scenario, steady, poured_at, days=1, only=poured_at)
    bare = next(one for one in answer.options if one.protection.code == "way_bare")
    assert bare.frost_chance is not None
    assert bare.frost_chance == pytest.approx(full.frozen_by(72.0), abs=0.03)


def test_a_cover_is_thought_over_on_the_members_that_may_freeze(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    """The others stay as they are: the same answer as from all of them."""
    now = poured_at + HOUR
    air = nights_of(cool, -1.0)
    simulation = simulated(panel(), air, now)
    blanket = Covering(4.0, None, "blanket")
    plan = replace(panel(), coverings=(blanket,))
    whole = simulated(plan, air, now).frozen_by(75.0)
    entry = PlanEntry("cover", 4.0, cover=blanket)
    some = physics.harmed_under(simulation, simulation.plan.adding(entry), 1.0, 75.0)
    assert some == pytest.approx(whole, abs=1e-3)


def frozen_night(cool: AirSeries, poured_at: datetime) -> tuple[AirSeries, datetime]:
    """One cold night, mild days since; and an instant a week later."""
    mild = np.arange(cool.hours) > 72 + 48
    air = nights_of(cool, -1.0)
    air = replace(
        air,
        air_C=np.where(mild, 14.0, air.air_C),
        dew_point_C=np.where(mild, 9.0, air.dew_point_C),
    )
    return air, poured_at + 7 * 24 * HOUR


def seen(kind: str, at: datetime) -> Observation:
    return Observation(at, kind)


def test_nothing_leans_on_strength_before_a_look_and_a_sound_one_settles_it(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    air, now = frozen_night(cool, poured_at)
    told = timeline.project(panel(), air, now)
    strip = next(step for step in told.steps if step.step == "strip")
    assert told.frost is not None
    assert 0.1 < told.frost.came < 0.5
    assert (strip.state, strip.safe) == ("not yet", None)
    assert strip.reason is not None
    assert strip.reason.code == "look_for_frost"
    sound = panel(observations=(seen("corner-sound", now - HOUR),))
    after = timeline.project(sound, air, now)
    strip = next(step for step in after.steps if step.step == "strip")
    assert strip.state == "open"
    assert after.frost is None or after.frost.came < told.frost.came / 3
    frosted = panel(observations=(seen("corner-frosted", now - HOUR),))
    worse = timeline.project(frosted, air, now)
    strip = next(step for step in worse.steps if step.step == "strip")
    assert strip.state == "frozen"


def test_a_frosted_corner_is_believed_though_nothing_foretold_it(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    now = poured_at + 40 * HOUR
    told = timeline.project(panel(observations=(seen("corner-frosted", now - HOUR),)), cool, now)
    assert "frozen" in {step.state for step in told.steps}


def test_three_cubes_as_strong_as_foreseen_undo_a_frost(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    air, now = frozen_night(cool, poured_at)
    before = simulated(panel(), air, now, 200)
    cubes = tuple(StrengthTest(now - HOUR, "cube", MPa) for MPa in (26.0, 25.0, 27.0))
    after = simulated(panel(tests=cubes), air, now, 200)
    assert after.frozen_by(167.0) < 0.6 * before.frozen_by(167.0)
    strip = next(
        step
        for step in timeline.project(panel(tests=cubes), air, now).steps
        if step.step == "strip"
    )
    assert strip.state == "open"
    weak = tuple(StrengthTest(now - HOUR, "cube", MPa) for MPa in (9.0, 9.5, 8.5))
    worse = simulated(panel(tests=weak), air, now, 200)
    assert worse.frozen_by(167.0) > before.frozen_by(167.0)


def test_the_frost_branch_stands_apart_from_the_windows(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    """9 % of frost moved turning from 5 days to 17: now it is told beside it."""
    now = poured_at + HOUR
    safe = {}
    for low_C in (2.0, 1.0, 0.5, 0.0):
        told = timeline.project(panel(), nights_of(cool, low_C), now)
        turn = next(step for step in told.steps if step.step == "turn")
        assert turn.safe is not None
        safe[low_C] = (turn.safe - poured_at) / HOUR
    ages = list(safe.values())
    assert np.all(np.diff(ages) > 0)
    assert np.all(np.diff(ages) / ages[:-1] < 0.15)
    assert told.frost is not None
    assert turn.safe is not None
    assert told.frost.turn is None or told.frost.turn > turn.safe
    codes = [message.code for message in told.warnings]
    assert codes.count("if_it_froze") == 1
