"""A shop of real processes to be killed: its server, its workers, who writes, who is told."""

import json
import os
import subprocess
import sys
import threading
import time
from contextlib import closing, suppress
from dataclasses import dataclass, field
from http.client import HTTPConnection, HTTPException
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from random import Random
from typing import Any

from tests.support.ports import free_port

NURSERY = Path(__file__).with_name("nursery.py")
ROOT = Path(__file__).parents[2]
API = "/api/v1"
PATIENCE_S = 120.0
LEASE_S = 10  # the shortest that may be set
PACE_S = 0.03  # a kill needs some writes, not a core full of them
SLAB = {"shape": "panel", "length_mm": 900.0, "width_mm": 420.0, "thickness_mm": 60.0}
PLACES: tuple[dict[str, object], ...] = (
    {"name": "Yard", "kind": "open yard", "timezone": "UTC"},
    {"name": "Room", "kind": "heated room", "timezone": "UTC", "setpoint_C": 20.0},
)


class Sink:
    """Takes notices, each after a moment, and remembers them."""

    def __init__(self, dice: Random) -> None:
        self.got: list[str] = []
        self.came = threading.Event()
        sink = self

        class Taker(BaseHTTPRequestHandler):
            def do_POST(self) -> None:
                body = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
                sink.got.append(f"{body['title']}\n{body['message']}")
                sink.came.set()
                threading.Event().wait(dice.uniform(0.0, 0.1))
                with suppress(OSError):  # who sent it may be dead
                    self.send_response(200)
                    self.end_headers()

            def log_message(self, *_: object) -> None:
                pass

        self._server = ThreadingHTTPServer(("127.0.0.1", 0), Taker)
        self.address = f"json://127.0.0.1:{self._server.server_port}/"
        threading.Thread(target=self._server.serve_forever, daemon=True).start()

    def close(self) -> None:
        self._server.shutdown()
        self._server.server_close()


class Nursery:
    """Processes by their numbers; see `nursery.py`."""

    def __init__(self) -> None:
        found = os.pathsep.join(filter(None, (str(ROOT), os.environ.get("PYTHONPATH", ""))))
        threads = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
        environ = {**os.environ, **threads, "PYTHONPATH": found}
        self._process = subprocess.Popen(
            [sys.executable, NURSERY],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            env=environ,
        )
        assert self._heard() == "ready"

    def born(self, argv: list[str], environ: dict[str, str], out: Path) -> int:
        return int(self._asked(argv=argv, environ=environ, out=str(out)))

    def kill(self, number: int) -> None:
        self._asked(kill=number)

    def ended(self, number: int) -> int:
        return int(self._asked(ended=number))

    def close(self) -> None:
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.close()
        self._process.wait(PATIENCE_S)
        self._process.stdout.close()

    def _asked(self, **told: object) -> str:
        assert self._process.stdin is not None
        self._process.stdin.write(json.dumps(told) + "\n")
        self._process.stdin.flush()
        return self._heard()

    def _heard(self) -> str:
        assert self._process.stdout is not None
        return self._process.stdout.readline().strip()


@dataclass
class Yard:
    """One shop with its processes: the server and its workers, by their names."""

    folder: Path
    url: str
    nursery: Nursery
    sink: Sink
    workers: int = 0
    port: int = 0
    up: threading.Event = field(default_factory=threading.Event)
    numbers: dict[str, int] = field(default_factory=dict)
    start_s: float = 1.0  # the last one

    @property
    def names(self) -> list[str]:
        return ["server", *(f"worker {k + 1}" for k in range(self.workers))]

    @property
    def sqlite(self) -> bool:
        return self.url.startswith("sqlite")

    def launch(self, name: str) -> None:
        database = ["--database", self.url]
        if name == "server":
            self.port = free_port()
            argv = ["serve", *database, "--port", str(self.port)]
        else:
            argv = ["worker", *database]
        self.numbers[name] = self.nursery.born(argv, self._environ(), self.folder / "out")

    def wait(self) -> None:
        """Until the server answers."""
        began = time.monotonic()
        while time.monotonic() < began + PATIENCE_S:
            with suppress(OSError, HTTPException):
                if self.ask("GET", "/healthz")[0] == 200:
                    self.start_s = time.monotonic() - began
                    self.up.set()
                    return
            threading.Event().wait(0.02)
        raise RuntimeError((self.folder / "out").read_text(encoding="utf-8")[-4000:])

    def start(self) -> None:
        """Whatever is not there; workers want a database at its tables, so the server is first."""
        if "server" not in self.numbers:
            self.launch("server")
            self.wait()
        for name in self.names:
            if name not in self.numbers:
                self.launch(name)

    def kill(self, name: str) -> None:
        if name == "server":
            self.up.clear()
        self.nursery.kill(self.numbers.pop(name))

    def ask(self, method: str, path: str, body: bytes = b"", key: str = "") -> tuple[int, bytes]:
        with closing(HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)) as wire:
            headers = {"Content-Type": "application/json"}
            wire.request(
                method, path, body or None, headers | ({"Idempotency-Key": key} if key else {})
            )
            answer = wire.getresponse()
            return answer.status, answer.read()

    def backup(self, into: Path) -> int:
        argv = ["backup", str(into), "--database", self.url, "--keep", "3"]
        return self.nursery.born(argv, self._environ(), self.folder / "out")

    def _environ(self) -> dict[str, str]:
        return {
            "CASTCLOCK_DATA": str(self.folder),
            "CASTCLOCK_WEATHER": "none",
            "CASTCLOCK_TICK_S": "1",
            "CASTCLOCK_LEASE_S": str(LEASE_S),
            "CASTCLOCK_NOTICE_NETWORKS": "127.0.0.0/8",
        }


@dataclass
class Person:
    """Writes one thing after the other; what was not answered is sent again under its key."""

    yard: Yard
    name: str
    stopped: threading.Event
    said: dict[str, tuple[str, dict[str, Any]]] = field(default_factory=dict)  # by key
    again: int = 0

    def write(self, path: str, **values: object) -> dict[str, Any]:
        key, first = f"{self.name} {len(self.said)}", True
        body = json.dumps(values).encode()
        while True:
            self.yard.up.wait(PATIENCE_S)
            try:
                status, told = self.yard.ask("POST", f"{API}/{path}", body, key)
            except (OSError, HTTPException):
                status = 503
            if status in (200, 201):
                answer: dict[str, Any] = json.loads(told)
                self.said[key] = (path, answer)
                self.again += not first
                return answer
            if status != 503:
                raise RuntimeError(f"{path} answered {status}: {told[:500]!r}")
            first = False
            threading.Event().wait(0.02)

    def little_things(self) -> None:
        """Moulds, and readings of the piece in the room."""
        while not self.stopped.is_set():
            for _ in range(9):
                self.write("moulds", name=f"{self.name} mould {len(self.said)}")
                threading.Event().wait(PACE_S)
            self.write("pours/1/readings", kind="air", value_C=18.0)

    def pours(self, wanted: threading.Semaphore) -> None:
        """One at a time, outdoors before a night of frost, so that each owes an alarm."""
        while not self.stopped.is_set():
            if not wanted.acquire(timeout=0.1):
                continue
            piece = self.write("pieces", name=f"{self.name} bench {len(self.said)}.", **SLAB)
            self.write("pours", mix_id=1, piece_id=piece["id"], place_id=1, concrete_C=18.0)


def furnish(yard: Yard, person: Person) -> None:
    change = {"notice_addresses": [yard.sink.address], "quiet_from": "00:00", "quiet_to": "00:00"}
    status, told = yard.ask("PATCH", f"{API}/shop", json.dumps(change).encode(), "shop")
    assert status == 200, told
    label = [{"age_h": 168.0, "MPa": 19.0}, {"age_h": 672.0, "MPa": 28.0}]
    person.write("mixes", name="Grey bag", kind="general-purpose", label=label)
    for values in PLACES:
        person.write("places", **values)
    person.write("places/1/weather/typed", night_low_C=-9.0, day_high_C=-3.0)
    piece = person.write("pieces", name="Piece in the room", **SLAB)
    person.write("pours", mix_id=1, piece_id=piece["id"], place_id=2, concrete_C=18.0)
