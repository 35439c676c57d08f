"""Members whose covers the wind takes for part of a night.

Source     OWN_JUDGEMENT of facts.protection: a cover stays up to half of the wind it bears; at that
           wind three nights of ten take it off, more by the square of what is over half.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

import numpy as np
import pytest

from models.air.series import HOUR, AirSeries
from models.concrete.section import Covering
from models.draws import Draws
from models.errors import Unknown
from models.facts.protection import COVERS
from models.planning import default_plan, pour_check
from models.simulation import blown, physics
from models.simulation import plan as plans
from models.simulation.scenario import Observation, Scenario, ShopRules
from tests.support.words import cover

BLANKET = Covering(1.0, None, "blanket", faces="sides")
LUCKY = np.full(64, 1 - 1e-12)  # nothing is ever blown off
BLOWN = ("blanket", 0.0, np.inf)
NIGHT = (np.arange(49) % 24 < 12)[:, None]  # from placing at nightfall on


def windy(air: AirSeries, wind_m_s: float) -> AirSeries:
    """Such a wind at 10 m from six to eighteen hours after the pour, else a light one."""
    hour = np.arange(air.hours) - 72
    return replace(air, wind_m_s=np.where((hour >= 6) & (hour < 18), wind_m_s, 2.0))


def lost(fraction: float, rows: int = 12) -> float:
    """Share of many members that lose a blanket in a night at a part of the wind that it bears."""
    wind = np.full((49, 2048), fraction * COVERS["blanket"].wind_m_s)
    wind[rows:] = 0.0
    found = blown.spells([BLOWN], wind, lambda: NIGHT, Draws(2048).even("failure"))
    assert all(on < 12 and off == 12 for on, off, _ in found)  # laid again in the morning
    return sum(len(some) for _, _, some in found) / 2048


def test_a_fresher_wind_takes_more_covers_and_half_of_what_one_bears_takes_none() -> None:
    assert lost(0.5) == 0.0
    assert lost(0.75) == pytest.approx(1 - 0.7**0.25, abs=0.002)
    assert lost(1.0) == pytest.approx(0.3, abs=0.002)
    assert lost(1.5) == pytest.approx(1 - 0.7**4, abs=0.002)
    assert lost(1.0, 6) == pytest.approx(1 - 0.7**0.5, abs=0.002)  # half a night


def test_a_cover_more_is_never_lost_sooner() -> None:
    """A blanket holds the film under it."""
    wind, luck = np.full((49, 64), 8.5), Draws(64).even("failure")
    one, two = (
        blown.spells(lying, wind, lambda: NIGHT, luck)
        for lying in ([BLOWN], [BLOWN, ("film", 0.0, np.inf)])
    )
    assert [(on, off, list(some)) for on, off, some in one] == [
        (on, off, list(some)) for on, off, some in two
    ]
    film = blown.spells([("film", 0.0, np.inf)], wind, lambda: NIGHT, luck)
    assert sum(len(some) for *_, some in film) > sum(len(some) for *_, some in one)


def test_nothing_is_lost_by_day_or_before_it_lies() -> None:
    wind, luck = np.full((49, 64), 8.5), Draws(64).even("failure")
    by_day = blown.spells([BLOWN], wind, lambda: ~NIGHT & False, luck)
    assert not by_day
    late = blown.spells([("blanket", 30.0, np.inf)], wind, lambda: NIGHT, luck)
    assert late
    assert all(on >= 30 for on, _, _ in late)


def drawn(scenario: Scenario, air: AirSeries, at: datetime) -> physics.Members:
    members = physics.drawn(scenario, air, at, 240)
    assert not isinstance(members, Unknown)
    return members


def test_members_without_their_blanket_are_colder_freeze_sooner_and_strip_later(
    panel: Callable[..., Scenario], poured_at: datetime, cool: AirSeries
) -> None:
    gale = windy(replace(cool, air_C=cool.air_C - 4.0, dew_point_C=cool.dew_point_C - 4.0), 15.0)
    scenario = panel("open yard", coverings=(BLANKET,))
    members = drawn(scenario, gale, poured_at)
    lucky = replace(members, luck=LUCKY)
    told = plans.told(scenario)
    some, none = physics.under(members, told), physics.under(lucky, told)
    colder = none.trajectory.mean_C[18] - some.trajectory.mean_C[18]
    assert 4 <= np.count_nonzero(colder > 1.0) <= 16
    assert np.count_nonzero(np.abs(colder) < 1e-9) >= 48  # the others are as they were
    assert some.frozen_by(72) > none.frozen_by(72)
    by_hour = [
        default_plan.sure_h(scenario, replace(one, before={"strip": one}), "strip", 0.0)
        for one in (some, none)
    ]
    assert by_hour[0] >= by_hour[1]  # the same where a later condition governs
    ages = [one.trajectory.te_cold_h[72].mean() for one in (some, none)]
    assert ages[0] < ages[1]
    bare = drawn(panel("open yard"), gale, poured_at)
    one, other = (physics.under(m, told) for m in (bare, replace(bare, luck=LUCKY)))
    np.testing.assert_array_equal(one.trajectory.mean_C, other.trajectory.mean_C)


def test_a_probe_that_is_colder_after_a_windy_night_moves_strip_later(
    panel: Callable[..., Scenario], poured_at: datetime, cool: AirSeries
) -> None:
    gale, now = windy(cool, 13.0), poured_at + 26 * HOUR
    scenario = panel("open yard", coverings=(BLANKET,))
    foreseen = physics.simulate(scenario, gale, now, 240)
    assert isinstance(foreseen, physics.Simulation)
    middle = float(np.median(foreseen.trajectory.mean_C[20]))
    sure = []
    for colder_K in (0.0, 2.0, 5.0):
        read = (Observation(poured_at + 20 * HOUR, "concrete", middle - colder_K),)
        got = default_plan.simulated(replace(scenario, observations=read), gale, now, 240)
        assert isinstance(got, physics.Simulation)
        sure.append(default_plan.sure_h(scenario, got, "strip", 26.0))
    assert sure[0] < sure[1] < sure[2]


def test_the_sweep_of_a_week_counts_them_as_the_start_asked_about_does(
    panel: Callable[..., Scenario], poured_at: datetime, cool: AirSeries
) -> None:
    gale = windy(replace(cool, air_C=cool.air_C - 5.0, dew_point_C=cool.dew_point_C - 5.0), 14.0)
    scenario = panel("open yard", rules=ShopRules(owned=(replace(BLANKET, from_h=0.0),)))
    whole = pour_check.check(scenario, gale, poured_at, days=1)
    later = poured_at + 2 * HOUR
    alone = pour_check.check(scenario, gale, poured_at, only=later)
    swept, exact = (
        next(o for o in one.options if o.start == later and o.protection == cover("blanket"))
        for one in (whole, alone)
    )
    assert swept.frost_chance is not None
    assert swept.frost_chance > 0.03
    assert swept.frost_chance == pytest.approx(exact.frost_chance, abs=0.01)
