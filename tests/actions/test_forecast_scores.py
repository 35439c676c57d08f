"""A place whose forecasts run warm is found out by the runs that were kept, and put right."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from models.air.score import LeadScore
from models.air.series import AirSeries
from models.records import Place
from models.units import Array
from scheduler.jobs import Rounds
from service.actions.pours.log_pour import log_pour
from service.actions.pours.record_reading import record_reading
from service.actions.shop import calibrate
from service.actions.shop.set_up_shop import save_place
from service.actions.weather import place_air
from service.actions.weather.score_forecasts import score_all, score_place
from service.nouns.pour import PourCreate
from service.nouns.reading import ReadingCreate
from service.queries.rows import find
from service.store import Store
from tests.support.shop import Bench

HOUR = timedelta(hours=1)
WARM_K, AHEAD_H = 1.2, 168
# the night of 1 November 2026 has 25 hours in America/Chicago
BEGIN = datetime(2026, 9, 20, tzinfo=UTC)
Keep = Callable[..., None]


def truth(times: Array) -> Array:
    air: Array = 12 + 6 * np.sin(2 * np.pi * times / 24) + 4 * np.sin(2 * np.pi * times / 131)
    return air


def forecast(
    at: datetime, *, seed: int, back_h: int = 48, warm_K: float = WARM_K, source: str = "a service"
) -> AirSeries:
    """The truth so far, and from a day ahead on something warmer with first-order errors."""
    random = np.random.default_rng(seed)
    lead = np.arange(-back_h, AHEAD_H)
    error = np.zeros(len(lead))
    for k in range(1, len(lead)):
        if lead[k] >= 0:
            error[k] = 0.93 * error[k - 1] + 0.6 * random.standard_normal()
    start = at.replace(minute=0) - back_h * HOUR
    air = truth((start - BEGIN) / HOUR + np.arange(len(lead), dtype=np.float64)) + error
    air += np.where(lead >= 24, warm_K, 0.0)
    same = np.ones(len(lead))
    return AirSeries(start, air, air - 4, 2 * same, 0 * same, 0.5 * same, np.nan * same, at, source)


@pytest.fixture
def keep(store: Store, bench: Bench) -> Keep:
    def kept(
        days: int,
        begin: datetime = BEGIN,
        typed: bool = False,
        back_h: int = 48,
        warm_K: float = WARM_K,
        source: str = "a service",
    ) -> None:
        with store.unit_of_work() as session:
            for k in range(days):
                at = begin + timedelta(days=k, hours=7 * k % 24)
                told = forecast(at, seed=k, back_h=back_h, warm_K=warm_K, source=source)
                air = replace(told, typed=typed)
                session.add(place_air.run_of(air, bench.place_id, at))

    return kept


def calibrated(store: Store) -> dict[float, LeadScore]:
    with store.reading() as session:
        return {one.from_h: one for one in place_air.forecast_scores(find(session, Place, 1))}


def test_forecasts_that_run_warm_are_found_out_and_put_right(
    store: Store, bench: Bench, keep: Keep
) -> None:
    keep(45)
    now = BEGIN + timedelta(days=44, hours=23)
    with store.reading() as session:
        place = find(session, Place, bench.place_id)
        before = place_air.joined(session, place, now, now - 24 * HOUR).air
    score_place(store, now, bench.place_id)
    found = calibrated(store)
    assert found[24.0].days > 35
    assert found[24.0].seen_bias_K == pytest.approx(WARM_K, abs=0.35)
    assert found[0.0].seen_bias_K == pytest.approx(0.0, abs=0.35)
    assert 0.4 * WARM_K < found[24.0].bias_K < found[24.0].seen_bias_K
    with store.reading() as session:
        place = find(session, Place, bench.place_id)
        after = place_air.joined(session, place, now, now - 24 * HOUR).air
    assert isinstance(before, AirSeries)
    assert isinstance(after, AirSeries)
    off = np.nan_to_num(before.air_C - after.air_C)
    ahead = round(after.hour_of(after.issued_at))
    np.testing.assert_array_equal(off[:ahead], 0.0)
    assert off[ahead + 36] == pytest.approx(found[24.0].bias_K)


def test_scoring_twice_says_the_same_for_kept_runs_stay_as_they_were_fetched(
    store: Store, keep: Keep
) -> None:
    keep(30)
    now = BEGIN + timedelta(days=30)
    score_all(store, now)
    first = calibrated(store)
    score_all(store, now)
    assert calibrated(store) == first


def test_a_run_with_holes_in_its_past_takes_away_nothing_that_was_seen(
    store: Store, bench: Bench, keep: Keep
) -> None:
    keep(30)
    now = BEGIN + timedelta(days=31)
    score_all(store, now)
    before = calibrated(store)
    blind = forecast(now, seed=99)
    blind = replace(blind, air_C=np.where(np.arange(blind.hours) < 48, np.nan, blind.air_C))
    with store.unit_of_work() as session:
        session.add(place_air.run_of(blind, bench.place_id, now))
    score_all(store, now)
    assert calibrated(store) == before


def test_three_runs_change_nothing(store: Store, keep: Keep) -> None:
    keep(3)
    score_all(store, BEGIN + timedelta(days=3))
    assert {(one.bias_K, one.factor) for one in calibrated(store).values()} == {(0.0, 1.0)}


def test_without_runs_nothing_is_learned(store: Store, bench: Bench) -> None:
    score_place(store, BEGIN, bench.place_id)
    assert calibrated(store) == {}


@pytest.mark.parametrize(
    ("zone", "longitude"),
    [("America/Chicago", -92.0), ("Asia/Kolkata", 82.5), ("Australia/Lord_Howe", 159.1)],
)
def test_a_night_of_25_hours_is_compared_hour_for_hour(
    store: Store, bench: Bench, keep: Keep, zone: str, longitude: float
) -> None:
    """The clocks of the place change within the record; forecasts that are right stay right."""
    with store.unit_of_work() as session:
        save_place(session, BEGIN, {"timezone": zone, "longitude": longitude}, bench.place_id)
    keep(20, begin=datetime(2026, 10, 22, tzinfo=UTC), warm_K=0.0)
    score_all(store, datetime(2026, 11, 12, tzinfo=UTC))
    assert all(one.seen_sd_K < 2.2 for one in calibrated(store).values())
    assert all(abs(one.seen_bias_K) < 0.8 for one in calibrated(store).values())


def test_another_service_starts_without_the_first_ones_bias(store: Store, keep: Keep) -> None:
    keep(40)
    keep(2, begin=BEGIN + timedelta(days=41), source="another")
    score_all(store, BEGIN + timedelta(days=45))
    assert max((one.days for one in calibrated(store).values()), default=0) < 7


def test_weather_typed_by_hand_is_no_forecast_to_be_judged(store: Store, keep: Keep) -> None:
    keep(30, typed=True)
    score_all(store, BEGIN + timedelta(days=31))
    assert calibrated(store) == {}


@pytest.mark.parametrize(("kind", "counts"), [("open yard", True), ("unheated room", False)])
def test_where_a_service_tells_no_past_readings_outdoors_say_what_came(
    store: Store,
    bench: Bench,
    keep: Keep,
    kind: str,
    counts: bool,
    read_air: Callable[[datetime, float], None],
) -> None:
    with store.unit_of_work() as session:
        save_place(session, BEGIN, {"kind": kind}, bench.place_id)
    keep(30, back_h=0)
    for k in range(8, 120):
        at = BEGIN + timedelta(hours=6 * k)
        read_air(at, float(truth(np.array([(at - BEGIN) / HOUR]))[0]))
    score_all(store, BEGIN + timedelta(days=31))
    found = calibrated(store)
    assert (48.0 in found) == counts
    if counts:
        assert found[48.0].seen_bias_K == pytest.approx(WARM_K, abs=0.5)


@pytest.fixture
def read_air(store: Store, bench: Bench) -> Callable[[datetime, float], None]:
    with store.unit_of_work() as session:
        pour_id = log_pour(
            session,
            BEGIN,
            PourCreate(
                mix_id=bench.mix_id,
                piece_id=bench.piece_id,
                place_id=bench.place_id,
                mould_id=bench.mould_id,
                placed_at=BEGIN,
                concrete_C=12.0,
            ),
        ).id

    def read(at: datetime, value_C: float) -> None:
        with store.unit_of_work() as session:
            record_reading(session, at, pour_id, ReadingCreate(at=at, kind="air", value_C=value_C))

    return read


def test_what_is_forgotten_is_not_learned_again_from_the_same_runs(
    store: Store, bench: Bench, keep: Keep
) -> None:
    keep(30)
    now = BEGIN + timedelta(days=31)
    score_all(store, now)
    assert calibrated(store)
    with store.unit_of_work() as session:
        calibrate.forget_place(session, now, bench.place_id)
    assert calibrated(store) == {}
    score_all(store, now + HOUR)
    assert calibrated(store) == {}


def test_a_place_that_moves_leaves_its_forecasts_behind(
    store: Store, bench: Bench, keep: Keep
) -> None:
    keep(30)
    now = BEGIN + timedelta(days=31)
    score_all(store, now)
    with store.unit_of_work() as session:
        save_place(
            session, now, {"latitude": 10.0, "longitude": 20.0, "timezone": None}, bench.place_id
        )
    score_all(store, now + HOUR)
    assert calibrated(store) == {}


def test_the_daily_round_scores_what_it_keeps(store: Store, rounds: Rounds, keep: Keep) -> None:
    keep(30)
    assert rounds.tidy(BEGIN + timedelta(days=30)) == 1
    assert calibrated(store)[24.0].days > 20


def test_kept_runs_are_of_all_hours_of_the_clock() -> None:
    hourly = [(k, 1, BEGIN + k * HOUR) for k in range(48 * 24)]
    kept = place_air.one_a_day(hourly)
    times = [BEGIN + key * HOUR for key in kept]
    assert len({at.date() for at in times}) == len(times) == 48
    assert len({at.hour for at in times}) == 24
