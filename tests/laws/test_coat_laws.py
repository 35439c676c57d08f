"""Laws of the coat plan: wet air, one more coat and a stricter sheet only ever make it later."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from models.air.series import AirSeries
from models.coating.film import SealerSystem
from models.errors import Unknown
from models.facts.sealers import CHEMISTRIES
from models.message import text
from models.planning import coat_plan, default_plan, timeline
from models.simulation import physics
from models.simulation.scenario import Done, Scenario
from models.steps import patch
from tests.support.thorough import some

AirOf = Callable[..., AirSeries]
PourOf = Callable[..., Scenario]
NOW_H = 30.0
KINDS = st.sampled_from(sorted(CHEMISTRIES))


def coated(scenario: Scenario, air: AirSeries) -> tuple[coat_plan.Coated, physics.Simulation]:
    """The plan of a piece that is dry and old enough already, a day after its pour."""
    now = scenario.placement.at + timedelta(hours=NOW_H)
    simulation = default_plan.simulated(scenario, air, now, 240, 32)
    assert isinstance(simulation, physics.Simulation)
    ready = np.zeros(simulation.trajectory.members)
    return coat_plan.coated(
        scenario, simulation.trajectory, ready, dry_face(simulation), NOW_H, ()
    ), simulation


def dry_face(simulation: physics.Simulation) -> np.ndarray:
    return np.ones(simulation.trajectory.rain_mm.shape, dtype=bool)


def sealed(pour_of: PourOf, kind: str, coats: int = 2, **sheet: float) -> Scenario:
    return pour_of("covered", sealer=SealerSystem(kind, coats=coats, **sheet))  # type: ignore[arg-type]


def sure(told: coat_plan.Coated) -> list[float]:
    return [when.p90 for _, when in told.openings]


def likely(told: coat_plan.Coated) -> list[float]:
    return [when.p50 for _, when in told.openings]


@settings(max_examples=some(8, 2000))
@given(kind=KINDS, mean=st.floats(8.0, 28.0), gap=st.floats(4.0, 14.0), wetter=st.floats(0.1, 6.0))
def test_wetter_air_never_coats_earlier(
    air_of: AirOf, pour_of: PourOf, kind: str, mean: float, gap: float, wetter: float
) -> None:
    pour = sealed(pour_of, kind)
    fine, _ = coated(pour, air_of(mean, 4.0, dew_gap_K=gap))
    damp, _ = coated(pour, air_of(mean, 4.0, dew_gap_K=max(gap - wetter, 0.0)))
    assert sure(damp)[0] >= sure(fine)[0]
    if CHEMISTRIES[kind].recoat_max_h is None:
        for later, sooner in zip(sure(damp), sure(fine), strict=True):
            assert later >= sooner


@settings(max_examples=some(8, 2000))
@given(kind=KINDS, mean=st.floats(8.0, 28.0), gap=st.floats(5.0, 14.0), coats=st.integers(1, 4))
def test_one_more_coat_never_ends_earlier(
    air_of: AirOf, pour_of: PourOf, kind: str, mean: float, gap: float, coats: int
) -> None:
    air = air_of(mean, 4.0, dew_gap_K=gap)
    few, _ = coated(sealed(pour_of, kind, coats), air)
    more, _ = coated(sealed(pour_of, kind, coats + 1), air)
    assert sure(more)[-1] >= sure(few)[-1]
    assert more.plan.net_l > few.plan.net_l


@settings(max_examples=some(8, 2000))
@given(
    kind=KINDS,
    mean=st.floats(8.0, 28.0),
    gap=st.floats(4.0, 14.0),
    by=st.floats(0.1, 4.0),
    hold=st.floats(0.0, 20.0),
)
def test_a_stricter_sheet_never_coats_earlier(
    air_of: AirOf, pour_of: PourOf, kind: str, mean: float, gap: float, by: float, hold: float
) -> None:
    air = air_of(mean, 4.0, dew_gap_K=gap)
    usual, _ = coated(sealed(pour_of, kind, hold_h=8.0), air)
    margin, _ = coated(sealed(pour_of, kind, hold_h=8.0, dew_margin_K=3.0 + by), air)
    longer, _ = coated(sealed(pour_of, kind, hold_h=8.0 + hold), air)
    assert sure(margin)[0] >= sure(usual)[0]
    assert sure(longer)[0] >= sure(usual)[0]


@settings(max_examples=some(8, 2000))
@given(
    kind=KINDS,
    mean=st.floats(8.0, 28.0),
    gap=st.floats(4.0, 14.0),
    coats=st.integers(1, 6),
    ahead=st.integers(8, 120),
)
def test_no_coat_is_planned_beyond_the_forecast_nor_outside_the_makers_hours(
    air_of: AirOf, pour_of: PourOf, kind: str, mean: float, gap: float, coats: int, ahead: int
) -> None:
    pour = sealed(pour_of, kind, coats)
    air = air_of(mean, 4.0, dew_gap_K=gap, hours=int(NOW_H) + ahead)
    told, simulation = coated(pour, air)
    zone = ZoneInfo(pour.site.timezone)
    last = None
    for one in told.plan.coats:
        if one.at is None:
            continue
        assert one.hold_until is not None
        assert one.hold_until <= air.end
        assert one.until is None or one.at <= one.until
        assert time(7) <= one.at.astimezone(zone).time() < time(21)
        assert last is None or one.at > last
        last = one.at
    for _, when in told.openings:
        assert not np.isfinite(when.p90) or when.p90 <= simulation.known_h
        assert when.p50 <= when.p90


@given(kind=KINDS, mean=st.floats(8.0, 28.0), gap=st.floats(4.0, 14.0))
@settings(max_examples=some(8, 2000))
def test_even_odds_come_no_later_than_sure(
    air_of: AirOf, pour_of: PourOf, kind: str, mean: float, gap: float
) -> None:
    told, _ = coated(sealed(pour_of, kind, 3), air_of(mean, 4.0, dew_gap_K=gap))
    for a, b in zip(likely(told), sure(told), strict=True):
        assert a <= b


@given(kind=KINDS, mean=st.floats(12.0, 28.0), gap=st.floats(5.0, 14.0), coats=st.integers(2, 4))
@settings(max_examples=some(10, 2000))
def test_a_coat_is_never_likely_before_its_own_not_before_and_leaves_a_tenth_of_its_window(
    air_of: AirOf, pour_of: PourOf, kind: str, mean: float, gap: float, coats: int
) -> None:
    """A32: the plan's own hour, and the likely one beside it."""
    told, simulation = coated(sealed(pour_of, kind, coats), air_of(mean, 4.0, dew_gap_K=gap))
    placed = simulation.members.scenario.placement.at
    for one, (_, when) in zip(told.plan.coats, told.openings, strict=True):
        window = next((m.values for m in one.why if m.code.startswith("recoat_from")), None)
        if one.at is None or window is None:
            continue
        ready_at, last_at = window["ready_at"], window.get("last_at")
        assert isinstance(ready_at, datetime)
        assert when.p50 >= (ready_at - placed) / timedelta(hours=1) - 1 / 60
        if isinstance(last_at, datetime):
            assert one.at <= last_at - 0.1 * (last_at - ready_at) + timedelta(minutes=2)


def test_rain_through_the_forecast_leaves_no_hour(air_of: AirOf, pour_of: PourOf) -> None:
    air = air_of(18.0, 4.0, dew_gap_K=10.0)
    wet = replace(air, rain_mm=np.where(np.arange(air.hours) % 6 == 0, 2.0, 0.0))
    pour = pour_of("open yard", sealer=SealerSystem("water-based-acrylic"))
    told, _ = coated(pour, wet)
    assert all(one.at is None for one in told.plan.coats)


def test_without_weather_there_is_no_hour_but_litres_and_what_is_missing(pour_of: PourOf) -> None:
    pour = pour_of("covered")
    missing = Unknown(
        text("weather"), text("no weather at the time of placing"), text("fetch a forecast")
    )
    told = timeline.project(pour, missing, pour.placement.at)
    assert told.coat_plan is not None
    assert all(one.at is None for one in told.coat_plan.coats)
    (says,) = told.coat_plan.says
    assert says.code == "no_coat_planned"
    assert told.coat_plan.litres_l > 0


def test_a_patch_has_its_own_clock_and_sanding_waits_for_it(air_of: AirOf, pour_of: PourOf) -> None:
    """Seventy-two hours at 20 C (UFGS 03700) before a coat, sixteen before sanding."""
    patched_h, waits = 150.0, []
    for mean in (20.0, 8.0):
        pour = pour_of("covered")
        at = pour.placement.at
        done = (
            Done("strip", at + timedelta(hours=40)),
            Done("patch", at + timedelta(hours=patched_h)),
        )
        simulation = default_plan.simulated(
            pour, air_of(mean, 1.0), at + timedelta(hours=152), 400, 32
        )
        assert isinstance(simulation, physics.Simulation)
        hard = patch.hard_h(simulation.trajectory, patched_h, 72.0) - patched_h
        waits.append(float(np.median(hard)))
        told = timeline.planned(replace(pour, done=done), simulation, 152.0)[0]
        spans = {opening.step: when for opening, when in told}
        assert spans["sand"].p90 >= patched_h + 14.0
        assert "patch" in spans
    assert abs(waits[0] - 72.0) < 8.0
    assert waits[1] > 1.4 * waits[0]


def test_coats_wait_for_a_patch(air_of: AirOf, pour_of: PourOf) -> None:
    air = air_of(20.0, 3.0, dew_gap_K=12.0)
    pour = sealed(pour_of, "densifier", 1, min_age_d=0.0)
    at = pour.placement.at
    early = (Done("strip", at + timedelta(hours=30)), Done("sand", at + timedelta(hours=31)))
    late = (*early, Done("patch", at + timedelta(hours=60)))
    hours = []
    for done in (early, late):
        scenario = replace(pour, done=done)
        simulation = default_plan.simulated(scenario, air, at + timedelta(hours=62), 400, 32)
        assert isinstance(simulation, physics.Simulation)
        spans = {o.step: s for o, s in timeline.planned(scenario, simulation, 62.0)[0]}
        hours.append(spans["coat-1"].p50)
    assert hours[0] < 120.0
    assert hours[1] >= 60.0 + 60.0


def test_a_recoat_window_that_has_just_closed_asks_to_abrade(
    air_of: AirOf, pour_of: PourOf
) -> None:
    pour = sealed(pour_of, "two-part-urethane", 2, recoat_min_h=2.0, recoat_max_h=4.0)
    first_h = 41.0  # eight in the morning
    done = Done("coat-1", pour.placement.at + timedelta(hours=first_h))
    scenario, air = replace(pour, done=(done,)), air_of(22.0, 2.0, dew_gap_K=12.0)
    for after_h, asks in ((3.0, False), (4.2, True)):
        now_h = first_h + after_h
        simulation = default_plan.simulated(
            scenario, air, pour.placement.at + timedelta(hours=now_h), 240, 32
        )
        assert isinstance(simulation, physics.Simulation)
        told = coat_plan.coated(
            scenario, simulation.trajectory, np.zeros(32), dry_face(simulation), now_h, ()
        ).plan.coats[1]
        assert (told.why[0].code == "recoat_too_late") is asks


def test_a_coat_in_the_open_is_not_begun_in_the_sun(air_of: AirOf, pour_of: PourOf) -> None:
    clear = air_of(12.0, 4.0, dew_gap_K=10.0, wind_m_s=3.0)
    sunny = replace(clear, shortwave_W_m2=np.where(np.arange(clear.hours) % 24 < 12, 0.0, 800.0))
    pour = pour_of("open yard", sealer=SealerSystem("densifier", coats=1, min_C=0))
    told, _ = coated(pour, sunny)
    at = told.plan.coats[0].at
    assert at is not None
    row = int((at - sunny.start) / timedelta(hours=1))
    assert sunny.shortwave_W_m2[row] < 400


def test_a_film_that_stands_colder_bears_use_later(air_of: AirOf, pour_of: PourOf) -> None:
    uses = []
    for mean in (22.0, 14.0):
        pour = pour_of("covered", sealer=SealerSystem("water-based-acrylic", coats=1))
        now = pour.placement.at + timedelta(hours=NOW_H)
        done = (Done("coat-1", now),)
        simulation = default_plan.simulated(pour, air_of(mean, 1.0, dew_gap_K=10.0), now, 480, 32)
        assert isinstance(simulation, physics.Simulation)
        spans = {
            o.step: s for o, s in timeline.planned(replace(pour, done=done), simulation, NOW_H)[0]
        }
        uses.append(spans["rain-safe"].p90 - NOW_H)
    assert uses[0] >= CHEMISTRIES["water-based-acrylic"].rain_free_h
    assert uses[1] > 1.3 * uses[0]


def test_three_coats_with_an_end_each_come_within_it(air_of: AirOf, pour_of: PourOf) -> None:
    """Each within two hours of the one under it, not of the first."""
    told, _ = coated(sealed(pour_of, "silane-siloxane", 3), air_of(20.0, 3.0, dew_gap_K=10.0))
    at = [one.at for one in told.plan.coats]
    assert None not in at
    gaps = [(b - a) / timedelta(hours=1) for a, b in zip(at, at[1:], strict=False)]  # type: ignore[operator]
    assert all(gap <= 2.0 for gap in gaps)
    assert sum(gaps) > 2.0


def test_a_coat_marked_done_moves_the_rest(air_of: AirOf, pour_of: PourOf) -> None:
    pour, air = sealed(pour_of, "water-based-acrylic", 4), air_of(20.0, 3.0, dew_gap_K=10.0)
    planned, simulation = coated(pour, air)
    second = planned.openings[1][1].p90
    for late in (0.0, 3.0):
        at_h = planned.openings[0][1].p90 + late
        done = Done("coat-1", pour.placement.at + timedelta(hours=at_h))
        again = coat_plan.coated(
            replace(pour, done=(done,)),
            simulation.trajectory,
            np.zeros(32),
            dry_face(simulation),
            at_h,
            (),
        )
        moved = again.openings[1][1].p90
        assert abs(moved - (second + late)) <= 1.0
        assert again.plan.net_l < planned.plan.net_l
        assert again.plan.coats[0].done_at == done.at
