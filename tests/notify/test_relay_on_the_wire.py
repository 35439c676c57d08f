"""Apprise hands a notice to a web hook on this machine; a hook that is down may be tried again."""

import json
import os
import threading
from collections.abc import Iterator
from datetime import UTC, datetime
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest

from models.errors import DeliveryFailed
from service.notify import relay
from service.notify.channel import Notice
from service.notify.relay import Relay
from service.settings import Settings

# Apprise loads every service it knows at the first address, one of them through an old module.
pytestmark = pytest.mark.filterwarnings("ignore:'imghdr' is deprecated:DeprecationWarning")
LOOPBACK = Settings(notice_networks="127.0.0.0/8").allowed_networks
NOTICE = Notice(
    "1:strip:opens",
    "North bench: strip the walls",
    "Why: 5.1 MPa.",
    datetime(2026, 10, 16, tzinfo=UTC),
)


class Hook(BaseHTTPRequestHandler):
    taken: list[dict[str, str]]
    status = 200

    def do_POST(self) -> None:
        body = self.rfile.read(int(self.headers["Content-Length"]))
        type(self).taken.append(json.loads(body))
        self.send_response(self.status)
        self.end_headers()

    def log_message(self, *_: object) -> None:
        pass


@pytest.fixture
def hook() -> Iterator[tuple[type[Hook], str]]:
    handler = type("OneHook", (Hook,), {"taken": []})
    server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
    thread = threading.Thread(target=server.serve_forever, args=(0.02,))
    thread.start()
    yield handler, f"json://127.0.0.1:{server.server_port}/"
    server.shutdown()
    thread.join()
    server.server_close()


def test_a_notice_reaches_the_hook(hook: tuple[type[Hook], str]) -> None:
    handler, address = hook
    Relay(address, LOOPBACK).send(NOTICE)
    (body,) = handler.taken
    assert (body["title"], body["message"]) == (NOTICE.title, NOTICE.body)


def test_a_hook_that_fails_may_be_tried_again(hook: tuple[type[Hook], str]) -> None:
    handler, address = hook
    handler.status = 500
    with pytest.raises(DeliveryFailed) as caught:
        Relay(address, LOOPBACK).send(NOTICE)
    assert not caught.value.permanent


@pytest.fixture
def drip() -> Iterator[str]:
    """A server that answers a byte at a time, and never ends while it is asked."""
    over = threading.Event()

    class Drip(Hook):
        def do_POST(self) -> None:
            self.wfile.write(b"HTTP/1.1 200 OK\r\nX: ")
            while not over.wait(0.05):
                self.wfile.write(b"x")

    server = ThreadingHTTPServer(("127.0.0.1", 0), Drip)
    server.daemon_threads = True
    thread = threading.Thread(target=server.serve_forever, args=(0.02,))
    thread.start()
    yield f"json://127.0.0.1:{server.server_port}/"
    over.set()
    server.shutdown()
    thread.join()
    server.server_close()


def test_servers_that_never_end_hold_up_no_other_address(
    hook: tuple[type[Hook], str], drip: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(relay, "PATIENCE_S", 0.3)
    for number in range((os.cpu_count() or 1) + 5):  # more than a pool of threads has
        with pytest.raises(DeliveryFailed) as caught:
            Relay(f"{drip}{number}", LOOPBACK).send(NOTICE)
        assert not caught.value.permanent
    monkeypatch.setattr(relay, "PATIENCE_S", 10.0)
    handler, address = hook
    Relay(address, LOOPBACK).send(NOTICE)
    assert len(handler.taken) == 1
    running = threading.active_count()
    for _ in range(3):  # one of each at most
        with pytest.raises(DeliveryFailed, match="has not ended"):
            Relay(f"{drip}0", LOOPBACK).send(NOTICE)
    assert threading.active_count() <= running
