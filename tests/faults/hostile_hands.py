"""Hostile or many hands at a server of its own process, of 256 files: does it go on, in how much?

`python tests/faults/hostile_hands.py` prints a table: memory of the server (RSS) before, during
and after each attack, how many honest requests were answered meanwhile, lines of its log. It ends
with 1 where an honest request was not answered, or its log grew by more than 60 lines.

- silent: 300 connections that ask nothing, opened anew as they are closed
- half-sent: 60 photos of 8 MB of which the end never comes, and 60 more
- writers: 80 phones that send 10 readings each as fast as they are answered, all of one pour
"""

import argparse
import http.client
import json
import os
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, closing, contextmanager, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.support.ports import free_port

API = "/api/v1"
FILES = 256
PATIENCE_S = 300.0
MB = 1024.0
MOST_LINES = 60
SIDES = {"length_mm": 900.0, "width_mm": 600.0, "thickness_mm": 40.0}
ATTACKS = (
    ("silent", 300, 10),
    ("half-sent", 60, 10),
    ("half-sent", 60, 10),
    ("writers", 80, 10),
    ("writers", 80, 10),
)
HALF_PHOTO = (
    b"POST /pours/1/photos HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: image/jpeg\r\n"
    b"Content-Length: 8000000\r\n\r\n"
)


@dataclass
class Server:
    """One that serves a shop with one pour."""

    folder: Path
    port: int = 0
    process: subprocess.Popen[bytes] = field(init=False)

    def start(self) -> None:
        self.port = free_port()
        serve = "ulimit -n {}; exec {} serve --data {} --port {}"
        program = Path(sys.executable).with_name("castclock")
        command = serve.format(FILES, program, self.folder / "shop", self.port)
        environ = {**os.environ, "CASTCLOCK_WEATHER": "none"}
        with self.log.open("wb") as out:
            self.process = subprocess.Popen(
                ["sh", "-c", command], env=environ, stdout=out, stderr=out
            )
        until = time.monotonic() + PATIENCE_S
        while not self.answers("/healthz"):
            if self.process.poll() is not None or time.monotonic() > until:
                raise RuntimeError(self.log.read_text())
            time.sleep(0.1)

    @property
    def log(self) -> Path:
        return self.folder / "log"

    @property
    def rss_MB(self) -> float:
        status = Path(f"/proc/{self.process.pid}/status").read_text().splitlines()
        return next(int(line.split()[1]) for line in status if line.startswith("VmRSS")) / MB

    @property
    def files(self) -> int:
        return len(list(Path(f"/proc/{self.process.pid}/fd").iterdir()))

    def ask(self, method: str, path: str, body: object = None) -> tuple[int, bytes]:
        wire = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)
        with closing(wire):
            sent = None if body is None else json.dumps(body).encode()
            wire.request(method, path, sent, {"Content-Type": "application/json"})
            answer = wire.getresponse()
            return answer.status, answer.read()

    def answers(self, path: str) -> bool:
        with suppress(OSError, http.client.HTTPException):
            return self.ask("GET", path)[0] == 200
        return False

    def furnish(self) -> None:
        """A shop with one pour, projected once, so that all is loaded."""
        at = (datetime.now(UTC) - timedelta(hours=5)).isoformat()
        for path, body in (
            ("/places", {"name": "Carport", "kind": "covered"}),
            ("/mixes", {"name": "Bag", "kind": "general-purpose"}),
            ("/pieces", {"name": "Top", "shape": "panel", **SIDES}),
            ("/pours", {"mix_id": 1, "piece_id": 1, "place_id": 1, "placed_at": at}),
        ):
            status, told = self.ask("POST", API + path, body)
            if status != 201:
                raise RuntimeError(told.decode())

    def stop(self) -> None:
        self.process.kill()
        self.process.wait(PATIENCE_S)


@contextmanager
def served(folder: Path) -> Iterator[Server]:
    server = Server(folder)
    try:
        server.start()
        server.furnish()
        yield server
    finally:
        server.stop()


@dataclass
class Seen:
    """Of one attack.

    asked, answered : honest requests; rss_MB : before, the most during, some time after
    """

    name: str
    asked: int = 0
    answered: int = 0
    rss_MB: tuple[float, float, float] = (0.0, 0.0, 0.0)
    files: int = 0
    lines: int = 0
    median_s: float = 0.0
    refused: str = ""  # the first that was not answered as it should

    def note(self, status: int, told: bytes) -> None:
        self.answered += status in (200, 201)
        if status not in (200, 201):
            self.refused = self.refused or f"{status} {told[:500].decode()}"

    def __str__(self) -> str:
        before, most, after = self.rss_MB
        refused = f"\n  {self.refused}" if self.refused else ""
        return (
            f"{self.name:<10} {self.answered:>4} of {self.asked:<4} answered, median"
            f" {self.median_s:5.2f} s; RSS {before:4.0f}, {most:4.0f}, {after:4.0f} MB;"
            f" {self.files:>3} files at most; {self.lines} lines of log{refused}"
        )


def attack(server: Server, name: str, work: Callable[[Seen], None], rest_s: float) -> Seen:
    seen = Seen(name)
    before, most, over = server.rss_MB, [server.rss_MB], threading.Event()
    lines = server.log.read_bytes().count(b"\n")

    def watch() -> None:
        while not over.wait(0.2):
            most.append(server.rss_MB)
            seen.files = max(seen.files, server.files)

    watching = threading.Thread(target=watch, daemon=True)
    watching.start()
    work(seen)
    over.set()
    watching.join()
    time.sleep(rest_s)
    seen.rss_MB = (before, max(most), server.rss_MB)
    seen.lines = server.log.read_bytes().count(b"\n") - lines
    return seen


def mould() -> dict[str, str]:
    return {"name": f"mould {time.time_ns()}"}


def honest(server: Server, seen: Seen, times: int) -> None:
    """Somebody looks at the shop meanwhile, and writes a little."""
    took = []
    for k in range(times):
        began = time.monotonic()
        seen.asked += 1
        wanted = ("GET", "/pours", None) if k % 2 else ("POST", "/moulds", mould())
        method, path, body = wanted
        try:
            seen.note(*server.ask(method, API + path, body))
        except (OSError, http.client.HTTPException) as error:
            seen.refused = seen.refused or repr(error)
        took.append(time.monotonic() - began)
    seen.median_s = statistics.median(took)


def silent(server: Server, seen: Seen, count: int, times: int) -> None:
    with ExitStack() as stack:
        address = ("127.0.0.1", server.port)
        for _ in range(count):
            stack.enter_context(socket.create_connection(address, PATIENCE_S))
        honest(server, seen, times)


def half_sent(server: Server, seen: Seen, count: int, times: int) -> None:
    with ExitStack() as stack:
        for _ in range(count):
            line = socket.create_connection(("127.0.0.1", server.port), PATIENCE_S)
            stack.enter_context(line)
            line.setblocking(False)
            left = HALF_PHOTO + 7_000_000 * b"\xff"

            def send(line: socket.socket = line, left: bytes = left) -> None:
                line.settimeout(PATIENCE_S)
                with suppress(OSError):
                    line.sendall(left)

            threading.Thread(target=send, daemon=True).start()
        honest(server, seen, times)


def writers(server: Server, seen: Seen, count: int, times: int) -> None:
    took: list[float] = []

    def write(k: int) -> None:
        for one in range(times):
            body = {"kind": "air", "value_C": 9.0 + k / 100 + one / 1000}
            began = time.monotonic()
            seen.asked += 1
            try:
                status, told = server.ask("POST", f"{API}/pours/1/readings", body)
                seen.note(status, told)
            except (OSError, http.client.HTTPException) as error:
                seen.refused = seen.refused or repr(error)
            took.append(time.monotonic() - began)

    threads = [threading.Thread(target=write, args=(k,)) for k in range(count)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    seen.median_s = statistics.median(took)


def run(
    folder: Path,
    attacks: Sequence[tuple[str, int, int]],
    rest_s: float,
    tell: Callable[[Seen], None] = lambda _: None,
) -> list[Seen]:
    """attacks : which, by how many hands, and how often each or somebody honest asks"""
    out = []
    hands = {"silent": silent, "half-sent": half_sent, "writers": writers}
    with served(folder) as server:
        for name, count, times in attacks:

            def once(seen: Seen, name: str = name, count: int = count, times: int = times) -> None:
                hands[name](server, seen, count, times)

            out.append(attack(server, name, once, rest_s))
            tell(out[-1])
    return out


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--rest", type=float, default=40.0, help="seconds before memory is read")
    told = ask.parse_args()
    with tempfile.TemporaryDirectory(prefix="castclock-hostile-") as folder:
        seen = run(Path(folder), ATTACKS, told.rest, lambda one: print(one, flush=True))
    sys.exit(any(one.answered < one.asked or one.lines > MOST_LINES for one in seen))


if __name__ == "__main__":
    main()
