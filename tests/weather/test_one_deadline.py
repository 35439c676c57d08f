"""One end to a whole question, however a service holds out, and no flood that unpacks itself."""

import gzip
import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from types import ModuleType
from typing import Any

import pytest

from models.errors import WeatherUnavailable
from service.weather.copies import Copy
from service.weather.http import Caller, Refusal
from service.weather.open_meteo import OpenMeteo
from tests.stand_in.open_meteo_server import StandIn

Made = Callable[..., OpenMeteo]
PATIENT_S = 30.0  # of a test that would wait for ever


def explain(status: int, body: bytes, now: datetime) -> Refusal:
    del status, body, now
    return Refusal("", None)


@contextmanager
def dripping(forever: bytes, begin: bytes = b"", every_s: float = 0.02) -> Iterator[str]:
    """A server that sends `begin` and then never stops sending a few bytes at a time."""
    over = threading.Event()

    def drip(line: socket.socket) -> None:
        with line:
            try:
                line.recv(65536)
                line.sendall(begin)
                while not over.wait(every_s):
                    line.sendall(forever)
            except OSError:
                return

    def accept() -> None:
        while not over.is_set():
            try:
                line, _ = door.accept()
            except TimeoutError:
                continue
            threading.Thread(target=drip, args=(line,)).start()

    with socket.create_server(("127.0.0.1", 0)) as door:
        door.settimeout(0.05)
        thread = threading.Thread(target=accept)
        thread.start()
        try:
            yield f"http://127.0.0.1:{door.getsockname()[1]}"
        finally:
            over.set()
            thread.join()


def asked(caller: Caller, url: str, now: datetime) -> list[Copy | WeatherUnavailable]:
    """What became of a question within the patience of a test; empty: it still waits."""
    told: list[Any] = []

    def ask() -> None:
        try:
            told.append(caller.get_copy("one", url, {}, now, explain))
        except WeatherUnavailable as error:
            told.append(error)

    thread = threading.Thread(target=ask, daemon=True)
    thread.start()
    thread.join(PATIENT_S)
    return told


@pytest.mark.parametrize(
    ("begin", "forever"),
    [
        (b"HTTP/1.1 200 OK\r\n", b"X-Soon: yes\r\n"),
        (b"", b"H"),
        (b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n", b"1\r\n \r\n"),
        (b"HTTP/1.1 200 OK\r\nContent-Length: 9999999\r\n\r\n", b" "),
    ],
    ids=["headers", "status line", "chunks", "body"],
)
def test_a_service_that_drips_is_given_up(now: datetime, begin: bytes, forever: bytes) -> None:
    with dripping(forever, begin) as url:
        told = asked(Caller(read_s=10.0, whole_s=0.5, sleep=lambda _: None), url, now)
    (error,) = told or (None,)
    assert isinstance(error, WeatherUnavailable), "it still waits"
    assert error.retry_after_s is not None, "the clock comes back to it"


def test_a_drip_holds_no_thread_after_it_was_given_up(now: datetime) -> None:
    with dripping(b"X-Soon: yes\r\n", b"HTTP/1.1 200 OK\r\n") as url:
        assert asked(Caller(whole_s=0.3), url, now)
        until = time.monotonic() + PATIENT_S
        while any(one.name == "weather attempt" for one in threading.enumerate()):
            assert time.monotonic() < until, "the attempt still hangs on the line"
            time.sleep(0.01)


def test_redirects_and_pauses_count_into_the_same_deadline(
    client: Made, stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    """Each answer is in time by itself; all together they are not."""
    moved = servers.Fault(status=302, headers={"Location": "/v1/forecast"}, drip_s=0.02)
    stand_in.next_answers(*[moved] * 3, *[servers.Fault(drip_s=0.02)] * 9)
    with pytest.raises(WeatherUnavailable, match="not complete"):
        client(whole_s=0.4).forecast(40.69251, -74.16872, now)


def test_a_pause_that_outlasts_the_deadline_is_not_begun(
    client: Made, stand_in: StandIn, servers: ModuleType, waits: list[float], now: datetime
) -> None:
    stand_in.next_answers(*[servers.Fault(status=500)] * 4)
    with pytest.raises(WeatherUnavailable, match="status 500"):
        client(whole_s=8.5).forecast(40.69251, -74.16872, now)
    assert waits == [1.0, 3.0], "nine seconds more would be over it"


def packed(times: int, size: int) -> bytes:
    body = b" " * size
    for _ in range(times):
        body = gzip.compress(body)
    return body


@pytest.mark.parametrize("encoding", ["gzip, gzip", "gzip,gzip", "GZIP, identity, gzip"])
def test_what_is_packed_twice_is_not_unpacked(
    client: Made,
    stand_in: StandIn,
    servers: ModuleType,
    now: datetime,
    encoding: str,
) -> None:
    bomb = packed(2, 30_000_000)
    stand_in.next_answers(
        servers.Fault(headers={"Content-Encoding": encoding}, change=lambda _: bomb)
    )
    with pytest.raises(WeatherUnavailable, match="packed more than once"):
        client().forecast(40.69251, -74.16872, now)
    assert len(stand_in.requests) == 1


def test_a_small_answer_that_unpacks_into_a_flood_is_cut_off(
    client: Made, stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    bomb = packed(1, 30_000_000)
    assert len(bomb) < 50_000
    stand_in.next_answers(
        servers.Fault(headers={"Content-Encoding": "gzip"}, change=lambda _: bomb)
    )
    with pytest.raises(WeatherUnavailable, match="longer than"):
        client().forecast(40.69251, -74.16872, now)
    assert len(stand_in.requests) == 1


def test_a_packed_answer_is_read(
    client: Made, stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    stand_in.next_answers(servers.Fault(headers={"Content-Encoding": "gzip"}, change=gzip.compress))
    assert client().forecast(40.69251, -74.16872, now).hours > 400
    assert stand_in.requests[0].headers["Accept-Encoding"] == "gzip"


def test_an_answer_of_a_version_that_will_be_withdrawn_is_read_and_said(
    client: Made,
    stand_in: StandIn,
    servers: ModuleType,
    now: datetime,
    caplog: pytest.LogCaptureFixture,
) -> None:
    stand_in.next_answers(servers.Fault(status=203))
    assert client().forecast(40.69251, -74.16872, now).hours > 400
    assert "status 203" in caplog.text
