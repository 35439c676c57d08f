"""Asking Open-Meteo's stand-in over a real socket: retries, refusals, manners."""

import socket
import threading
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from types import ModuleType
from typing import Any

import pytest

from models.errors import InputError, WeatherUnavailable
from service.weather import http
from service.weather.open_meteo import OpenMeteo

NEWARK = (40.69251, -74.16872)
Made = Callable[..., OpenMeteo]


def failure(provider: OpenMeteo, now: datetime) -> WeatherUnavailable:
    with pytest.raises(WeatherUnavailable) as caught:
        provider.forecast(*NEWARK, now)
    assert caught.value.provider == "Open-Meteo"
    return caught.value


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
    newark = provider.forecast(*record_2013.position("EWR"), now)
    kennedy = provider.forecast(*record_2013.position("JFK"), now)
    assert abs(newark.air_C - kennedy.air_C).max() > 3.0


def test_the_question_names_us_and_asks_in_our_units(
    client: Made, stand_in: Any, now: datetime
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
    client: Made, stand_in: Any, now: datetime
) -> None:
    with pytest.raises(WeatherUnavailable, match="not 0, 0"):
        client().forecast(-0.0001, 0.0, now)
    assert stand_in.requests[0].query["latitude"] == "0"


@pytest.mark.parametrize("coordinates", [(91.0, 0.0), (0.0, 181.0), (float("nan"), 0.0)])
def test_coordinates_that_are_none_are_refused_before_anybody_is_asked(
    client: Made, stand_in: Any, now: datetime, coordinates: tuple[float, float]
) -> None:
    with pytest.raises(InputError, match="itude = .*give -"):
        client().forecast(*coordinates, now)
    assert stand_in.requests == []


def test_a_time_without_offset_is_refused(client: Made) -> None:
    with pytest.raises(InputError, match="offset"):
        client().forecast(*NEWARK, datetime(2013, 4, 20, 15))  # noqa: DTZ001


def test_two_server_errors_then_an_answer(
    client: Made, stand_in: Any, servers: ModuleType, waits: list[float], now: datetime
) -> None:
    """Case 3."""
    stand_in.next_answers(servers.Fault(status=500), servers.Fault(status=502))
    assert client().forecast(*NEWARK, now).hours > 400
    assert waits == [1.0, 3.0]
    assert len(stand_in.requests) == 3


def test_a_service_that_stays_down_is_given_up_after_four_attempts(
    client: Made, stand_in: Any, servers: ModuleType, waits: list[float], now: datetime
) -> None:
    stand_in.next_answers(*[servers.Fault(status=500)] * 9)
    error = failure(client(), now)
    assert "500" in error.reason
    assert "went wrong" in error.reason
    assert error.retry_after_s == http.LATER_S
    assert waits == [1.0, 3.0, 9.0]
    assert len(stand_in.requests) == 4


def test_nobody_at_the_address(client: Made, waits: list[float], now: datetime) -> None:
    """Case 1."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        port = taken.getsockname()[1]
    error = failure(client(f"http://127.0.0.1:{port}"), now)
    assert "ConnectError" in error.reason
    assert error.retry_after_s == http.LATER_S
    assert len(waits) == 3


def test_an_answer_that_does_not_come_then_one_that_does(
    client: Made, stand_in: Any, servers: ModuleType, waits: list[float], now: datetime
) -> None:
    """Case 2."""
    held = threading.Event()
    stand_in.next_answers(servers.Fault(wait_for=held))
    try:
        assert client(read_s=0.3).forecast(*NEWARK, now).hours > 400
    finally:
        held.set()
    assert waits == [1.0]


def test_an_answer_that_drips_is_given_up(
    client: Made, stand_in: Any, servers: ModuleType, now: datetime
) -> None:
    stand_in.next_answers(*[servers.Fault(drip_s=0.05)] * 4)
    assert "not complete" in failure(client(whole_s=0.2), now).reason


@pytest.mark.parametrize(
    ("header", "wait_s"),
    [
        ("7", 7.0),
        ("Sat, 20 Apr 2013 15:30:20 GMT", 20.0),
        ("0", 1.0),
        ("Sat, 20 Apr 2013 15:00:00 GMT", 1.0),
        ("soon", 1.0),
    ],
)
def test_busy_and_says_for_how_long(
    client: Made,
    stand_in: Any,
    servers: ModuleType,
    waits: list[float],
    now: datetime,
    header: str,
    wait_s: float,
) -> None:
    """Case 4: seconds or a date; never sooner than our own pause."""
    stand_in.next_answers(servers.Fault(status=503, headers={"Retry-After": header}))
    client().forecast(*NEWARK, now)
    assert waits == [wait_s]


@pytest.mark.parametrize(
    ("header", "later_s"),
    [("600", 600.0), ("Sat, 20 Apr 2013 17:30:00 GMT", 7200.0), ("999999999", 86400.0)],
)
def test_busy_for_longer_than_we_wait_is_left_to_the_clock(
    client: Made,
    stand_in: Any,
    servers: ModuleType,
    waits: list[float],
    now: datetime,
    header: str,
    later_s: float,
) -> None:
    stand_in.next_answers(servers.Fault(status=503, headers={"Retry-After": header}))
    assert failure(client(), now).retry_after_s == later_s
    assert waits == []
    assert len(stand_in.requests) == 1


def test_waits_asked_for_again_and_again_end_with_the_budget(
    client: Made, stand_in: Any, servers: ModuleType, waits: list[float], now: datetime
) -> None:
    stand_in.next_answers(*[servers.Fault(status=503, headers={"Retry-After": "25"})] * 4)
    assert failure(client(), now).retry_after_s == 25.0
    assert waits == [25.0]


@pytest.mark.parametrize(
    ("words", "later_s"),
    [
        ("Minutely limit of invented size exceeded", 60.0),
        ("Hourly limit of invented size exceeded", 30 * 60.0),
        ("Daily limit of invented size exceeded", 8.5 * 3600.0),
    ],
)
def test_too_many_questions_this_minute_hour_or_day(
    client: Made,
    stand_in: Any,
    servers: ModuleType,
    waits: list[float],
    now: datetime,
    words: str,
    later_s: float,
) -> None:
    """Case 6; it is 15:30 UTC."""
    stand_in.next_answers(
        servers.Fault(status=429, edit=lambda _: {"error": True, "reason": words})
    )
    error = failure(client(), now)
    assert error.retry_after_s == later_s
    assert words in error.reason
    assert waits == []


def test_too_many_at_once_is_tried_again_after_a_pause(
    client: Made, stand_in: Any, servers: ModuleType, waits: list[float], now: datetime
) -> None:
    stand_in.next_answers(
        servers.Fault(status=429, edit=lambda _: {"error": True, "reason": "too many at once"})
    )
    assert client().forecast(*NEWARK, now).hours > 400
    assert waits == [1.0]


@pytest.mark.parametrize("status", [400, 401, 403, 404, 410])
def test_a_refusal_is_not_argued_with(
    client: Made,
    stand_in: Any,
    servers: ModuleType,
    waits: list[float],
    now: datetime,
    status: int,
) -> None:
    """Case 7."""
    stand_in.next_answers(servers.Fault(status=status))
    error = failure(client(), now)
    assert error.retry_after_s is None, "trying again is no use"
    assert str(status) in error.reason
    assert waits == []
    assert len(stand_in.requests) == 1


def test_a_refusal_by_the_service_itself_is_passed_on_in_its_words(
    stand_in: Any, now: datetime
) -> None:
    provider = OpenMeteo(base_url=stand_in.base_url)
    provider._past_days = 93
    error = failure(provider, now)
    assert "past_days is out of range" in error.reason
    assert error.retry_after_s is None


def test_words_of_a_stranger_are_made_harmless(
    client: Made, stand_in: Any, servers: ModuleType, now: datetime
) -> None:
    nasty = "no\r\nSet-Cookie: x\x1b[31m" + "z" * 5000
    stand_in.next_answers(
        servers.Fault(status=400, edit=lambda _: {"error": True, "reason": nasty})
    )
    reason = failure(client(), now).reason
    assert reason.isprintable()
    assert len(reason) < 250


@pytest.mark.parametrize("status", [301, 302, 307, 308])
def test_sent_on_within_the_same_host(
    client: Made, stand_in: Any, servers: ModuleType, now: datetime, status: int
) -> None:
    """Case 10."""

    def moved(query: str) -> Any:
        return servers.Fault(status=status, headers={"Location": f"/v1/forecast?{query}"})

    provider = client()
    provider.forecast(*NEWARK, now)
    query = "&".join(f"{k}={v}" for k, v in stand_in.requests[0].query.items())
    stand_in.next_answers(moved(query), moved(query), moved(query))
    assert provider.forecast(*NEWARK, now).hours > 400
    assert len(stand_in.requests) == 5


def test_sent_round_in_circles(
    client: Made, stand_in: Any, servers: ModuleType, waits: list[float], now: datetime
) -> None:
    circle = servers.Fault(status=302, headers={"Location": "/v1/forecast"})
    stand_in.next_answers(*[circle] * 9)
    assert "more than 3 times" in failure(client(), now).reason
    assert len(stand_in.requests) == 4
    assert waits == []


@pytest.mark.parametrize(
    "target",
    [
        "http://192.0.2.7/v1/forecast",
        "//weather.invalid/v1/forecast",
        "http://127.0.0.1:9/v1/forecast",
        "file:///etc/hostname",
        "http://[",
    ],
)
def test_sent_on_to_a_stranger_is_refused(
    client: Made, stand_in: Any, servers: ModuleType, now: datetime, target: str
) -> None:
    stand_in.next_answers(servers.Fault(status=302, headers={"Location": target}))
    assert "sent us on" in failure(client(), now).reason
    assert len(stand_in.requests) == 1


def _html(_: bytes) -> bytes:
    return b"<html><body>Please stand by</body></html>"


def _sentence(body: bytes) -> bytes:
    return body + b"Unexpected error while streaming"


@pytest.mark.parametrize(
    "fault",
    [
        {"cut_to": 500},
        {"headers": {"Content-Encoding": "gzip"}, "change": lambda b: b"\x1f\x8b" + b[:50]},
        {"change": _html, "headers": {"Content-Type": "text/html"}},
        {"change": _sentence},
        {"change": lambda b: b[: len(b) // 2]},
        {"change": lambda _: b""},
        {"hang_up": True},
    ],
    ids=["cut short", "broken gzip", "HTML", "sentence behind", "half", "nothing", "hung up"],
)
def test_a_garbled_answer_is_asked_for_again(
    client: Made,
    stand_in: Any,
    servers: ModuleType,
    waits: list[float],
    now: datetime,
    fault: dict[str, Any],
) -> None:
    """Cases 11, 12, 13: a status of 200 is not yet an answer."""
    stand_in.next_answers(servers.Fault(**fault), servers.Fault(**fault))
    assert client().forecast(*NEWARK, now).hours > 400
    assert waits == [1.0, 3.0]


def test_an_answer_that_stays_garbled_is_no_weather(
    client: Made, stand_in: Any, servers: ModuleType, now: datetime
) -> None:
    stand_in.next_answers(*[servers.Fault(change=_sentence)] * 4)
    error = failure(client(), now)
    assert "not JSON" in error.reason
    assert error.retry_after_s == http.LATER_S


def test_a_flood_is_cut_off(
    client: Made, stand_in: Any, servers: ModuleType, waits: list[float], now: datetime
) -> None:
    """Case 14."""
    stand_in.next_answers(servers.Fault(change=lambda b: b + b" " * 11_000_000))
    assert "longer than" in failure(client(), now).reason
    assert waits == []


def test_a_status_that_is_nearly_200_is_read(
    client: Made, stand_in: Any, servers: ModuleType, now: datetime
) -> None:
    """Case 15: 203 from a proxy in between."""
    stand_in.next_answers(servers.Fault(status=203))
    assert client().forecast(*NEWARK, now).hours > 400


def test_weather_of_another_place_is_refused(
    client: Made, stand_in: Any, servers: ModuleType, now: datetime
) -> None:
    def elsewhere(document: dict[str, Any]) -> None:
        document["latitude"] = 51.5

    stand_in.next_answers(servers.Fault(edit=elsewhere))
    assert "51.5" in failure(client(), now).reason


def test_a_place_beside_the_date_line_is_near_its_own_cell(
    servers: ModuleType, record_2013: ModuleType, now: datetime
) -> None:
    fiji = {(-16.5, -179.99): record_2013.record("EWR")}
    with servers.serving(fiji, now) as server:
        assert OpenMeteo(base_url=server.base_url).forecast(-16.5, 179.99, now).hours > 400


@pytest.mark.parametrize("zone", ["America/New_York", "Australia/Perth"])
def test_an_answer_in_local_time_comes_out_in_utc(
    client: Made,
    stand_in: Any,
    servers: ModuleType,
    record_2013: ModuleType,
    now: datetime,
    zone: str,
) -> None:
    def local(document: dict[str, Any]) -> Any:
        query = dict(stand_in.requests[-1].query) | {"timezone": zone}
        return stand_in.document(query)

    stand_in.next_answers(servers.Fault(edit=local))
    air = client().forecast(*NEWARK, now)
    truth = record_2013.series_2013("EWR", air.start, air.end)
    assert air.start.hour != 0
    assert air.air_C == pytest.approx(truth.air_C, abs=0.051, nan_ok=True)


def test_yesterdays_copy_of_an_answer_is_not_taken_for_new(
    client: Made, stand_in: Any, now: datetime
) -> None:
    """Status 200 is not fresh: the days it begins with tell when it was made."""
    air = client().forecast(*NEWARK, now + timedelta(days=2))
    assert air.issued_at == datetime(2013, 4, 21, tzinfo=UTC)


@pytest.mark.parametrize("minutes", [-3, 3])
def test_clocks_a_little_apart_at_midnight_do_no_harm(
    client: Made, stand_in: Any, minutes: int
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
