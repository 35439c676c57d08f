"""Asking for the weather of a place: whose air comes back, and how old it may call itself."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from types import ModuleType

import pytest

from models.errors import InputError, WeatherUnavailable
from service.weather import http
from service.weather.open_meteo import OpenMeteo
from tests.stand_in.open_meteo_server import StandIn
from tests.support.raw import Json, JsonDict

NEWARK = (40.69251, -74.16872)
Made = Callable[..., OpenMeteo]


def at(record_2013: ModuleType, station: str) -> tuple[float, float]:
    latitude, longitude = record_2013.position(station)
    return latitude, longitude


def test_the_forecast_of_a_place_is_its_record(
    client: Made, record_2013: ModuleType, now: datetime
) -> None:
    air = client().forecast(*NEWARK, now)
    truth = record_2013.series_2013("EWR", air.start, air.end)
    assert air.start == datetime(2013, 4, 10, tzinfo=UTC)
    assert air.hours == 26 * 24
    assert air.issued_at == now
    assert air.air_C == pytest.approx(truth.air_C, abs=0.051, nan_ok=True)
    assert air.dew_point_C == pytest.approx(truth.dew_point_C, abs=0.051, nan_ok=True)
    assert air.wind_m_s == pytest.approx(truth.wind_m_s, abs=0.0051, nan_ok=True)
    assert air.rain_mm[:-1] == pytest.approx(truth.rain_mm[:-1], abs=0.0051, nan_ok=True)
    assert air.rain_mm[:-1].sum() > 10.0, "it rained in those weeks"


def test_each_place_gets_its_own_air(client: Made, record_2013: ModuleType, now: datetime) -> None:
    provider = client()
    newark = provider.forecast(*at(record_2013, "EWR"), now)
    kennedy = provider.forecast(*at(record_2013, "JFK"), now)
    assert abs(newark.air_C - kennedy.air_C).max() > 3.0


def test_the_question_names_us_and_asks_in_our_units(
    client: Made, stand_in: StandIn, now: datetime
) -> None:
    client().forecast(*NEWARK, now)
    (asked,) = stand_in.requests
    assert asked.path == "/v1/forecast"
    assert asked.headers["User-Agent"] == f"{http.Caller().user_agent} (yard@castclock.example)"
    assert asked.headers["User-Agent"].startswith("castclock/")
    assert asked.query["latitude"] == "40.693", "no nearer to the door than weather needs"
    assert asked.query["longitude"] == "-74.169"
    assert asked.query["timezone"] == "GMT"
    assert asked.query["wind_speed_unit"] == "ms"
    assert asked.query["past_days"] == "10"
    assert asked.query["forecast_days"] == "16"


def test_the_credit_that_must_stand_beside_it() -> None:
    assert OpenMeteo.attribution == "Weather data by Open-Meteo.com (CC BY 4.0)"


def test_a_place_on_the_equator_is_not_minus_zero(
    client: Made, stand_in: StandIn, now: datetime
) -> None:
    with pytest.raises(WeatherUnavailable, match="not 0, 0"):
        client().forecast(-0.0001, 0.0, now)
    assert stand_in.requests[0].query["latitude"] == "0"


@pytest.mark.parametrize("coordinates", [(91.0, 0.0), (0.0, 181.0), (float("nan"), 0.0)])
def test_coordinates_that_are_none_are_refused_before_anybody_is_asked(
    client: Made, stand_in: StandIn, now: datetime, coordinates: tuple[float, float]
) -> None:
    with pytest.raises(InputError, match="itude = .*give -"):
        client().forecast(*coordinates, now)
    assert stand_in.requests == []


def test_a_time_without_offset_is_refused(client: Made) -> None:
    with pytest.raises(InputError, match="offset"):
        client().forecast(*NEWARK, datetime(2013, 4, 20, 15))  # noqa: DTZ001


def test_weather_of_another_place_is_refused(
    client: Made, stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    def elsewhere(document: JsonDict) -> None:
        document["latitude"] = 51.5

    stand_in.next_answers(servers.Fault(edit=elsewhere))
    with pytest.raises(WeatherUnavailable, match=r"51\.5"):
        client().forecast(*NEWARK, now)


def test_a_place_beside_the_date_line_is_near_its_own_cell(
    servers: ModuleType, record_2013: ModuleType, now: datetime
) -> None:
    fiji = {(-16.5, -179.99): record_2013.record("EWR")}
    with servers.serving(fiji, now) as server:
        assert OpenMeteo(base_url=server.base_url).forecast(-16.5, 179.99, now).hours > 400


@pytest.mark.parametrize("zone", ["America/New_York", "Australia/Perth"])
def test_an_answer_in_local_time_comes_out_in_utc(
    client: Made,
    stand_in: StandIn,
    servers: ModuleType,
    record_2013: ModuleType,
    now: datetime,
    zone: str,
) -> None:
    def local(_: JsonDict) -> Json:
        query = dict(stand_in.requests[-1].query) | {"timezone": zone}
        return stand_in.document(query)

    stand_in.next_answers(servers.Fault(edit=local))
    air = client().forecast(*NEWARK, now)
    truth = record_2013.series_2013("EWR", air.start, air.end)
    assert air.start.hour != 0
    assert air.air_C == pytest.approx(truth.air_C, abs=0.051, nan_ok=True)


def test_yesterdays_copy_of_an_answer_is_not_taken_for_new(client: Made, now: datetime) -> None:
    """Status 200 is not fresh: the days it begins with tell when it was made."""
    air = client().forecast(*NEWARK, now + timedelta(days=2))
    assert air.issued_at == datetime(2013, 4, 21, tzinfo=UTC)


@pytest.mark.parametrize("minutes", [-3, 3])
def test_clocks_a_little_apart_at_midnight_do_no_harm(
    client: Made, stand_in: StandIn, minutes: int
) -> None:
    stand_in.now = datetime(2013, 4, 21, tzinfo=UTC) - timedelta(seconds=30)
    ours = stand_in.now + timedelta(minutes=minutes)
    age = ours - client().forecast(*NEWARK, ours).issued_at
    assert timedelta(0) <= age <= timedelta(minutes=3)


@pytest.mark.parametrize("contact", ["a\r\nX-Evil: 1", "ü@example.org", "x" * 201])
def test_a_contact_that_cannot_stand_in_a_header_is_refused(contact: str) -> None:
    with pytest.raises(InputError, match="contact"):
        http.Caller(contact=contact)


@pytest.mark.parametrize(
    "address", ["", "weather.example", "ftp://weather.example", "http://[", "http://a?b=1"]
)
def test_a_base_address_that_is_none_is_refused(address: str) -> None:
    with pytest.raises(InputError, match="base_url"):
        OpenMeteo(base_url=address)
