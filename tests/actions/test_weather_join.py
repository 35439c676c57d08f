"""Several runs of a place become one record of its air; what is missing stays missing."""

from collections.abc import Sequence
from datetime import datetime, timedelta

import numpy as np
import pytest

from models.air.series import AirSeries
from models.errors import Unknown
from models.message import Message
from models.records import Place
from models.units import Array
from service.actions.weather import place_air
from service.actions.weather.fill_past import fold_past
from service.actions.weather.refresh_forecasts import type_weather
from service.queries import weather_runs
from service.queries.rows import find
from service.store import Store
from tests.support.shop import Bench

HOUR = timedelta(hours=1)


def keep(
    store: Store,
    bench: Bench,
    fetched: datetime,
    air_C: Sequence[float] | Array,
    *,
    back_h: int = 0,
    dew_C: float | Array = 0.0,
    issued: datetime | None = None,
    source: str = "service",
    kind: str = weather_runs.FORECAST,
    observed: bool = False,
) -> int:
    """A run fetched at an hour, its rows beginning `back_h` before."""
    air = np.asarray(air_C, dtype=float)
    same = np.ones(len(air))
    series = AirSeries(
        start=fetched - back_h * HOUR,
        air_C=air,
        dew_point_C=np.asarray(dew_C) * same,
        wind_m_s=same,
        rain_mm=0 * same,
        cloud_fraction=same,
        shortwave_W_m2=np.nan * same,
        issued_at=issued or fetched,
        source=source,
        lead_h=np.where(np.arange(len(air)) < back_h, -1.0, np.nan) if observed else np.empty(0),
    )
    with store.unit_of_work() as session:
        run = place_air.run_of(series, bench.place_id, fetched, kind)
        session.add(run)
        session.flush()
        return run.id


def joined(
    store: Store, bench: Bench, now: datetime, begin: datetime | None = None
) -> place_air.Joined:
    with store.reading() as session:
        place = find(session, Place, bench.place_id)
        return place_air.joined(session, place, now, begin or now - 24 * HOUR)


def air(told: place_air.Joined) -> AirSeries:
    assert isinstance(told.air, AirSeries)
    return told.air


def test_a_run_comes_back_as_it_was_fetched__gaps_and_all(
    store: Store, bench: Bench, now: datetime
) -> None:
    keep(store, bench, now, [1.0, np.nan, 3.0], back_h=1)
    told = air(joined(store, bench, now))
    assert told.start == now - HOUR
    np.testing.assert_array_equal(told.air_C, [1.0, np.nan, 3.0])
    assert np.isnan(told.shortwave_W_m2).all()
    assert told.issued_at == now


def test_the_newest_run_wins_and_older_hours_are_joined(
    store: Store, bench: Bench, now: datetime
) -> None:
    keep(store, bench, now - HOUR, [1, 1, 1, 1], back_h=2)
    newest = keep(store, bench, now, [9, 9])
    told = joined(store, bench, now)
    np.testing.assert_array_equal(air(told).air_C, [1, 1, 1, 9, 9])
    assert told.run_id == newest


def test_hours_that_nobody_saw_are_what_was_foretold_nearest_before_them__with_its_doubt(
    store: Store, bench: Bench, now: datetime
) -> None:
    """E1: MET Norway begins at the hour of asking, so an earlier run is all there is."""
    keep(store, bench, now - 9 * HOUR, np.full(24, 5.0))
    keep(store, bench, now - 6 * HOUR, np.ones(12), back_h=2)
    keep(store, bench, now, [9, 9])
    told = air(joined(store, bench, now))
    np.testing.assert_array_equal(told.air_C[:13], [5, 1, 1, 1, 1, 1, 1, 1, 1, 9, 9, 1, 1])
    np.testing.assert_array_equal(told.leads()[1:9] < 0, [True] * 2 + [False] * 6)
    np.testing.assert_array_equal(told.leads()[3:11], [0, 1, 2, 3, 4, 5, 0, 1])
    assert told.leads()[11] == 8, "an hour to come keeps the age of the run that told it"
    assert joined(store, bench, now).source == "service"


def test_what_was_seen_of_an_hour_is_never_overwritten_by_what_was_foretold_of_it(
    store: Store, bench: Bench, now: datetime
) -> None:
    keep(store, bench, now, np.full(12, 3.0), back_h=8)
    keep(store, bench, now + HOUR, np.full(40, 20.0), issued=now - 5 * HOUR, back_h=6)
    told = air(joined(store, bench, now + HOUR))
    np.testing.assert_array_equal(told.air_C[:10], [3.0] * 9 + [20.0])


def test_a_station_goes_before_an_analysis_and_the_archive_before_a_forecast(
    store: Store, bench: Bench, now: datetime
) -> None:
    keep(store, bench, now - 3 * HOUR, np.full(9, 1.0), back_h=6, observed=True)
    keep(store, bench, now - 2 * HOUR, np.full(9, 2.0), back_h=6)
    keep(store, bench, now - HOUR, np.full(9, 4.0), kind=weather_runs.ARCHIVED, back_h=4)
    keep(store, bench, now, np.full(9, 5.0))
    told = air(joined(store, bench, now))
    np.testing.assert_array_equal(told.air_C[:10], [1, 1, 1, 1, 1, 1, 2, 4, 4, 5])


def test_a_typed_night_does_not_reach_back_over_hours_that_were_seen(
    store: Store, bench: Bench, now: datetime
) -> None:
    """A2: the guess begins at the midnight before, and would replace what was measured."""
    keep(store, bench, now - 30 * HOUR, np.full(31, 12.0), back_h=40)
    keep(store, bench, now - 30 * HOUR, np.full(300, 12.0), back_h=40, dew_C=1.0)
    with store.unit_of_work() as session:
        type_weather(session, now, bench.place_id, -9.0, -2.0)
    told = air(joined(store, bench, now, now - 48 * HOUR))
    first = round((now - told.start) / HOUR)
    assert joined(store, bench, now).source.startswith("typed by hand")
    np.testing.assert_array_equal(told.air_C[:first], [12.0] * first)
    assert float(np.nanmax(told.air_C[first : first + 24])) <= -2.0


def test_a_typed_night_that_was_lived_through_is_not_given_up_for_an_older_forecast(
    store: Store, bench: Bench, now: datetime
) -> None:
    keep(store, bench, now - 30 * HOUR, np.full(72, 15.0))
    with store.unit_of_work() as session:
        type_weather(session, now, bench.place_id, -3.0, 9.0)
    later = now + 8 * HOUR
    told = air(joined(store, bench, later))
    lived = told.between(now, later - HOUR)
    assert float(lived.air_C.max()) < 9.0
    np.testing.assert_array_equal(lived.leads(), [place_air.GUESSED_LEAD_H] * 8)
    keep(store, bench, now + 7 * HOUR, np.full(72, 6.0), back_h=2)
    np.testing.assert_array_equal(
        air(joined(store, bench, later)).between(now + 5 * HOUR, later).air_C, [6.0] * 4
    )


def test_a_young_answer_leads_before_a_later_one_that_was_made_a_day_ago(
    store: Store, bench: Bench, now: datetime
) -> None:
    """E8."""
    young = keep(store, bench, now - 2 * HOUR, np.full(72, 4.0), source="one")
    keep(store, bench, now, np.full(96, 14.0), source="other", issued=now - 30 * HOUR, back_h=30)
    told = joined(store, bench, now)
    assert (told.run_id, told.issued_at) == (young, now - 2 * HOUR)
    assert air(told).between(now, now + 24 * HOUR).air_C.max() == 4.0


def test_an_hour_without_a_dew_point_takes_how_far_another_run_has_it_under_the_air(
    store: Store, bench: Bench, now: datetime
) -> None:
    """E6: the temperature stays that of the run that leads."""
    keep(store, bench, now - HOUR, [2, 2, 2, 2], dew_C=-1.0, back_h=1)
    keep(store, bench, now, [9, 9], dew_C=np.nan)
    told = air(joined(store, bench, now))
    np.testing.assert_array_equal(told.air_C[2:4], [9, 9])
    np.testing.assert_array_equal(told.dew_point_C[2:4], [6, 6])


def test_a_forecast_older_than_three_days_leaves_only_what_it_had_seen(
    store: Store, bench: Bench, now: datetime
) -> None:
    keep(store, bench, now - 73 * HOUR, np.ones(300), back_h=24)
    told = air(joined(store, bench, now))
    assert np.isfinite(told.air_C).sum() == 24
    assert told.missing(now - 72 * HOUR, now) != []


def test_an_hour_the_newest_run_lacks_comes_whole_from_the_run_before(
    store: Store, bench: Bench, now: datetime
) -> None:
    keep(store, bench, now - HOUR, [1, 2, 3, 4], dew_C=-5.0, back_h=1)
    keep(store, bench, now, [9, np.nan], dew_C=4.0)
    told = air(joined(store, bench, now))
    np.testing.assert_array_equal(told.air_C, [1, 2, 9, 4])
    np.testing.assert_array_equal(told.dew_point_C, [-5, -5, 4, -5])


def test_a_run_from_after_the_instant_asked_about_is_not_known_then(
    store: Store, bench: Bench, now: datetime
) -> None:
    keep(store, bench, now, [1, 1])
    keep(store, bench, now + HOUR, [9, 9])
    np.testing.assert_array_equal(air(joined(store, bench, now)).air_C, [1, 1])


def test_hourly_runs_over_a_month_reach_back_to_the_pour(
    store: Store, bench: Bench, now: datetime
) -> None:
    begin = now - timedelta(days=28)
    for k in range(28 * 4):
        keep(store, bench, begin + 6 * k * HOUR, np.full(96, float(k % 30)), back_h=24)
    told = air(joined(store, bench, now, begin))
    assert told.start <= begin
    assert told.missing(begin, now) == []


def test_no_run_is_unknown_and_says_how_to_get_one(
    store: Store, bench: Bench, now: datetime
) -> None:
    told = joined(store, bench, now).air
    assert isinstance(told, Unknown)
    assert told.what.values == {"name": "Carport"}
    assert told.how_to_get_it.code == "wait_for_weather"


@pytest.mark.parametrize(
    ("age_h", "said"),
    [(5, ()), (7, (Message("forecast_is_old", {"age_h": 7.0, "source": "service"}),))],
)
def test_an_old_run_is_used_and_its_age_told(
    store: Store, bench: Bench, now: datetime, age_h: int, said: tuple[Message, ...]
) -> None:
    keep(store, bench, now - age_h * HOUR, np.ones(24))
    assert joined(store, bench, now).warnings == said


def test_a_typed_night_fills_in_but_gives_way_to_a_fresh_forecast(
    store: Store, bench: Bench, now: datetime
) -> None:
    with store.unit_of_work() as session:
        type_weather(session, now, bench.place_id, -3.0, 9.0)
    typed = joined(store, bench, now)
    assert float(np.nanmin(air(typed).air_C)) == pytest.approx(-3.0)
    assert [one.code for one in typed.warnings] == ["weather_typed"]
    keep(store, bench, now - HOUR, np.full(6, 5.0))
    both = joined(store, bench, now)
    first = round((now - air(both).start) / HOUR)
    assert both.source == "service; hours it lacks from typed by hand: night -3 C, day 9 C"
    assert air(both).air_C[first] == 5.0
    assert air(both).end > now + 24 * HOUR


def test_a_typed_night_outranks_a_forecast_that_is_days_old(
    store: Store, bench: Bench, now: datetime
) -> None:
    keep(store, bench, now - 30 * HOUR, np.full(72, 15.0))
    with store.unit_of_work() as session:
        type_weather(session, now, bench.place_id, -3.0, 9.0)
    told = joined(store, bench, now)
    assert told.source.startswith("typed by hand")
    assert float(np.nanmin(air(told).air_C)) == pytest.approx(-3.0)


@pytest.mark.usefixtures("pour_id")
def test_what_an_active_pour_lived_through_is_one_run_that_grows(
    store: Store, bench: Bench, now: datetime
) -> None:
    keep(store, bench, now - 4 * HOUR, np.full(48, 10.0))
    spans = []
    for later in (2, 8):
        at = now + later * HOUR
        keep(store, bench, at, np.full(48, 10.0 + later))
        with store.unit_of_work() as session:
            fold_past(session, at, bench.place_id)
        with store.reading() as session:
            run = weather_runs.fold_of(session, bench.place_id)
            assert run is not None
            spans.append((run.id, run.fetched_at, run.start_at + run.hour_count * HOUR))
    assert [one[0] for one in spans] == [spans[0][0]] * 2
    assert spans[1][1] - spans[0][1] == spans[1][2] - spans[0][2] == 6 * HOUR
