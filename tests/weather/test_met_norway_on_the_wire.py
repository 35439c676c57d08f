"""Asking MET Norway's stand-in over a real socket: manners, refusals, the record of 2013."""

from datetime import UTC, datetime, timedelta
from types import ModuleType

import numpy as np
import pytest

from models.errors import InputError, WeatherUnavailable
from service.weather.http import Caller
from service.weather.met_norway import MetNorway
from tests.stand_in.met_norway_shape import MetNorwayRoute
from tests.stand_in.open_meteo_server import StandIn
from tests.support.raw import JsonDict

NEWARK = (40.69251, -74.16872)
HOUR = timedelta(hours=1)


def failure(
    provider: MetNorway, now: datetime, place: tuple[float, float] = NEWARK
) -> WeatherUnavailable:
    with pytest.raises(WeatherUnavailable) as caught:
        provider.forecast(*place, now)
    assert caught.value.provider == "MET Norway"
    return caught.value


def test_the_hourly_days_are_the_record(
    met_norway: MetNorway, record_2013: ModuleType, now: datetime
) -> None:
    air = met_norway.forecast(*NEWARK, now)
    truth = record_2013.series_2013("EWR", air.start, air.end)
    assert air.start == now.replace(minute=0)
    assert air.end == datetime(2013, 4, 30, tzinfo=UTC)
    assert air.issued_at == now - timedelta(minutes=40)
    sixty = slice(0, 60)
    assert air.air_C[sixty] == pytest.approx(truth.air_C[sixty], abs=0.051, nan_ok=True)
    assert air.dew_point_C[sixty] == pytest.approx(truth.dew_point_C[sixty], abs=0.051)
    assert air.wind_m_s[sixty] == pytest.approx(truth.wind_m_s[sixty], abs=0.051, nan_ok=True)
    assert air.rain_mm[:59] == pytest.approx(truth.rain_mm[:59], abs=0.051, nan_ok=True)


def test_the_six_hourly_days_miss_the_record_by_what_was_measured_for_them(
    met_norway: MetNorway, record_2013: ModuleType, met_answers: MetNorwayRoute, stand_in: StandIn
) -> None:
    """0.95 K rms for a monotone cubic between six-hourly values, over the whole year at Newark;
    here over twelve fortnights of it, from 0.8 to 1.15 K."""
    met_answers.hourly_h = 30
    off = []
    for month in range(1, 13):
        stand_in.now = datetime(2013, month, 10, tzinfo=UTC)
        air = met_norway.forecast(*NEWARK, stand_in.now)
        truth = record_2013.series_2013("EWR", air.start, air.end)
        off.append((air.air_C - truth.air_C)[36:])
    assert 0.8 < np.sqrt(np.nanmean(np.concatenate(off) ** 2)) < 1.15


def test_rain_of_the_whole_week_is_neither_lost_nor_doubled(
    met_norway: MetNorway, record_2013: ModuleType, now: datetime
) -> None:
    air = met_norway.forecast(*NEWARK, now)
    truth = record_2013.series_2013("EWR", air.start, air.end)
    assert np.nansum(truth.rain_mm[:-1]) > 1.0
    assert np.nansum(air.rain_mm) == pytest.approx(np.nansum(truth.rain_mm[:-1]), abs=0.5)


def test_percentiles_come_back_as_the_doubt_they_were_made_of(
    met_norway: MetNorway, stand_in: StandIn, now: datetime, met_answers: MetNorwayRoute
) -> None:
    """The stand-in doubts by 0.8 K now and 2.3 K after four days."""
    spread = met_norway.forecast(*NEWARK, now).spread_K
    assert spread[0] == pytest.approx(0.8, abs=0.05)
    assert spread[48] == pytest.approx(1.55, abs=0.05)
    met_answers.percentiles_h = 0
    stand_in.now = now + HOUR
    assert np.isnan(met_norway.forecast(*NEWARK, stand_in.now).spread_K).all(), "case 39"


def test_the_question_names_us_and_tells_no_more_than_it_must(
    met_norway: MetNorway, stand_in: StandIn, now: datetime
) -> None:
    met_norway.forecast(*NEWARK, now)
    met_norway.forecast(*NEWARK, now, altitude_m=12.4)
    first, second = stand_in.requests
    assert first.path == "/weatherapi/locationforecast/2.0/complete"
    assert first.query == {"lat": "40.693", "lon": "-74.169"}, "at most 4 decimals, or 403"
    assert second.query["altitude"] == "12"
    assert first.headers["User-Agent"].endswith("(yard@castclock.example)")


def test_without_a_contact_it_is_not_asked_at_all(
    stand_in: StandIn, met_answers: MetNorwayRoute, now: datetime
) -> None:
    """Its terms want one; whoever asks without is blocked, and others with him."""
    assert met_answers in stand_in.routes
    error = failure(MetNorway(Caller(), stand_in.base_url), now)
    assert "CASTCLOCK_CONTACT" in error.reason
    assert error.retry_after_s is None
    assert stand_in.requests == []


def test_a_contact_that_it_does_not_believe(
    stand_in: StandIn, met_answers: MetNorwayRoute, now: datetime
) -> None:
    """Case 7: 403 with a page of HTML."""
    assert met_answers in stand_in.routes
    error = failure(MetNorway(Caller(contact="me"), stand_in.base_url), now)
    assert error.retry_after_s is None
    assert "refuses us" in error.reason
    assert "403 Forbidden" in error.reason
    assert "<" not in error.reason
    assert len(stand_in.requests) == 1


@pytest.mark.parametrize(
    ("status", "later_s", "words"),
    [
        (429, 3600.0, "too many questions"),
        (422, None, "no forecast for this place"),
        (400, None, "400"),
        (404, None, "404"),
        (499, None, "499"),
    ],
)
def test_a_refusal_is_not_argued_with(
    met_norway: MetNorway,
    stand_in: StandIn,
    servers: ModuleType,
    now: datetime,
    status: int,
    later_s: float | None,
    words: str,
) -> None:
    """Case 6 and the codes of 2.2: their bodies are HTML."""
    stand_in.next_answers(servers.Fault(status=status))
    error = failure(met_norway, now)
    assert error.retry_after_s == later_s
    assert words in error.reason
    assert "<" not in error.reason
    assert len(stand_in.requests) == 1


@pytest.mark.parametrize("status", [500, 502, 503, 504])
def test_a_service_that_is_down_is_tried_four_times(
    met_norway: MetNorway,
    stand_in: StandIn,
    servers: ModuleType,
    now: datetime,
    status: int,
    waits: list[float],
) -> None:
    """Case 3."""
    stand_in.next_answers(*[servers.Fault(status=status)] * 9)
    error = failure(met_norway, now)
    assert str(status) in error.reason
    assert error.retry_after_s == 900.0
    assert waits == [1.0, 3.0, 9.0]


def test_a_product_on_its_way_out_is_still_read(
    met_norway: MetNorway, stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    """Case 15: 203."""
    stand_in.next_answers(servers.Fault(status=203))
    assert met_norway.forecast(*NEWARK, now).hours > 200


@pytest.mark.parametrize(
    "fault",
    [
        {"cut_to": 500},
        {"change": lambda _: b"<html>busy</html>", "headers": {"Content-Type": "text/html"}},
        {"change": lambda b: b[: len(b) // 2]},
        {"hang_up": True},
    ],
    ids=["cut short", "HTML", "half", "hung up"],
)
def test_a_garbled_answer_is_asked_for_again(
    met_norway: MetNorway,
    stand_in: StandIn,
    servers: ModuleType,
    now: datetime,
    fault: JsonDict,
    waits: list[float],
) -> None:
    """Cases 11, 12."""
    stand_in.next_answers(servers.Fault(**fault))
    assert met_norway.forecast(*NEWARK, now).hours > 200
    assert waits == [1.0]


def test_weather_of_another_place_is_refused(
    met_norway: MetNorway, stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    def elsewhere(document: JsonDict) -> None:
        document["geometry"]["coordinates"] = [10.75, 59.91, 5]

    stand_in.next_answers(servers.Fault(edit=elsewhere))
    assert "the answer is for 59.91, 10.75" in failure(met_norway, now).reason


def test_a_gap_of_the_record_is_a_gap_of_the_forecast(
    met_norway: MetNorway, stand_in: StandIn, record_2013: ModuleType
) -> None:
    """JFK lacks five hours before 26 October 2013, 05:00 UTC: no step stands there."""
    stand_in.now = datetime(2013, 10, 25, 3, 10, tzinfo=UTC)
    latitude, longitude = record_2013.position("JFK")
    air = met_norway.forecast(latitude, longitude, stand_in.now)
    k = round(air.hour_of(datetime(2013, 10, 26, tzinfo=UTC)))
    assert np.isnan(air.rain_mm[k : k + 5]).all()
    assert np.isfinite(air.air_C[k - 1])


@pytest.mark.parametrize("place", [(91.0, 0.0), (0.0, 181.0), (float("nan"), 0.0)])
def test_coordinates_that_are_none_are_refused_before_anybody_is_asked(
    met_norway: MetNorway, stand_in: StandIn, now: datetime, place: tuple[float, float]
) -> None:
    with pytest.raises(InputError, match="itude = .*give -"):
        met_norway.forecast(*place, now)
    with pytest.raises(InputError, match="altitude_m"):
        met_norway.forecast(*NEWARK, now, altitude_m=1e5)
    assert stand_in.requests == []


@pytest.mark.parametrize("address", ["", "api.met.no", "ftp://x", "http://a?b=1"])
def test_a_base_address_that_is_none_is_refused(address: str) -> None:
    with pytest.raises(InputError, match="base_url"):
        MetNorway(Caller(), address)


def test_the_credit_that_must_stand_beside_it() -> None:
    assert MetNorway.attribution == "Data from MET Norway (CC BY 4.0)"
