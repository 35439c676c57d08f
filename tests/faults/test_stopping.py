"""The signal of a service manager is obeyed, whatever hangs; what was acknowledged stays."""

import http.client
import json
import signal
import socket
import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from pathlib import Path
from types import ModuleType

import pytest

from scheduler.clock import Clock
from scheduler.jobs import Rounds
from service.settings import Settings
from service.store import Store
from tests.support.shop import Sky

PROMISED_S = 10  # the promise itself
API = "/api/v1"


@pytest.fixture
def dripping() -> Iterator[str]:
    """A weather service that sends a header byte now and then and never ends."""
    stop = threading.Event()

    def drip(wire: socket.socket) -> None:
        with wire, suppress(OSError):
            wire.sendall(b"HTTP/1.1 200 OK\r\n")
            while not stop.wait(0.3):
                wire.sendall(b"x")

    def serve() -> None:
        with suppress(OSError):
            while True:
                threading.Thread(target=drip, args=(listening.accept()[0],), daemon=True).start()

    with socket.create_server(("127.0.0.1", 0)) as listening:
        threading.Thread(target=serve, daemon=True).start()
        yield f"http://127.0.0.1:{listening.getsockname()[1]}"
        stop.set()


def test_a_server_stops_in_ten_seconds_though_weather_and_a_request_hang(
    dripping: str, tmp_path: Path, loaded: Callable[[str], ModuleType]
) -> None:
    power_cut = loaded("faults/power_cut.py")
    folder = tmp_path / "shop"
    folder.mkdir()
    shop = power_cut.Shop(
        folder,
        settings={
            "CASTCLOCK_WEATHER": "open-meteo",
            "CASTCLOCK_WEATHER_URL": dripping,
            "CASTCLOCK_WEATHER_TIMEOUT_S": "120",
        },
    )
    try:
        shop.start()
        place = {"name": "Carport", "kind": "covered", "latitude": 44.0, "longitude": -92.0}
        shop.write(f"{API}/places", json.dumps(place).encode(), "place")
        with (
            closing(http.client.HTTPConnection("127.0.0.1", shop.port)) as stuck,
            closing(http.client.HTTPConnection("127.0.0.1", shop.port)) as open_still,
        ):
            stuck.request("POST", f"{API}/places/1/weather/refresh")
            open_still.request("GET", "/healthz")
            assert open_still.getresponse().read() == b'{"process":"up"}'
            shop.write(f"{API}/moulds", b'{"name": "Bench mould"}', "mould")
            shop.process.send_signal(signal.SIGTERM)
            assert shop.process.wait(timeout=PROMISED_S) == 0
    finally:
        shop.kill()
    with closing(sqlite3.connect(folder / "castclock.sqlite3")) as rows:
        assert rows.execute("SELECT name FROM mould").fetchall() == [("Bench mould",)]


def test_a_clock_stops_though_a_notice_hangs(settings: Settings, store: Store, sky: Sky) -> None:
    hangs, freed = threading.Event(), threading.Event()

    class Hanging(Rounds):
        def deliver(self, _now: object) -> int:
            hangs.set()
            freed.wait()
            return 0

    clock = Clock(Hanging(settings, store, sky))
    clock.start()
    assert hangs.wait(60)
    stopping = threading.Thread(target=clock.stop, daemon=True)
    stopping.start()
    stopping.join(60)
    stopped = not stopping.is_alive()
    freed.set()
    assert stopped
