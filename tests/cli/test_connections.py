"""Who opens connections and asks nothing keeps nobody out, and fills no log."""

import asyncio
import logging
import resource
import socket
import ssl
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress

import pytest
import trustme
import uvicorn
from starlette.types import Receive, Scope, Send

from service import machine
from service.cli import connections
from service.middleware import LARGEST_HEAD

ROOM = 6
LARGE = bytes(10_000_000)  # more than lines between hold
PATIENT_S = 30.0
ASK = b"GET / HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"
Serve = Callable[..., tuple[str, int]]


class App:
    """Answers when it is let, at once where nobody holds it; to /large/2 in two large pieces."""

    def __init__(self) -> None:
        self.let, self.asked = threading.Event(), threading.Semaphore(0)
        self.let.set()

    async def __call__(self, scope: Scope, _receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            raise ValueError
        self.asked.release()
        while not self.let.is_set():
            await asyncio.sleep(0.01)
        if "large" in scope["path"]:
            pieces = int(scope["path"][-1])
            length = [(b"content-length", b"%d" % (pieces * len(LARGE)))]
            await send({"type": "http.response.start", "status": 200, "headers": length})
            for left in reversed(range(pieces)):
                await send({"type": "http.response.body", "body": LARGE, "more_body": left > 0})
            return
        await send({"type": "http.response.start", "status": 204, "headers": []})
        await send({"type": "http.response.body"})


@pytest.fixture
def app() -> App:
    return App()


@pytest.fixture
def serve(app: App) -> Iterator[Serve]:
    with ExitStack() as stack:

        def start(context: ssl.SSLContext | None = None) -> tuple[str, int]:
            return stack.enter_context(served(app, context))

        yield start


@contextmanager
def served(app: App, context: ssl.SSLContext | None) -> Iterator[tuple[str, int]]:
    door = connections.Door(machine.listening("127.0.0.1", 0), ROOM)
    address: tuple[str, int] = door.getsockname()
    over_tls = {"ssl_context_factory": lambda *_: context} if context else {}
    server = uvicorn.Server(connections.config(door, app, lifespan="off", **over_tls))
    thread = threading.Thread(target=server.run, args=([door],), daemon=True)
    with door:
        thread.start()
        try:
            yield address
        finally:
            app.let.set()
            server.should_exit = True
            thread.join(PATIENT_S)


def ended(line: socket.socket) -> bool:
    """Whether the server ends it within the patience of a test."""
    line.settimeout(PATIENT_S)
    with suppress(ConnectionError):
        return line.recv(1) == b""
    return True


def still_open(line: socket.socket) -> bool:
    line.settimeout(0.0)
    try:
        return line.recv(1) != b""
    except BlockingIOError:
        return True
    except ConnectionError:
        return False


def answer(address: tuple[str, int]) -> bytes:
    with socket.create_connection(address, PATIENT_S) as line:
        line.sendall(ASK)
        return line.recv(12)


@pytest.mark.parametrize("tls", [False, True], ids=["http", "https"])
def test_who_asks_is_answered_though_all_places_are_taken_by_who_does_not(
    serve: Serve, tls: bool
) -> None:
    """300 half-open connections at 256 files stopped all service."""
    authority = trustme.CA()
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER) if tls else None
    if context:
        authority.issue_cert("127.0.0.1").configure_cert(context)
    address = serve(context)
    with ExitStack() as stack:
        silent = [
            stack.enter_context(socket.create_connection(address, PATIENT_S))
            for _ in range(3 * ROOM)
        ]
        line = stack.enter_context(socket.create_connection(address, PATIENT_S))
        if context:
            ours = ssl.create_default_context()
            authority.configure_trust(ours)
            line = stack.enter_context(ours.wrap_socket(line, server_hostname="127.0.0.1"))
        line.sendall(ASK)
        assert line.recv(12) == b"HTTP/1.1 204"
        assert all(ended(one) for one in silent[: 2 * ROOM]), "they hold files of the process"


def test_a_request_under_way_loses_its_place_to_nobody(serve: Serve, app: App) -> None:
    app.let.clear()
    address = serve()
    with ExitStack() as stack:
        asking = [
            stack.enter_context(socket.create_connection(address, PATIENT_S)) for _ in range(ROOM)
        ]
        for one in asking:
            one.sendall(ASK)
            assert app.asked.acquire(timeout=PATIENT_S)
        with socket.create_connection(address, PATIENT_S) as late:
            assert ended(late), "for it there is no room"
        app.let.set()
        for one in asking:
            assert one.recv(12) == b"HTTP/1.1 204"
    assert answer(address) == b"HTTP/1.1 204"


@pytest.mark.parametrize("drip", [b"", b"GET", b"GET / HTTP/1.1\r\nHost: localhost\r\nX-A: "])
def test_a_head_that_never_ends_is_not_waited_for(
    serve: Serve, monkeypatch: pytest.MonkeyPatch, drip: bytes
) -> None:
    monkeypatch.setattr(connections, "HEAD_S", 0.2)
    with socket.create_connection(serve(), PATIENT_S) as line:
        line.sendall(drip)
        over = threading.Event()

        def go_on() -> None:
            with suppress(OSError):
                while not over.wait(0.02):
                    line.sendall(drip[:1] and b"x")

        thread = threading.Thread(target=go_on, daemon=True)
        thread.start()
        assert ended(line)
        over.set()
        thread.join(PATIENT_S)


def test_a_kept_connection_that_drips_its_next_head_is_ended_too(
    serve: Serve, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A byte of a next request ended uvicorn's own patience with a kept connection for good."""
    monkeypatch.setattr(connections, "HEAD_S", 0.3)
    with socket.create_connection(serve(), PATIENT_S) as line:
        line.sendall(ASK.replace(b"Connection: close\r\n", b""))
        while b"\r\n\r\n" not in line.recv(4096):
            pass
        line.sendall(b"G")
        assert ended(line)


def read(line: socket.socket) -> int:
    """Bytes up to the end that the server makes."""
    line.settimeout(PATIENT_S)
    count = 0
    with suppress(ConnectionError):
        while found := line.recv(1 << 20):
            count += len(found)
    return count


@pytest.mark.parametrize("pieces", [1, 2])
def test_who_never_reads_the_answer_loses_its_place(
    serve: Serve, app: App, monkeypatch: pytest.MonkeyPatch, pieces: int
) -> None:
    """It kept it for ever where the answer went out in more than one piece."""
    monkeypatch.setattr(connections, "ANSWER_S", 0.3)
    address = serve()
    with ExitStack() as stack:
        unread = [
            stack.enter_context(socket.create_connection(address, PATIENT_S)) for _ in range(ROOM)
        ]
        for one in unread:
            one.sendall(ASK.replace(b"/", b"/large/%d" % pieces, 1))
            assert app.asked.acquire(timeout=PATIENT_S)
        until = time.monotonic() + PATIENT_S
        while (told := answer_or_none(address)) is None and time.monotonic() < until:
            time.sleep(0.02)
        assert told == b"HTTP/1.1 204"
        assert read(unread[0]) < len(LARGE)


def answer_or_none(address: tuple[str, int]) -> bytes | None:
    """None where there is no room."""
    with suppress(ConnectionError):
        return answer(address) or None
    return None


@pytest.mark.parametrize("pieces", [1, 2])
def test_who_reads_slowly_has_longer_than_for_a_head(
    serve: Serve, app: App, monkeypatch: pytest.MonkeyPatch, pieces: int
) -> None:
    """An answer that was handed on in one piece was cut once the next head had not come in time."""
    monkeypatch.setattr(connections, "HEAD_S", 0.2)
    with socket.create_connection(serve(), PATIENT_S) as line:
        line.sendall(ASK.replace(b"/", b"/large/%d" % pieces, 1))
        assert app.asked.acquire(timeout=PATIENT_S)
        time.sleep(0.6)  # three times as long as for a head
        assert read(line) > pieces * len(LARGE)


def test_a_head_longer_than_any_of_ours_is_refused(serve: Serve) -> None:
    with socket.create_connection(serve(), PATIENT_S) as line:
        line.sendall(b"GET / HTTP/1.1\r\nX-A: " + LARGEST_HEAD * b"x")
        assert line.recv(12) == b"HTTP/1.1 400"


def test_as_many_files_as_the_system_allows_are_asked_for_and_some_are_left_to_the_shop(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[tuple[int, int]] = []
    limits = (256, 1024)
    monkeypatch.setattr(resource, "getrlimit", lambda _: limits)
    monkeypatch.setattr(resource, "setrlimit", lambda _, to: asked.append(to))
    assert connections.room() == 1024 - connections.SPARE
    assert asked == [(1024, 1024)]
    limits = (256, 256)
    assert connections.room() == 256 - connections.SPARE
    limits = (1 << 20, 1 << 20)
    assert connections.room() == connections.MOST


def test_of_lines_that_are_alike_a_few_are_written_and_the_rest_counted(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    now = 1000.0
    monkeypatch.setattr(time, "monotonic", lambda: now)
    logger = logging.getLogger("castclock.a.test.of.floods")
    logger.addFilter(connections.Seldom())
    for _ in range(1000):
        logger.warning("invalid request")
    logger.warning("another one")
    assert caplog.messages == ["invalid request"] * connections.LIKE_IT + ["another one"]
    now += connections.MINUTE_S
    logger.warning("invalid request")
    assert caplog.messages[-1] == "invalid request (995 more like it before)"
