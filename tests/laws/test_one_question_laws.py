"""One question has one answer: pour check, timeline, alert and what-if of one pour tell alike."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete.mixture import Mixture
from models.concrete.section import Covering, MouldBoard
from models.message import Message
from models.piece.shape import Shape
from models.planning import pour_check, timeline
from models.results import Projection
from models.simulation.scenario import Meant, Placement, Scenario, ShopRules
from tests.support.words import BARE, INDOORS, cover, number

ASKED = datetime(2025, 11, 20, 6, tzinfo=UTC)
BLANKET = Covering(1.0, None, "blanket", faces="sides")
STARTS_H = (0, 16, 32, 48, 64, 80, 96, 112, 128, 144)


def days(means_C: Sequence[float]) -> AirSeries:
    """Hourly air from three days before the question on, each day about its own mean [degC]."""
    hour = np.arange(24 * (len(means_C) - 1))
    air = np.interp(hour / 24, np.arange(len(means_C)), means_C)
    air += 4.5 * np.sin(2 * np.pi * (hour - 3) / 24)
    same = np.ones(len(hour))
    columns = (air, air - 3.0, 2.0 * same, 0.0 * same, 0.4 * same, np.nan * same)
    return AirSeries(ASKED - 72 * HOUR, *columns, ASKED, "made up")


@pytest.fixture(scope="module")
def cold_week() -> AirSeries:
    """Frost at night, which a blanket keeps off."""
    return days([5, 6, 6, 5.5, 6.5, 7.5, 8, 9, *8 * [9.5]])


def pour(at: datetime, room: Site | None = None) -> Scenario:
    return Scenario(
        "bench",
        Site("open yard", 41.5, -74.0),
        Mixture("general-purpose"),
        Shape("panel", 1800.0, 900.0, 50.0),
        Placement(at, 15.0),
        rules=ShopRules(owned=(replace(BLANKET, from_h=0.0),), indoors=room),
    )


def frost(answer: Projection) -> tuple[float, float]:
    watch = answer.frost_watch
    assert watch is not None
    assert watch.lowest_C is not None
    return round(watch.chance, 3), round(watch.lowest_C, 2)


def dates(answer: Projection) -> list[datetime | None]:
    return [one.safe for one in answer.steps if one.step in ("strip", "turn")]


def same(scenario: Scenario, air: AirSeries, ways: dict[Message, Scenario]) -> int:
    """How many ways have the same hours; each is told as the timeline of that pour tells it.

    Where the timeline asks for one more cover its hours are those under it.
    """
    answer, alike = pour_check.check(scenario, air, ASKED, only=scenario.placement.at), 0
    for one in answer.options:
        if one.protection in ways and one.frost_chance is not None:  # else too cold to place
            told = timeline.project(ways[one.protection], air, ASKED)
            assert (one.frost_chance, one.lowest_C) == frost(told)
            alarms = [round(a.chance, 3) for a in told.alerts if a.kind == "frost"]
            assert alarms in ([], [one.frost_chance])
            if told.if_covered is None:
                assert [one.strip_p90, one.turn_p90] == dates(told)
                alike += 1
    return alike


@pytest.mark.parametrize("hour", STARTS_H)
def test_the_start_asked_about_is_told_as_its_timeline_tells_it(
    hour: int, cold_week: AirSeries
) -> None:
    scenario = pour(ASKED + timedelta(hours=hour))
    covered = replace(scenario, coverings=(BLANKET,))
    assert same(scenario, cold_week, {BARE: scenario, cover("blanket"): covered})


def test_a_pour_in_the_room_is_told_as_its_timeline_tells_it(cold_week: AirSeries) -> None:
    room = Site("unheated room", 41.5, -74.0)
    scenario = pour(ASKED + timedelta(hours=48), room)
    assert same(scenario, cold_week, {INDOORS: replace(scenario, site=room)}) == 1


@pytest.mark.parametrize("board", ["melamine", "ground"])
def test_a_pour_in_a_tent_that_was_heated_before_is_told_as_its_timeline_tells_it(
    board: str,
) -> None:
    """The maker logs the tent that stands at placing and the mould or ground as warm as told."""
    tent = Covering(0.0, None, "heated enclosure", setpoint_C=12.0, heater="electric")
    scenario = pour(ASKED + timedelta(hours=30))
    rules = replace(scenario.rules, owned=(tent,))
    scenario, hard = replace(scenario, mould=MouldBoard(board), rules=rules), days(16 * [3.0])
    answer = pour_check.check(scenario, hard, ASKED, only=scenario.placement.at)
    (one,) = (o for o in answer.options if o.heat_from is not None)
    (since,) = (m for m in one.cautions if m.code == "heat_from")
    warm = replace(scenario.placement, board_C=number(since, "base_C"))
    poured = replace(scenario, coverings=(tent,), placement=warm)
    assert same(scenario, hard, {one.protection: poured}) == 1


def test_what_an_alert_says_of_a_cover_is_what_the_check_says_of_that_way() -> None:
    """The blanket is not enough there, so that it is asked for an hour after the news: as soon as
    after a pour."""
    scenario, hard = pour(ASKED), days(16 * [2.5])
    frost = next(a for a in timeline.project(scenario, hard, ASKED).alerts if a.kind == "frost")
    answer = pour_check.check(scenario, hard, ASKED, only=ASKED)
    under = next(o for o in answer.options if o.protection == cover("blanket"))
    assert frost.after is not None
    assert round(frost.after, 3) == under.frost_chance


def test_what_a_blanket_would_bring_is_what_it_brings() -> None:
    air = days(16 * [11.0])
    under = Covering(0.0, None, "blanket", faces="sides")
    meant = Meant(
        "strip", ASKED + timedelta(hours=108)
    )  # the mould of the slowest goes then in both
    bare = replace(pour(ASKED), plan=(meant,))
    strip, covered = (
        next(s for s in timeline.project(p, air, ASKED).steps if s.step == "strip")
        for p in (bare, replace(bare, coverings=(under,)))
    )
    gain = next(
        one for one in strip.earlier_if if one.values.get("change") == Message("blanket_from_now")
    )
    assert strip.safe is not None
    assert covered.safe is not None
    gained = gain.values.get("gain_h"), gain.values.get("gain_days")
    hours = [24 * one if k else one for k, one in enumerate(gained) if isinstance(one, float)]
    assert hours == [pytest.approx((strip.safe - covered.safe) / HOUR, abs=2 / 60)]
