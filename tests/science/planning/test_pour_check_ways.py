"""The ways to pour and what forbids each: warm water, a room, wind, the hour of the float."""

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete import heat, prior
from models.concrete.mixture import Mixture
from models.concrete.section import Covering, MouldBoard
from models.errors import InputError
from models.message import Message
from models.piece.shape import Shape
from models.planning import abreast, pour_check, protection, starts, watch
from models.results import PourAnswer, PourOption
from models.simulation import thermal
from models.simulation.in_force import schedule
from models.simulation.scenario import Placement, Scenario, ShopRules
from tests.support.words import BARE, INDOORS, WARM_WATER, codes, cover, parts, within

ASKED = datetime(2026, 3, 10, 15, tzinfo=UTC)
FILM = Covering(0.0, None, "film")
BLANKET = Covering(0.0, None, "blanket")
BENCH = Scenario(
    "bench",
    Site("open yard", 44.0, 0.0),
    Mixture("general-purpose"),
    Shape("panel", 1500, 420, 60),
    Placement(ASKED),
    rules=ShopRules(code="ACI", owned=(FILM, BLANKET)),
)


def weather(
    mean_C: float, *, swing_K: float = 3.0, wind_m_s: float = 2.0, rain_at: int | None = None
) -> AirSeries:
    """Four days before the question and eleven after it; coldest at 03:00."""
    hours = 24 * 15
    clock = np.arange(hours) + (ASKED.hour - 96) % 24
    air = mean_C + swing_K * np.sin((clock - 9) / 24 * 2 * np.pi)
    same = np.ones(hours)
    rain = 0 * same
    if rain_at is not None:
        rain[96 + rain_at] = 3.0
    return AirSeries(
        ASKED - 96 * HOUR,
        air,
        air - 4,
        wind_m_s * same,
        rain,
        0.3 * same,
        np.nan * same,
        ASKED,
        "made up",
    )


def check(scenario: Scenario = BENCH, mean_C: float = 12.0, **air: float) -> PourAnswer:
    return pour_check.check(scenario, weather(mean_C, **air), ASKED, only=ASKED)  # type: ignore[arg-type]


def option(answer: PourAnswer, way: Message) -> PourOption:
    (found,) = [o for o in answer.options if o.protection == way and o.start == ASKED]
    return found


def cautioned(told: PourAnswer | PourOption) -> set[str]:
    return {one.code for one in told.cautions}


def chance(one: PourOption, risk: str) -> float:
    return next(r.probability for r in one.risks if r.risk == risk)


def test_a_mix_that_never_stiffens_in_the_cold_has_no_float_and_says_so() -> None:
    """At -38 C the warmth of the mix is gone before it sets: none is told, nor in silence."""
    warm = replace(BENCH.placement, concrete_C=25.0)
    thin = replace(BENCH, shape=Shape("panel", 1500, 420, 10), placement=warm)
    cautions = option(check(thin, mean_C=-38.0), BARE).cautions
    assert Message("no_float_in_three_days") in cautions


def test_in_mild_weather_nothing_is_warmed_and_nothing_is_needed() -> None:
    answer = check(mean_C=17.0)
    assert answer.answer.code == "pour"
    assert {o.protection for o in answer.options} == {BARE, cover("film"), cover("blanket")}


def test_in_cold_weather_a_mix_as_it_comes_is_too_cold_and_a_kettle_mends_that() -> None:
    answer = check(mean_C=5.0)
    bare, warm = option(answer, BARE), option(answer, cover("blanket", "way_cover_warm_water"))
    assert chance(bare, watch.COLD) > 0.9
    assert chance(warm, watch.COLD) < 0.1
    (recipe,) = [one for one in warm.cautions if one.code == "mixing_water"]
    water = float(str(recipe.values["water_C"]))
    assert 30 < water <= 60
    assert any("warm_water" in code for code in codes(answer.answer))


def test_water_of_sixty_degrees_does_not_warm_frozen_bags_enough() -> None:
    answer = check(mean_C=-9.0)
    assert answer.answer.code == "wait"
    warm = option(answer, WARM_WATER)
    assert Message("mixing_water", {"water_C": 60.0}) in warm.cautions
    assert chance(warm, watch.COLD) > 0.9
    assert "cold_weather_warm_bags" in cautioned(answer)


def test_a_room_of_the_shop_is_offered_and_it_passes_where_the_yard_does_not() -> None:
    cold = replace(BENCH, placement=Placement(ASKED, 16.0))
    room = Site("heated room", setpoint_C=18.0)
    indoors = replace(cold, rules=replace(cold.rules, indoors=room))
    assert check(cold, -4.0).answer.code == "wait"
    answer = check(indoors, -4.0)
    assert INDOORS in within(answer.answer)
    assert option(answer, INDOORS).strip_p90 is not None


def test_a_yard_is_no_room_to_go_into() -> None:
    with pytest.raises(InputError, match="indoors.kind"):
        ShopRules(indoors=Site("open yard"))


def test_film_is_not_trusted_in_a_wind_that_a_blanket_stands() -> None:
    answer = check(mean_C=17.0, wind_m_s=13.0)
    assert chance(option(answer, cover("film")), watch.WIND) > 0.5
    assert chance(option(answer, cover("blanket")), watch.WIND) < chance(
        option(answer, cover("film")), watch.WIND
    )
    calm = check(mean_C=17.0, wind_m_s=2.0)
    assert chance(option(calm, cover("film")), watch.WIND) == 0.0


def test_rain_after_an_hour_forbids_bare_and_not_film() -> None:
    answer = check(mean_C=17.0, rain_at=2)
    assert chance(option(answer, BARE), watch.RAIN) > 0.9
    assert chance(option(answer, cover("film")), watch.RAIN) == 0.0


def test_an_afternoon_pour_is_floated_in_the_dark_and_told_so_but_not_refused() -> None:
    late = replace(BENCH, placement=Placement(ASKED, 18.0))
    told = option(check(late, 14.0), BARE)
    assert told.passes
    (float_,) = [one for one in told.cautions if one.code == "float_about"]
    why = parts(float_, "why")[0]
    assert why.code == "in_the_dark_after"
    dusk = why.values["dusk_at"]
    assert isinstance(dusk, datetime)
    assert dusk.astimezone(UTC).hour == 18


def test_a_face_cast_in_place_has_to_be_floated_within_the_hours_of_the_shop() -> None:
    pad = replace(
        BENCH,
        placement=Placement(ASKED, 18.0),
        mould=MouldBoard("ground"),
        rules=replace(BENCH.rules, working_hours=(time(7), time(18))),
    )
    assert chance(option(check(pad, 14.0), BARE), watch.LATE) > 0.5
    open_late = replace(pad, rules=replace(pad.rules, working_hours=(time(7), time(2))))
    assert chance(option(check(open_late, 14.0), BARE), watch.LATE) < 0.1


def test_placing_that_takes_longer_than_twice_the_working_time_is_refused() -> None:
    def placed_in(hours: float) -> PourOption:
        mix = Mixture("rapid-setting", working_time_h=0.2)
        slow = replace(BENCH, mixture=mix, placement=Placement(ASKED, 21.0, placing_h=hours))
        return option(check(slow, 18.0), cover("film"))

    assert "mix_stiffens" not in cautioned(placed_in(0.1))
    two_mixers = placed_in(0.3)
    assert "mix_stiffens" in cautioned(two_mixers)
    assert chance(two_mixers, watch.STIFF) < 0.1
    assert not placed_in(0.6).passes


def test_two_blankets_of_different_resistance_are_two_ways() -> None:
    owned = (replace(BLANKET, R_m2K_W=0.3), replace(BLANKET, R_m2K_W=1.1))
    thick = replace(BENCH, rules=ShopRules(owned=owned), placement=Placement(ASKED, 16.0))
    found = [way.message for way in protection.options(thick)]
    thin_way, thick_way = (
        next(way for way in found if Message("cover_resists", {"R_m2K_W": value}) in within(way))
        for value in (0.3, 1.1)
    )
    answer = check(thick, -1.0)
    thin_one = chance(option(answer, thin_way), watch.FROST)
    assert chance(option(answer, thick_way), watch.FROST) < thin_one


def test_one_hour_alone_and_a_brief_look_say_what_the_whole_week_says() -> None:
    air, later = weather(7.5), ASKED + 21 * HOUR
    whole = pour_check.check(BENCH, air, ASKED)
    alone = pour_check.check(BENCH, air, ASKED, only=later)
    brief = pour_check.check(BENCH, air, ASKED, brief=True)
    assert len({o.start for o in whole.options}) == 168
    in_week = {o.protection: o for o in whole.options if o.start == later}
    assert {o.protection for o in alone.options} == set(in_week)
    for one in alone.options:  # frost of the start asked about by its timeline, else by the sweep
        swept, exact = ({r.risk: r for r in o.risks} for o in (in_week[one.protection], one))
        assert {k: r for k, r in exact.items() if k != watch.FROST} == {
            k: r for k, r in swept.items() if k != watch.FROST
        }
        if watch.FROST in exact:
            near, far = exact[watch.FROST], swept[watch.FROST]
            assert near.probability == pytest.approx(far.probability, abs=0.01)
            assert near.value == pytest.approx(far.value, abs=0.1)
    assert (brief.answer, brief.wait_until) == (whole.answer, whole.wait_until)
    assert len(brief.options) < len(whole.options)


def test_an_hour_that_cannot_be_checked_is_refused_by_name() -> None:
    for at in (ASKED - timedelta(days=2), ASKED + timedelta(days=20)):
        with pytest.raises(InputError, match="start"):
            pour_check.check(BENCH, weather(7.0), ASKED, only=at)


def test_a_wait_names_an_hour_of_the_shop_where_one_passes() -> None:
    """In the heat the night passes too, but at 07:00 the shop opens."""
    answer = pour_check.check(BENCH, weather(32.0, swing_K=9.0), ASKED)
    assert answer.answer.code == "wait"
    assert answer.wait_until == ASKED.replace(day=11, hour=7)
    assert any(o.passes and o.start < answer.wait_until for o in answer.options)


@pytest.mark.parametrize("kind", ["general-purpose", "rapid-setting"])
def test_the_longer_steps_of_the_check_stay_within_a_tenth_of_a_kelvin(kind: str) -> None:
    """Mean over hours and members against steps a tenth as long, every cover, mild and cold."""
    plan = replace(BENCH, mixture=Mixture(kind))
    for mean_C in (3.0, 16.0):
        series = weather(mean_C)
        rows = starts.rows_of(series, ASKED, ASKED, 1)
        seen = starts.at_place(plan, series, rows, ASKED, rows[::8])
        many = seen.prior(prior.draw(plan.mixture, seen.members, 1))
        placed = np.full(many.members, 15.0)
        for way in protection.options(plan):
            ours = replace(plan, coverings=way.coverings)
            pours = abreast.Pours(many, placed, seen.exposure, seen.base_C, seen.rain_mm, None)
            got = abreast.Under(ours, None, np.inf).histories(pours)
            fine = heat.temperature(
                thermal.column(ours),
                schedule(ours),
                seen.exposure,
                thermal.kinetics(many),
                placed,
                starts.WATCH_H,
                steps_h=(0.025, 0.05),
                sprint_tau_h=ours.mixture.resolved().hydration_tau_h,
            )
            for name in ("mean_C", "coldest_C"):
                off = np.abs(getattr(got, name) - getattr(fine, name))
                assert off.mean() < 0.1
                assert off.max() < 0.5


def test_no_water_of_zero_degrees_is_asked_for_a_mix_that_is_warm_as_it_comes() -> None:
    """A warm afternoon before a cold night: bags and water at 27 C need no recipe."""
    swings = check(mean_C=12.0, swing_K=15.0)
    assert min(r.value for o in swings.options for r in o.risks if r.unit == "degC") < 4
    assert not {code for code in cautioned(swings) if code.startswith("cold_weather")}
