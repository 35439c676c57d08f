"""How far a reading from the page walks through our modules: rooms entered, and climbs.

A room is a module of `service` that runs between the door and the answer; the science that it
asks is counted by itself. A climb is a call from a lower layer of the import contracts in
pyproject.toml to a higher one, as a callback makes it; a crossing goes from one page or one
endpoint to another. The middleware stands before the door and is not counted.
`python tests/bench/rooms.py` counts one POST of a reading to the invented shop of the demo.
"""

import os
import sys
import tempfile
import threading
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from types import FrameType

from starlette.testclient import TestClient

ROOT = Path(__file__).parents[2]
OURS = ("models", "service", "scheduler")
MIDDLEWARE = (  # with who is in, which is asked there
    "service.middleware",
    "service.bodies",
    "service.signed_in",
    "service.who_may",
    "service.queries.people",
    "service.store.writer",
)


def layers() -> dict[str, int]:
    """Package or module -> height, the lowest first, as the import contracts order them."""
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    floors = {"models": 0, "service": 100, "scheduler": 200}
    heights: dict[str, int] = {"scheduler": floors["scheduler"]}
    for contract in contracts["tool"]["importlinter"]["contracts"]:
        if contract["type"] != "layers" or contract["name"] == "three floors":
            continue
        for depth, layer in enumerate(reversed(contract["layers"]), start=1):
            for name in layer.split("|"):
                name = name.strip()
                heights[name] = floors[name.partition(".")[0]] + depth
    return heights


@dataclass
class Walk:
    """What ran while the profile was on."""

    heights: dict[str, int]
    rooms: Counter[str] = field(default_factory=Counter)
    climbs: Counter[tuple[str, str]] = field(default_factory=Counter)
    crossings: Counter[tuple[str, str]] = field(default_factory=Counter)
    on: bool = False

    def see(self, frame: FrameType, event: str, _: object) -> None:
        if not self.on or event != "call":
            return
        callee = _module(frame)
        if callee is None:
            return
        self.rooms[callee] += 1
        before = frame.f_back
        while before is not None and _module(before) is None:
            before = before.f_back
        caller = None if before is None else _module(before)
        if caller is None or caller == callee:
            return
        low, high = self.height(caller), self.height(callee)
        if low is None or high is None:
            return
        if high > low:
            self.climbs[(caller, callee)] += 1
        if high == low == self.heights["service.pages"]:
            self.crossings[(caller, callee)] += 1

    @property
    def service_rooms(self) -> list[str]:
        """Highest first."""
        rooms = [name for name in self.rooms if not name.startswith("models")]
        return sorted(rooms, key=lambda name: (-(self.height(name) or 0), name))

    def height(self, module: str) -> int | None:
        """Of its layer; None where no contract gives it one, as the tables have none."""
        parts = module.split(".")
        names = (".".join(parts[:k]) for k in range(len(parts), 0, -1))
        return next((self.heights[name] for name in names if name in self.heights), None)


def _module(frame: FrameType) -> str | None:
    name = frame.f_globals.get("__name__", "")
    return name if name.partition(".")[0] in OURS and name not in MIDDLEWARE else None


@contextmanager
def profiled() -> Iterator[Walk]:
    """Profile every thread that begins inside; `on` says when to count."""
    walk = Walk(layers())
    threading.setprofile(walk.see)
    sys.setprofile(walk.see)
    try:
        yield walk
    finally:
        sys.setprofile(None)
        threading.setprofile(None)


def walk_of_a_reading(client: TestClient, walk: Walk, pour_id: int) -> int:
    """POST a reading as the form of a pour sends it; the status of the answer."""
    fields = {"kind": "air", "value_C": "6.5 C", "span_h": "12 h", "at": "", "note": ""}
    client.get("/healthz")  # the routes are put together at the first request, once
    walk.on = True
    answer = client.post(f"/pours/{pour_id}/reading", data=fields, follow_redirects=False)
    walk.on = False
    return int(answer.status_code)


def report(walk: Walk, tell: Callable[[str], object] = print) -> None:
    rooms, climbs = walk.service_rooms, sum(walk.climbs.values())
    crossings = sum(walk.crossings.values())
    tell(f"{len(rooms)} rooms, {climbs} climbs, {crossings} crossings")
    tell(f"{len(walk.rooms) - len(rooms)} modules of the science")
    for room in rooms:
        tell(f"  {walk.height(room)} {room}")
    for words, calls in (("climb", walk.climbs), ("crossing", walk.crossings)):
        for (low, high), count in calls.items():
            tell(f"  {words} {low} -> {high} x{count}")


def main() -> None:
    from service import machine  # noqa: PLC0415

    machine.keep_compiled_code(os.environ, machine.user_cache(os.environ))
    from starlette.testclient import TestClient  # noqa: PLC0415

    from service import demo  # noqa: PLC0415
    from service.actions.shop.set_up_shop import open_shop  # noqa: PLC0415
    from service.app import create_app  # noqa: PLC0415
    from service.settings import Settings  # noqa: PLC0415
    from service.store import Store  # noqa: PLC0415

    with tempfile.TemporaryDirectory() as folder:
        settings = Settings(data=folder)
        store = Store(settings.database_url)
        store.upgrade()
        now = datetime.now(UTC)
        weather = demo.Replay(demo.TIMEZONE, now)
        demo.fill(store, weather)
        with store.unit_of_work() as session:
            open_shop(session, now)
        with profiled() as walk:
            here = ("127.0.0.1", 50000)
            app = create_app(settings, store, weather)
            client = TestClient(app, base_url="http://127.0.0.1:8000", client=here)
            status = walk_of_a_reading(client, walk, 2)
        store.close()
    report(walk)
    assert status == 303, status


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    main()
