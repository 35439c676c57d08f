"""The record that the replays run on, and the stand-in that serves it."""

import csv
import json
import urllib.request
from datetime import UTC, datetime, timedelta
from types import ModuleType
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from service.weather import open_meteo
from tests.stand_in.open_meteo_server import StandIn
from tests.support.raw import Json, JsonDict

HOUR = timedelta(hours=1)


def at(record_2013: ModuleType, station: str) -> tuple[float, float]:
    latitude, longitude = record_2013.position(station)
    return latitude, longitude


def test_every_hour_is_keyed_by_the_instant_its_local_columns_mean(record_2013: ModuleType) -> None:
    """The file's local columns, read by New York's clock, lead to its UTC column."""
    new_york = ZoneInfo("America/New_York")
    seen = set()
    with (record_2013.folder() / "weather.csv").open(newline="") as file:
        for row in csv.DictReader(file):
            instant = datetime.fromisoformat(row["time_hour"])
            local = instant.astimezone(new_york)
            told = tuple(int(row[name]) for name in ("year", "month", "day", "hour"))
            assert told == (local.year, local.month, local.day, local.hour)
            seen.add((row["origin"], instant))
    assert len(seen) == 26115, "the doubled local hour is two instants"


def test_the_day_that_lacks_an_hour_and_the_day_that_has_one_twice(
    record_2013: ModuleType,
) -> None:
    for begin, hours in (
        (datetime(2013, 3, 10, 5, tzinfo=UTC), 23),
        (datetime(2013, 11, 3, 4, tzinfo=UTC), 25),
    ):
        air = record_2013.series_2013("EWR", begin, begin + hours * HOUR - HOUR)
        assert air.hours == hours
    november = record_2013.series_2013(
        "EWR", datetime(2013, 11, 3, 5, tzinfo=UTC), datetime(2013, 11, 3, 6, tzinfo=UTC)
    )
    assert november.air_C == pytest.approx([11.1, 10.0], abs=0.01)


def test_units_are_converted_by_hand_checked_rows(record_2013: ModuleType) -> None:
    """EWR 2013-01-01 06Z: 39.02 F is 3.9 C, 26.06 F is -3.3 C, 10.36 mph is 4.63 m/s."""
    row = record_2013.record("EWR")[datetime(2013, 1, 1, 6, tzinfo=UTC)]
    assert row["air_C"] == pytest.approx(3.9)
    assert row["dew_point_C"] == pytest.approx(-3.3)
    assert row["wind_m_s"] == pytest.approx(4.63, abs=0.005)
    assert row["rh_pct"] == 59.37


def test_gaps_of_the_record_are_gaps_of_the_series(record_2013: ModuleType) -> None:
    begin, end = datetime(2013, 10, 25, 12, tzinfo=UTC), datetime(2013, 10, 27, tzinfo=UTC)
    air = record_2013.series_2013("JFK", begin, end)
    assert air.missing(begin, end) == [datetime(2013, 10, 26, h, tzinfo=UTC) for h in range(5)]
    assert np.isnan(air.bridged()[0].air_C).sum() == 5, "five hours are too many to bridge"


def test_a_wind_of_a_thousand_miles_an_hour_never_reaches_a_piece(
    servers: ModuleType, record_2013: ModuleType
) -> None:
    """Case 71: EWR, 12 February, 08:00 UTC; the server passes it on, the client does not."""
    spike = datetime(2013, 2, 12, 8, tzinfo=UTC)
    assert record_2013.record("EWR")[spike]["wind_m_s"] == pytest.approx(468.7, abs=0.1)
    with servers.serving(record_2013.records(), spike - 6 * HOUR) as server:
        provider = open_meteo.OpenMeteo(base_url=server.base_url)
        air = provider.forecast(*at(record_2013, "EWR"), server.now)
    k = round(air.hour_of(spike))
    assert np.isnan(air.wind_m_s[k])
    assert np.isfinite(air.wind_m_s[[k - 1, k + 1]]).all()


def test_a_false_frost_of_one_hour_in_may_is_missing(
    servers: ModuleType, record_2013: ModuleType
) -> None:
    """Case 72: JFK, 9 May, 02:00 UTC: 13.1 F between two hours of 57 F."""
    spike = datetime(2013, 5, 9, 2, tzinfo=UTC)
    assert record_2013.record("JFK")[spike]["air_C"] == pytest.approx(-10.5)
    with servers.serving(record_2013.records(), spike + 6 * HOUR) as server:
        provider = open_meteo.OpenMeteo(base_url=server.base_url)
        air = provider.forecast(*at(record_2013, "JFK"), server.now)
    k = round(air.hour_of(spike))
    assert np.isnan(air.air_C[k])
    assert np.isnan(air.dew_point_C[k])
    assert np.nanmin(air.air_C[k - 24 : k + 24]) > 5.0


def test_the_end_of_the_record_is_the_end_of_the_forecast(
    servers: ModuleType, record_2013: ModuleType
) -> None:
    """Case 42 with real hours: nothing after 30 December, 23:00 UTC."""
    now = datetime(2013, 12, 27, tzinfo=UTC)
    with servers.serving(record_2013.records(), now) as server:
        provider = open_meteo.OpenMeteo(base_url=server.base_url)
        air = provider.forecast(*at(record_2013, "LGA"), now)
    assert air.end == datetime(2013, 12, 30, 23, tzinfo=UTC)


def test_a_forecast_with_an_error_is_exact_for_the_past_and_worse_with_every_day(
    servers: ModuleType, record_2013: ModuleType, now: datetime
) -> None:
    with servers.serving(record_2013.records(), now) as server:
        server.error = servers.ForecastError(noise_K=0.6, phi=0.93, seed=7)
        provider = open_meteo.OpenMeteo(base_url=server.base_url)
        air = provider.forecast(*at(record_2013, "EWR"), now)
        again = provider.forecast(*at(record_2013, "EWR"), now)
    truth = record_2013.series_2013("EWR", air.start, air.end)
    off = air.air_C - truth.air_C
    first = int(np.ceil(air.hour_of(now)))
    assert np.nanmax(np.abs(off[:first])) < 0.06
    spread = np.nanstd(off[first + 24 :])
    assert 0.8 < spread < 2.4, "about 1.6 K, as a random walk that is pulled back"
    assert np.nanmax(np.abs(off[first : first + 2])) < 2.0
    np.testing.assert_array_equal(air.air_C, again.air_C)


def ask(server: StandIn, **query: object) -> tuple[int, Json]:
    url = f"{server.base_url}/v1/forecast?{urlencode(query)}"
    try:
        with urllib.request.urlopen(url) as answer:
            return answer.status, json.load(answer)
    except urllib.error.HTTPError as error:
        with error:
            return error.code, json.load(error)


def test_the_stand_in_answers_in_the_documented_shape(stand_in: StandIn) -> None:
    status, document = ask(
        stand_in, latitude=40.69, longitude=-74.17, hourly="temperature_2m,wind_speed_10m"
    )
    assert status == 200
    assert list(document) == [
        "latitude",
        "longitude",
        "generationtime_ms",
        "utc_offset_seconds",
        "timezone",
        "timezone_abbreviation",
        "elevation",
        "hourly_units",
        "hourly",
    ]
    assert document["hourly_units"]["wind_speed_10m"] == "km/h", "its default, not ours"
    assert document["hourly"]["time"][0] == "2013-04-20T00:00"
    assert len(document["hourly"]["time"]) == 7 * 24
    assert len(document["hourly"]["temperature_2m"]) == 7 * 24


@pytest.mark.parametrize(
    "query",
    [
        {"longitude": 0},
        {"latitude": 123, "longitude": 0},
        {"latitude": "x", "longitude": 0},
        {"latitude": 0, "longitude": 0, "past_days": 93},
        {"latitude": 0, "longitude": 0, "forecast_days": "many"},
        {"latitude": 0, "longitude": 0, "hourly": "temperature_3m"},
        {"latitude": 0, "longitude": 0, "tempo": 1},
    ],
)
def test_the_stand_in_refuses_what_the_service_refuses(stand_in: StandIn, query: JsonDict) -> None:
    status, document = ask(stand_in, **({"hourly": "temperature_2m"} | query))
    assert status == 400
    assert document["error"] is True
    assert document["reason"]


def test_several_places_come_as_a_list_and_the_first_is_read(
    stand_in: StandIn, now: datetime
) -> None:
    status, document = ask(
        stand_in,
        latitude="40.69,40.64",
        longitude="-74.17,-73.78",
        hourly="temperature_2m",
        timezone="GMT",
    )
    assert status == 200
    assert len(document) == 2
    air = open_meteo.read(open_meteo.opened(json.dumps(document).encode()), now)[0]
    assert air.air_C[0] == document[0]["hourly"]["temperature_2m"][0]
