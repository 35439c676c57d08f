"""What nature and late hands do to a pour: frost, heat, the night the clocks change, late logs."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete.mixture import LabelStrength, Mixture
from models.concrete.section import Covering
from models.message import Message
from models.piece.shape import Shape
from models.planning import timeline
from models.quantile import quantile
from models.results import STATES, Projection, StepWindow
from models.simulation import physics
from models.simulation.scenario import Done, Observation, Placement, Scenario, ShopRules
from service.words import Reader, say
from service.words.instants import instant
from tests.support.words import codes, tells

HERE = Reader("America/Chicago")

CHICAGO = ZoneInfo("America/Chicago")
Panel = Callable[..., Scenario]


def steady(poured_at: datetime, air_C: float, first_C: float | None = None) -> AirSeries:
    """Three days of one temperature before the pour, a fortnight of another after it."""
    hours = 24 * 17
    air = np.where(np.arange(hours) < 72, air_C if first_C is None else first_C, air_C)
    same = np.ones(hours)
    return AirSeries(
        poured_at - 72 * HOUR,
        air,
        air - 3,
        2 * same,
        0 * same,
        0.5 * same,
        np.nan * same,
        poured_at,
        "a made-up record",
    )


def step(told: Projection, name: str) -> StepWindow:
    return next(one for one in told.steps if one.step == name)


def instants(told: StepWindow) -> tuple[float | None, ...]:
    """Seconds: two clocks of one doubled hour are never equal to Python as they stand."""
    return tuple(None if at is None else at.timestamp() for at in (told.p50, told.p90, told.latest))


# frost


def test_a_piece_that_froze_says_so_and_what_to_do(panel: Panel, poured_at: datetime) -> None:
    told = timeline.project(panel(), steady(poured_at, -9.0, 4.0), poured_at + 40 * HOUR)
    frozen = [one for one in told.steps if one.state == "frozen"]
    assert "frozen" in STATES
    assert {"strip", "turn", "end-wet-cure", "coat-1"} <= {one.step for one in frozen}
    assert step(told, "finish").state != "frozen"
    for one in frozen:
        (why,) = one.because
        assert why.code == "frozen_see_above", "told once, on top"
        assert instants(one) == (None, None, None)
    (frost,) = [one for one in told.warnings if "frost" in one.code]
    assert codes(frost) >= {"frost_froze", "probably_frozen"}, "it is too late for a blanket"
    froze = frost.values["why"]
    assert isinstance(froze, Message)
    assert froze.values["over_C"] == 10.0
    assert {one.state for one in told.steps} <= set(STATES)


def test_it_did_not_freeze_when_a_max_min_thermometer_beside_it_stayed_warm(
    panel: Panel, poured_at: datetime
) -> None:
    """The weather says just under freezing; the thermometer beside the piece knows better."""
    chilly = steady(poured_at, -1.5, 4.0)
    now = poured_at + 30 * HOUR
    assert step(timeline.project(panel(), chilly, now), "strip").state == "frozen"
    warm = tuple(
        Observation(poured_at + h * HOUR, "air-min-max", 2.0, 4.0, 10.0) for h in (10, 20, 30)
    )
    assert step(timeline.project(panel(observations=warm), chilly, now), "strip").state != "frozen"


def test_what_was_done_before_the_frost_stays_done(panel: Panel, poured_at: datetime) -> None:
    told = timeline.project(
        panel(done=(Done("cover", poured_at + HOUR),)),
        steady(poured_at, -9.0, 4.0),
        poured_at + 40 * HOUR,
    )
    assert step(told, "cover").state == "done"


# heat


def test_a_room_hotter_than_any_weather_is_answered_not_refused(
    panel: Panel, poured_at: datetime
) -> None:
    """42 C outdoors, a tin roof 20 K over that: the projection says hot, it does not give up."""
    shed = panel("unheated room", site=Site("unheated room", offset_K=20.0))
    told = timeline.project(shed, steady(poured_at, 42.0), poured_at + 8 * HOUR)
    assert told.concrete is not None
    assert told.concrete.air_C.p50.max() > 60
    assert any(code.startswith("hot_") for code in codes(*told.warnings))


def test_a_learned_yard_at_the_ends_of_the_thermometer_is_answered(
    panel: Panel, poured_at: datetime
) -> None:
    for air_C, over_K in ((42.0, 20.0), (-58.0, -8.0)):
        yard = panel(site=Site("open yard", offset_K=over_K, offset_sd_K=0.5))
        ends = steady(poured_at, air_C)
        assert timeline.project(yard, ends, poured_at + HOUR).concrete is not None


def test_a_service_that_knows_nothing_of_the_cold_is_still_answered(
    panel: Panel, poured_at: datetime
) -> None:
    """Dry polar air and a told spread of 30 K: dew points go no lower than a record may tell."""
    polar = steady(poured_at, -35.0)
    polar = replace(
        polar,
        dew_point_C=polar.air_C - 20,
        spread_K=np.full(polar.hours, 30.0),
        spread_factor=np.full(polar.hours, 3.0),
    )
    seen = (Observation(poured_at + HOUR, "air", 90.0),)
    for given in ((), seen):
        yard = panel("open yard", observations=given)
        assert timeline.project(yard, polar, poured_at + 2 * HOUR).concrete is not None


def test_a_record_that_ends_at_the_ends_of_the_scale_is_lengthened(
    panel: Panel, poured_at: datetime
) -> None:
    """Its last hour is muggier than at that clock on other days, and the next is always muggy."""
    steam = steady(poured_at, 43.0)
    dew = np.where(np.arange(steam.hours) % 24 == 6, 40.0, 36.0)
    dew[-19] = 40.0
    cut = replace(steam, dew_point_C=dew).between(steam.start, steam.end - 18 * HOUR)
    assert timeline.project(panel(), cut, poured_at + HOUR).concrete is not None


def test_no_number_is_told_as_minus_nothing(panel: Panel, poured_at: datetime) -> None:
    """31.9 F and a little: contradicted by a warm day, and told as 0.0 C, not as -0.0 C."""
    seen = (Observation(poured_at + HOUR, "air", -0.04),)
    told = timeline.project(panel(observations=seen), steady(poured_at, 20.0), poured_at + 2 * HOUR)
    (read,) = [one for one in told.warnings if "read_C" in one.values]
    assert read.values["read_C"] == -0.04
    assert tells(say(read, HERE), read.code, read_C="0.0 °C", foreseen_C="20 °C")


def test_a_thick_rich_block_in_summer_is_told_the_70_degree_limit(poured_at: datetime) -> None:
    block = Scenario(
        "plinth",
        Site("covered"),
        Mixture("high-early", cement_kg_m3=600.0),
        Shape("block", 900, 700, height_mm=500),
        Placement(poured_at, 32.0),
        coverings=(Covering(0.0, None, "two blankets", faces="all"),),
    )
    told = timeline.project(block, steady(poured_at, 34.0), poured_at + 2 * HOUR)
    (hot,) = [one for one in told.warnings if one.code.startswith("hot_")]
    assert (hot.code, hot.values["limit_C"]) == ("hot_harms", 70.0)


def test_hot_early_cure_is_a_caution_and_a_mild_one_is_none(
    panel: Panel, poured_at: datetime
) -> None:
    thick = panel(shape=Shape("panel", 1200, 600, 100), placement=Placement(poured_at, 32.0))
    hot, mild = (
        codes(*timeline.project(thick, steady(poured_at, air), poured_at + HOUR).warnings)
        for air in (36.0, 12.0)
    )
    assert "hot_early_cure" in hot
    assert "hot_early_cure" not in mild


# the night the clocks change


@pytest.mark.parametrize("evening", ["2026-10-31T20:00", "2027-03-13T20:00"])
def test_the_night_the_clocks_change_moves_no_window(panel: Panel, evening: str) -> None:
    poured = datetime.fromisoformat(evening).replace(tzinfo=CHICAGO)
    # else its mornings move with the zone, and so do the rules of its region
    at_all_hours = ShopRules(working_hours=(time(0), time(0)), code="ACI")
    site = Site("covered", timezone=CHICAGO.key)
    here = panel(site=site, placement=Placement(poured, 17.0), rules=at_all_hours)
    in_utc = replace(here, site=replace(here.site, timezone="UTC"))
    at = poured.astimezone(UTC)
    now = at + 20 * HOUR
    local, plain = (timeline.project(one, steady(at, 11.0), now) for one in (here, in_utc))
    end = (at + timedelta(days=340)).timestamp()  # the last weeks of the year that is looked at

    def before_the_end(step: StepWindow) -> list[float | None]:
        return [one if one is not None and one < end else None for one in instants(step)]

    for one, other in zip(local.steps, plain.steps, strict=True):
        assert (one.state, before_the_end(one)) == (other.state, before_the_end(other))
    assert local.concrete is not None
    apart = np.diff([moment.timestamp() for moment in local.concrete.times])
    assert set(apart) == {3600.0}


@pytest.mark.parametrize(
    ("evening", "wall_clock"),
    [("2026-10-31T20:00", "02:00"), ("2027-03-13T20:00", "04:00"), ("2026-10-14T20:00", "03:00")],
)
def test_seven_hours_later_is_what_the_clock_on_the_wall_shows(
    evening: str, wall_clock: str
) -> None:
    poured = datetime.fromisoformat(evening).replace(tzinfo=CHICAGO)
    scenario = Scenario(
        "panel",
        Site("covered", timezone=CHICAGO.key),
        Mixture("general-purpose"),
        Shape("panel", 1200, 600, 50),
        Placement(poured, 17.0),
    )
    assert wall_clock in instant(scenario.clock(7.0), "", Reader(scenario.site.timezone))


# logged late, and readings with a hole


def test_a_pour_logged_five_days_late_is_shown_as_it_stands_and_by_what_was_read(
    panel: Panel, poured_at: datetime
) -> None:
    now = poured_at + timedelta(days=5)
    mild = steady(poured_at, 9.0)
    bag = Mixture("general-purpose", (LabelStrength(672.0, 28.0),))
    bare = timeline.project(panel(mixture=bag), mild, now)
    assert step(bare, "finish").state == "past"
    strip = step(bare, "strip")
    assert strip.state == "open"
    assert strip.p90 is not None
    assert poured_at < strip.p90 < now
    cold = tuple(Observation(poured_at + h * HOUR, "concrete", 3.5) for h in range(12, 96, 12))
    seen = step(timeline.project(panel(mixture=bag, observations=cold), mild, now), "strip")
    assert seen.p90 is not None
    assert seen.p90 > strip.p90 + 12 * HOUR


def test_a_day_without_probe_readings_is_doubted_more_than_a_day_with_them(
    panel: Panel, poured_at: datetime, cool: AirSeries
) -> None:
    def simulation(*hours: int) -> physics.Simulation:
        read = tuple(Observation(poured_at + h * HOUR, "concrete", 11.0) for h in hours)
        now = poured_at + 60 * HOUR
        fresh = replace(cool, issued_at=now)
        got = physics.simulate(
            panel(observations=read), fresh, now, 72, 2048
        )  # 256 say it to a tenth
        assert isinstance(got, physics.Simulation)
        assert not got.notes
        return got

    def wide(one: physics.Simulation, hour: int) -> float:
        low, high = (
            quantile(one.trajectory.mean_C[hour], one.trajectory.weight, q) for q in (0.1, 0.9)
        )
        return high - low

    broken = simulation(*range(6, 19, 3), *range(42, 55, 3))
    whole = simulation(*range(6, 55, 3))
    a_day_without, every_day, never = (wide(one, 30) for one in (broken, whole, simulation()))
    assert a_day_without > 1.03 * every_day  # 2,048 members say 1.05
    assert a_day_without <= never
    for one in (broken, whole):
        assert np.isfinite(one.trajectory.te_mean_h).all()
        assert (np.diff(one.trajectory.te_mean_h, axis=0) >= 0).all()
