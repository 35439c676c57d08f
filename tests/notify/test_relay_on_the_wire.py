"""Apprise hands a notice to a web hook on this machine; a hook that is down may be tried again."""

import json
import threading
from collections.abc import Iterator
from datetime import UTC, datetime
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest

from models.errors import DeliveryFailed
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
    thread = threading.Thread(target=server.serve_forever)
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
