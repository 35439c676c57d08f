"""Asking Open-Meteo's stand-in over a real socket: retries, refusals, garbled answers."""

import socket
import threading
from collections.abc import Callable
from datetime import datetime
from types import ModuleType

import pytest

from models.errors import WeatherUnavailable
from service.weather import http, open_meteo
from service.weather.chain import Chain
from service.weather.health import Watched
from service.weather.http import Caller
from service.weather.open_meteo import OpenMeteo
from tests.stand_in.open_meteo_server import Fault, StandIn
from tests.support.raw import JsonDict
from tests.support.services import Service

NEWARK = (40.69251, -74.16872)
Made = Callable[..., OpenMeteo]


def failure(provider: OpenMeteo, now: datetime) -> WeatherUnavailable:
    with pytest.raises(WeatherUnavailable) as caught:
        provider.forecast(*NEWARK, now)
    assert caught.value.provider == "Open-Meteo"
    return caught.value


def test_two_server_errors_then_an_answer(
    client: Made, stand_in: StandIn, servers: ModuleType, waits: list[float], now: datetime
) -> None:
    """Case 3."""
    stand_in.next_answers(servers.Fault(status=500), servers.Fault(status=502))
    assert client().forecast(*NEWARK, now).hours > 400
    assert waits == [1.0, 3.0]
    assert len(stand_in.requests) == 3


def test_a_service_that_stays_down_is_given_up_after_four_attempts(
    client: Made, stand_in: StandIn, servers: ModuleType, waits: list[float], now: datetime
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
    assert error.reason == "it could not be reached"
    assert error.retry_after_s == http.LATER_S
    assert len(waits) == 3


def test_an_answer_that_does_not_come_then_one_that_does(
    client: Made, stand_in: StandIn, servers: ModuleType, waits: list[float], now: datetime
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
    client: Made, stand_in: StandIn, servers: ModuleType, now: datetime
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
    stand_in: StandIn,
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
    stand_in: StandIn,
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


def test_a_service_that_is_always_back_in_two_seconds_is_given_more(
    client: Made, stand_in: StandIn, servers: ModuleType, waits: list[float], now: datetime
) -> None:
    stand_in.next_answers(*[servers.Fault(status=503, headers={"Retry-After": "2"})] * 3)
    client().forecast(*NEWARK, now)
    assert waits == [2.0, 3.0, 9.0]


def test_waits_asked_for_again_and_again_end_with_the_budget(
    client: Made, stand_in: StandIn, servers: ModuleType, waits: list[float], now: datetime
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
    stand_in: StandIn,
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
    client: Made, stand_in: StandIn, servers: ModuleType, waits: list[float], now: datetime
) -> None:
    stand_in.next_answers(
        servers.Fault(status=429, edit=lambda _: {"error": True, "reason": "too many at once"})
    )
    assert client().forecast(*NEWARK, now).hours > 400
    assert waits == [1.0]


@pytest.mark.parametrize("status", [400, 401, 403, 404, 410])
def test_a_refusal_is_not_argued_with(
    client: Made,
    stand_in: StandIn,
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
    stand_in: StandIn, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(open_meteo, "PAST_DAYS", 93)
    error = failure(OpenMeteo(base_url=stand_in.base_url), now)
    assert "past_days is out of range" in error.reason
    assert error.retry_after_s is None


def test_words_of_a_stranger_are_made_harmless(
    client: Made, stand_in: StandIn, servers: ModuleType, now: datetime
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
    client: Made, stand_in: StandIn, now: datetime, status: int
) -> None:
    """Case 10."""

    def moved(query: str) -> Fault:
        return Fault(status=status, headers={"Location": f"/v1/forecast?{query}"})

    provider = client()
    provider.forecast(*NEWARK, now)
    query = "&".join(f"{k}={v}" for k, v in stand_in.requests[0].query.items())
    stand_in.next_answers(moved(query), moved(query), moved(query))
    assert provider.forecast(*NEWARK, now).hours > 400
    assert len(stand_in.requests) == 5


def test_sent_round_in_circles(
    client: Made, stand_in: StandIn, servers: ModuleType, waits: list[float], now: datetime
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
        "http://localhost:{port}/v1/forecast",
        "file:///etc/hostname",
        "http://[",
    ],
)
def test_sent_on_to_a_stranger_is_refused(
    client: Made, stand_in: StandIn, servers: ModuleType, now: datetime, target: str
) -> None:
    there = target.replace("{port}", stand_in.base_url.rpartition(":")[2])
    stand_in.next_answers(servers.Fault(status=302, headers={"Location": there}))
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
    stand_in: StandIn,
    servers: ModuleType,
    waits: list[float],
    now: datetime,
    fault: JsonDict,
) -> None:
    """Cases 11, 12, 13: a status of 200 is not yet an answer."""
    stand_in.next_answers(servers.Fault(**fault), servers.Fault(**fault))
    assert client().forecast(*NEWARK, now).hours > 400
    assert waits == [1.0, 3.0]


def test_an_answer_that_stays_garbled_is_no_weather(
    client: Made, stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    stand_in.next_answers(*[servers.Fault(change=_sentence)] * 4)
    error = failure(client(), now)
    assert "not JSON" in error.reason
    assert error.retry_after_s == http.LATER_S


def test_a_flood_is_cut_off(
    client: Made, stand_in: StandIn, servers: ModuleType, waits: list[float], now: datetime
) -> None:
    """Case 14."""
    stand_in.next_answers(servers.Fault(change=lambda b: b + b" " * 11_000_000))
    assert "longer than" in failure(client(), now).reason
    assert waits == []


def test_a_status_that_is_nearly_200_is_read(
    client: Made, stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    """Case 15: 203 from a proxy in between."""
    stand_in.next_answers(servers.Fault(status=203))
    assert client().forecast(*NEWARK, now).hours > 400


def test_the_real_service_falls_back_over_the_wire(
    stand_in: StandIn, servers: ModuleType, waits: list[float], now: datetime
) -> None:
    first = Service("US National Weather Service")
    first.down("status 500")
    caller = Caller(sleep=waits.append)
    weather = Chain(
        {
            "nws": Watched(first, ""),
            "open-meteo": Watched(OpenMeteo(caller, stand_in.base_url), "", caller.copies),
        }
    )
    assert weather.forecast(40.69251, -74.16872, now).source == "Open-Meteo forecast"
    stand_in.next_answers(*[servers.Fault(status=503)] * 4)
    with pytest.raises(WeatherUnavailable, match="status 500.*status 503"):
        weather.forecast(40.69251, -74.16872, now)
