"""Fetching weather: nothing newer, something older, a pour logged late, a place that moves."""

from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

import numpy as np
import pytest
from sqlmodel import col, select

from models.air.series import AirSeries
from models.errors import WeatherUnavailable
from models.records import Place, WeatherRun
from service.actions.pours.log_pour import close_pour, log_pour
from service.actions.shop.set_up_shop import save_place
from service.actions.shop.tidy import tidy
from service.actions.weather import place_air
from service.actions.weather.fill_past import fill_past
from service.actions.weather.refresh_forecasts import refresh_forecast
from service.nouns.pour import PourCreate
from service.pages import page_data
from service.queries.rows import find
from service.store import Store
from service.weather import open_meteo_archive
from tests.support.shop import Bench, Sky

DAY, HOUR = timedelta(days=1), timedelta(hours=1)


def steady(
    start: datetime, end: datetime, air_C: float, issued: datetime, source: str
) -> AirSeries:
    same = np.ones(round((end - start) / HOUR) + 1)
    return AirSeries(
        start, air_C * same, 0 * same, same, 0 * same, same, same * np.nan, issued, source
    )


@dataclass
class Weather:
    """A service that reaches ten days back, and an archive behind it that is two days late."""

    air_C: float = 12.0
    issued: datetime | None = None
    down: str = ""
    name: str = "weather of the tests"
    attribution: str = ""
    asked: list[tuple[datetime, datetime]] = field(default_factory=list)

    def forecast(
        self, latitude: float, longitude: float, now: datetime, _altitude_m: float | None = None
    ) -> AirSeries:
        del latitude, longitude
        whole = now.replace(minute=0)
        issued = self.issued or now
        return steady(whole - 10 * DAY, whole + 10 * DAY, self.air_C, issued, "Open-Meteo forecast")

    def record(
        self, latitude: float, longitude: float, begin: datetime, end: datetime, now: datetime
    ) -> AirSeries:
        del latitude, longitude
        self.asked.append((begin, end))
        if self.down:
            raise WeatherUnavailable(open_meteo_archive.NAME, self.down, 900.0)
        last = min(end, now - 2 * DAY)
        return steady(begin, last, 3.0, last + HOUR, open_meteo_archive.NAME)


@pytest.fixture
def weather() -> Weather:
    return Weather()


def pour(store: Store, bench: Bench, now: datetime, placed_at: datetime) -> int:
    with store.unit_of_work() as session:
        return log_pour(
            session,
            now,
            PourCreate(
                mix_id=bench.mix_id,
                piece_id=bench.piece_id,
                place_id=bench.place_id,
                placed_at=placed_at,
            ),
        ).id


def runs(store: Store) -> list[WeatherRun]:
    with store.reading() as session:
        return list(session.exec(select(WeatherRun).order_by(col(WeatherRun.id))).all())


def joined(store: Store, bench: Bench, now: datetime, begin: datetime) -> place_air.Joined:
    with store.reading() as session:
        return place_air.joined(session, find(session, Place, bench.place_id), now, begin)


def test_the_same_answer_again_only_shows_that_it_still_holds(
    store: Store, bench: Bench, weather: Weather, now: datetime
) -> None:
    """Case 18."""
    weather.issued = now - HOUR
    first = refresh_forecast(store, now, bench.place_id, weather)
    later = now + timedelta(minutes=20)
    assert refresh_forecast(store, later, bench.place_id, weather).id == first.id
    (kept,) = runs(store)
    assert (kept.issued_at, kept.fetched_at) == (now - HOUR, later)


def test_an_older_answer_than_the_one_we_have_is_ignored(
    store: Store, bench: Bench, weather: Weather, now: datetime
) -> None:
    """Case 21: it would lead, and look young."""
    weather.issued = now - HOUR
    refresh_forecast(store, now, bench.place_id, weather)
    weather.issued, weather.air_C = now - 9 * HOUR, 30.0
    refresh_forecast(store, now + HOUR, bench.place_id, weather)
    (kept,) = runs(store)
    assert (kept.hours["air_C"][0], kept.fetched_at) == (12.0, now)


def test_an_answer_of_thirty_hours_ago_is_shown_as_old(
    store: Store, bench: Bench, weather: Weather, now: datetime
) -> None:
    """Case 22: fetched a minute ago, issued long before."""
    weather.issued = now - 30 * HOUR
    refresh_forecast(store, now, bench.place_id, weather)
    with store.reading() as session:
        told = page_data.weather(session, now, find(session, Place, bench.place_id))
    assert told.stale
    assert "30 h" in told.age


def test_a_run_from_the_future_does_not_bar_the_next(
    store: Store, bench: Bench, weather: Weather, now: datetime
) -> None:
    """Case 23: the clock was a year ahead and was set right."""
    weather.issued = now + 365 * DAY
    refresh_forecast(store, now, bench.place_id, weather)
    weather.issued = None
    refresh_forecast(store, now + HOUR, bench.place_id, weather)
    assert [run.issued_at for run in runs(store)] == [now + 365 * DAY, now + HOUR]


def test_a_place_that_moves_takes_the_first_answer_for_its_new_spot(
    store: Store, bench: Bench, weather: Weather, now: datetime
) -> None:
    refresh_forecast(store, now, bench.place_id, weather)
    with store.unit_of_work() as session:
        for latitude in (45.0, 46.0):
            save_place(session, now, {"latitude": latitude}, bench.place_id)
    weather.issued, weather.air_C = now - 5 * HOUR, 20.0
    refresh_forecast(store, now + HOUR, bench.place_id, weather)
    old, new = runs(store)
    assert (old.moved, new.moved) == (True, False)
    assert old.provider == "Open-Meteo forecast, before the place was moved"
    assert new.hours["air_C"][0] == 20.0


def test_renaming_a_place_moves_nothing(
    store: Store, bench: Bench, weather: Weather, now: datetime
) -> None:
    refresh_forecast(store, now, bench.place_id, weather)
    with store.unit_of_work() as session:
        save_place(session, now, {"name": "Lean-to"}, bench.place_id)
    assert runs(store)[0].provider == "Open-Meteo forecast"


def test_a_pour_logged_weeks_late_gets_its_weather_from_the_archive(
    store: Store, bench: Bench, weather: Weather, now: datetime
) -> None:
    placed = now - 25 * DAY
    pour(store, bench, now, placed)
    refresh_forecast(store, now, bench.place_id, weather)
    assert weather.asked == [
        (placed.replace(minute=0) - DAY, now.replace(minute=0) - 10 * DAY - HOUR)
    ]
    told = joined(store, bench, now, placed - DAY)
    assert isinstance(told.air, AirSeries)
    assert told.air.missing(placed - DAY, now + DAY) == []
    assert told.air.air_C[0] == 3.0
    assert told.air.air_C[-1] == 12.0
    assert told.source == "Open-Meteo forecast; hours it lacks from Open-Meteo archive"
    assert told.issued_at == now, "the archive leads no forecast"


@pytest.mark.parametrize("days", [0.1, 8])
def test_a_pour_that_the_forecast_reaches_needs_no_archive(
    store: Store, bench: Bench, weather: Weather, now: datetime, days: float
) -> None:
    pour(store, bench, now, now - days * DAY)
    refresh_forecast(store, now, bench.place_id, weather)
    assert weather.asked == []


def test_nor_does_a_pour_that_is_closed(
    store: Store, bench: Bench, weather: Weather, now: datetime
) -> None:
    late = pour(store, bench, now, now - 25 * DAY)
    with store.unit_of_work() as session:
        close_pour(session, now, late, "finished")
    refresh_forecast(store, now, bench.place_id, weather)
    assert weather.asked == []


def test_the_archive_is_asked_once__and_again_for_an_even_older_pour(
    store: Store, bench: Bench, weather: Weather, now: datetime
) -> None:
    pour(store, bench, now, now - 25 * DAY)
    for k in range(3):
        refresh_forecast(store, now + k * HOUR, bench.place_id, weather)
    assert len(weather.asked) == 1
    pour(store, bench, now, now - 40 * DAY)
    refresh_forecast(store, now + 3 * HOUR, bench.place_id, weather)
    assert len(weather.asked) == 2


def test_a_hole_that_the_archive_has_too_is_looked_at_once_a_day(
    store: Store, bench: Bench, weather: Weather, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = Weather.record

    def holed(
        self: Weather, north: float, east: float, begin: datetime, end: datetime, now: datetime
    ) -> AirSeries:
        air = whole(self, north, east, begin, end, now)
        air.air_C[5:60] = np.nan
        return air

    monkeypatch.setattr(Weather, "record", holed)
    pour(store, bench, now, now - 25 * DAY)
    for k in range(30):
        refresh_forecast(store, now + k * HOUR, bench.place_id, weather)
    assert len(weather.asked) == 2


def test_without_the_archive_the_forecast_is_kept_all_the_same(
    store: Store, bench: Bench, weather: Weather, now: datetime
) -> None:
    weather.down = "status 500"
    pour(store, bench, now, now - 25 * DAY)
    assert refresh_forecast(store, now, bench.place_id, weather).provider == "Open-Meteo forecast"
    assert len(runs(store)) == 1
    weather.down = ""
    refresh_forecast(store, now + HOUR, bench.place_id, weather)
    assert runs(store)[-1].provider == "Open-Meteo archive"


def test_a_service_without_an_archive_is_not_asked_for_one(
    store: Store, bench: Bench, sky: Sky, now: datetime
) -> None:
    pour(store, bench, now, now - 25 * DAY)
    refresh_forecast(store, now, bench.place_id, sky)
    assert fill_past(store, now, bench.place_id, sky) is None


def test_tidying_up_keeps_the_record_of_the_past(
    store: Store, bench: Bench, weather: Weather, now: datetime
) -> None:
    pour(store, bench, now, now - 25 * DAY)
    for k in range(3):
        refresh_forecast(store, now + k * HOUR / 3, bench.place_id, weather)
    with store.unit_of_work() as session:
        tidy(session, now + 4 * DAY)
    assert sorted(run.provider for run in runs(store)) == [
        "Open-Meteo archive",
        "Open-Meteo forecast",
    ]


def test_the_page_tells_of_the_forecast_and_credits_both(
    store: Store, bench: Bench, weather: Weather, now: datetime
) -> None:
    weather = replace(weather, attribution="Credit")
    pour(store, bench, now, now - 25 * DAY)
    refresh_forecast(store, now, bench.place_id, weather)
    assert runs(store)[-1].provider == "Open-Meteo archive"
    with store.reading() as session:
        told = page_data.weather(session, now + HOUR, find(session, Place, bench.place_id))
    assert told.source == "Open-Meteo forecast"
    assert told.services == ("Open-Meteo archive", "Open-Meteo forecast")
    assert page_data.credit(weather, [told, told]) == "Credit"
