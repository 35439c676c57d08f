"""What forbids a pour, the worst harm first; frozen ground and moulds; which way is nearest."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, time

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete import setting
from models.concrete.mixture import Mixture
from models.concrete.section import Covering, MouldBoard
from models.facts.fresh import DRY_PER_WATER
from models.message import Message
from models.piece.shape import Shape
from models.planning import pour_check, pour_reasons, starts, watch
from models.results import PourAnswer, PourOption
from models.simulation.scenario import Placement, Scenario, ShopRules
from models.steps import place as placing
from models.units import Array
from tests.support.words import BARE, INDOORS, WARM_WATER, cover, number, parts, within

ASKED = datetime(2026, 3, 10, 15, tzinfo=UTC)
BEFORE_H = 14 * 24
OWNED = tuple(Covering(0.0, None, kind) for kind in ("film", "blanket", "two blankets"))
BENCH = Scenario(
    "bench",
    Site("covered", 44.0, 0.0),
    Mixture("general-purpose"),
    Shape("panel", 1500, 420, 60),
    Placement(ASKED, 18.0),
    rules=ShopRules(owned=OWNED),
)
PAD = replace(
    BENCH, mould=MouldBoard("ground"), rules=replace(BENCH.rules, working_hours=(time(7), time(6)))
)


def weather(air_of: Callable[[Array], Array], rain_mm: float = 0.0) -> AirSeries:
    """Fourteen days before the question and eleven after it; air_of: hours from the question."""
    hour = np.arange(BEFORE_H + 24 * 11, dtype=np.float64) - BEFORE_H
    air = np.asarray(air_of(hour), dtype=np.float64)
    same = np.ones(len(hour))
    return AirSeries(
        ASKED - BEFORE_H * HOUR,
        air,
        air - 4,
        2 * same,
        rain_mm * same,
        0.3 * same,
        np.nan * same,
        ASKED,
        "made up",
    )


def check(
    scenario: Scenario,
    air: AirSeries,
    *,
    only: datetime | None = ASKED,
    brief: bool = False,
    days: int = pour_check.DAYS,
) -> PourAnswer:
    return pour_check.check(scenario, air, ASKED, only=only, brief=brief, days=days)


def chance(option: PourOption, name: str) -> float:
    return next(risk.probability for risk in option.risks if risk.risk == name)


def on_ice(answer: PourAnswer) -> set[float]:
    return {chance(o, watch.GROUND) for o in answer.options}


def forbids(answer: PourAnswer) -> list[str]:
    """The risks that the reason of a wait names, in its order."""
    return [str(one.values["risk"]) for one in parts(answer.because[0], "risks")]


def mixing_water_C(option: PourOption) -> float:
    (recipe,) = [one for one in option.cautions if one.code == "mixing_water"]
    return number(recipe, "water_C")


def taken(answer: PourAnswer) -> list[Message]:
    """What was taken for what was not told."""
    found = [one for one in answer.cautions if one.code == "taken_since_not_told"]
    return [part for one in found for part in parts(one, "taken")]


def test_no_pad_is_cast_on_ground_that_froze_for_three_days() -> None:
    """A mild day after three of -6 C: the air is fine, the ground is ice."""
    mild = check(PAD, weather(lambda h: np.where(h < 0, -6.0, 9.0)))
    assert mild.answer.code == "wait"
    assert on_ice(mild) == {1.0}
    assert watch.GROUND in forbids(mild)
    assert Message("nothing_on_ice") in mild.cautions
    assert check(PAD, weather(lambda h: 9.0 + 0 * h)).answer.code.startswith("pour")
    bench = check(BENCH, weather(lambda h: np.where(h < 0, -6.0, 9.0)))
    assert bench.answer.code.startswith("pour")  # a mould in air of 9 C is no ground


def test_ground_that_froze_for_four_days_is_not_thawed_by_three_over_zero() -> None:
    thawing = weather(lambda h: np.where((h >= -168) & (h < -72), -8.0, 6.5))
    assert check(PAD, thawing).answer.code == "wait"
    assert on_ice(check(PAD, thawing)) == {1.0}
    later = check(PAD, thawing, days=7, only=ASKED + 6 * 24 * HOUR)
    assert max(on_ice(later)) <= 0.1


def test_a_night_of_frost_on_warm_ground_does_not_freeze_it() -> None:
    autumn = weather(lambda h: 6.0 + 7.5 * np.cos((h + 3) / 24 * 2 * np.pi))
    assert on_ice(check(PAD, autumn)) == {0.0}


def test_no_cover_helps_a_mould_that_stands_in_the_frost_but_a_warm_one_does() -> None:
    frost = weather(lambda h: -4.0 + 0 * h)
    cold = check(BENCH, frost)
    assert watch.MOULD in forbids(cold)
    assert {chance(o, watch.MOULD) for o in cold.options} == {1.0}
    assert cold.answer.code == "wait"
    told = replace(BENCH, placement=replace(BENCH.placement, board_C=16.0))
    assert {chance(o, watch.MOULD) for o in check(told, frost).options} == {0.0}
    room = replace(BENCH.rules, indoors=Site("heated room", setpoint_C=18.0))
    assert INDOORS in within(check(replace(BENCH, rules=room), frost).answer)


@pytest.mark.parametrize("mean_C", [-5.0, -1.0, 0.5])
def test_what_forbids_a_pour_is_told_by_its_harm(mean_C: float) -> None:
    """A lost piece, then a cold one, then a dry face, then the maker's evening."""
    late = replace(PAD.rules, working_hours=(time(7), time(16)))
    pad = replace(PAD, rules=late, placement=Placement(ASKED, 14.0))
    answer = check(pad, weather(lambda h: mean_C + 3 * np.sin(h / 24 * 2 * np.pi)))
    several = 0
    for option in answer.options:
        stops = [r.risk for r in option.risks if r.forbids]
        assert stops == sorted(stops, key=watch.HARM.index)
        assert stops == [r.risk for r in option.risks][: len(stops)]
        several += len(stops) > 1
    assert several
    stops = [r.risk for r in pour_reasons.nearest(list(answer.options)).risks if r.forbids]
    assert forbids(answer) == stops
    assert watch.LATE in stops
    assert stops[0] != watch.LATE


def test_the_reason_is_that_of_the_way_that_comes_nearest() -> None:
    """Cold is mended by warm water; what forbids all ways is the rain."""
    plain = replace(
        BENCH,
        site=Site("open yard", 44.0, 0.0),
        placement=Placement(ASKED),
        rules=ShopRules(owned=(Covering(0.0, None, "wet cover"),)),
    )
    answer = check(plain, weather(lambda h: 8.5 + 0 * h, rain_mm=3.0), only=None, days=1)
    assert answer.answer.code == "wait"
    assert watch.RAIN in forbids(answer)
    assert watch.COLD not in forbids(answer)
    for at in {o.start for o in answer.options}:
        ways = [o for o in answer.options if o.start == at]
        assert pour_reasons.nearest(ways).risks[0].risk == watch.RAIN


def test_wait_until_is_never_now() -> None:
    """Asked for tonight, when it rains: now would do, and now is no hour to wait for."""
    mild = weather(lambda h: 21.0 + 0 * h)
    hour = np.arange(mild.hours) - BEFORE_H
    wet = replace(mild, rain_mm=np.where(hour > 16, 3.0, 0.0))
    tonight = replace(
        BENCH,
        site=Site("open yard", 44.0, 0.0),
        placement=Placement(ASKED + 17 * HOUR, 21.0),
        rules=ShopRules(owned=(Covering(0.0, None, "wet cover"),)),
    )
    answer = pour_check.check(tonight, wet, ASKED)
    assert any(o.passes and o.start == ASKED for o in answer.options)
    assert answer.answer.code == "wait"
    assert answer.wait_until is None or answer.wait_until > ASKED
    assert "pour_now_passes" in {one.code for one in answer.because}


def test_warm_water_is_reckoned_from_the_bags_and_not_from_the_mix() -> None:
    """Bags at 2 C beside a mix that came at 11: by the mixing formula of ACI 306R."""
    air = weather(lambda h: 2.0 + 0 * h)
    cool = replace(BENCH, placement=Placement(ASKED, 11.0))
    (warm,) = [o for o in check(cool, air).options if o.protection == WARM_WATER]
    water = mixing_water_C(warm)
    wanted = setting.water_temperature_for(
        wanted_C=placing.as_mixed_C(60, 2.0), dry_kg=DRY_PER_WATER, dry_C=2.0, water_kg=1.0
    )
    assert water == pytest.approx(wanted, abs=1.0)
    told = replace(cool, placement=replace(cool.placement, bag_C=10.0))
    (warmer,) = [o for o in check(told, air).options if o.protection == WARM_WATER]
    assert mixing_water_C(warmer) < water - 15


def test_what_was_taken_for_bags_water_and_mould_is_said() -> None:
    air = weather(lambda h: 9.0 + 0 * h)
    untold = replace(BENCH, placement=Placement(ASKED))
    assert taken(check(untold, air)) == [
        Message("taken_as_the_air", {"part": ("bags", "water", "mould")})
    ]
    known = replace(untold, placement=Placement(ASKED, bag_C=9.0, water_C=9.0, board_C=9.0))
    assert taken(check(known, air)) == []
    assert Message("ground_taken_as_three_days") in taken(check(PAD, air))


def test_every_way_tells_how_cold_it_gets_and_when_it_strips() -> None:
    """The cheapest way may cost days: the answer says so, and by which way they are saved."""
    cool = weather(lambda h: 9.0 + 2 * np.sin(h / 24 * 2 * np.pi))
    wrapped = ShopRules(owned=(Covering(0.0, None, "two blankets", faces="all"),))
    thick = replace(BENCH, shape=Shape("panel", 1500, 420, 100), rules=wrapped)
    answer = check(thick, cool)
    ways = {o.protection: o for o in answer.options}
    for option in ways.values():
        assert (option.lowest_C is None) == (option.frost_chance is None)
        assert option.frost_chance == chance(option, watch.FROST)
        assert option.strip_p90 is not None
    bare, two = ways[BARE], ways[cover("two blankets", faces="all")]
    assert bare.lowest_C is not None
    assert two.lowest_C is not None
    assert bare.lowest_C < two.lowest_C
    assert bare.strip_p90 is not None
    assert two.strip_p90 is not None
    assert (bare.strip_p90 - two.strip_p90) / HOUR > 12
    assert answer.answer.code == "pour"
    strips = parts(answer.because[0], "reasons")[-1]
    assert strips.code == "strip_sure_sooner_in"
    assert strips.values["at"] == bare.strip_p90
    assert number(strips, "saved_h") >= 12


def test_frost_is_owed_until_as_much_warmth_has_paid_it_back() -> None:
    air = np.concatenate((np.full(24, -2.0), np.full(24, 1.0), np.full(48, 3.0)))
    owed = starts.unthawed_Kh(air)
    assert owed[23] == pytest.approx(48.0)
    assert owed[47] == pytest.approx(24.0)
    assert owed[-1] == 0.0
    assert starts.unthawed_Kh(np.full(5, 1.0), 30.0)[-1] == pytest.approx(25.0)
