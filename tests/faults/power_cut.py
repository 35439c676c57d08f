"""Power cuts and kills under a shop that is being written to: does what was acknowledged survive?

`python tests/faults/power_cut.py --cuts 20 --kills 100` prints a table and ends with 1 when
anything acknowledged is lost. A server runs over a folder, people write over HTTP, the server is
killed in the midst. For a power cut the folder is then laid anew as a disk may hold it that lost
whatever was not waited for (`cut_disk.py`). The server starts again over what is there, and every
write that was ever acknowledged is asked for: rows by their lists, answers by a repeat under the
same key, photos by their bytes, projections and notices in the tables.
"""

import argparse
import hashlib
import http.client
import json
import os
import signal
import sqlite3
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, field
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from random import Random
from types import ModuleType
from typing import TYPE_CHECKING, Any

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.support.ports import free_port

if TYPE_CHECKING:
    from tests.faults.cut_disk import Record
    from tests.support.raw import Json

HERE = Path(__file__).parent
PATIENCE_S = 120.0
PHOTO_HEAD = b"\x89PNG"
PHOTO = HERE.parent / "pictures" / "slab.png"
API = "/api/v1"
WRITERS = 3


def _beside(name: str) -> ModuleType:
    """A file beside this one as a module: nothing under tests/ is a package."""
    if name not in sys.modules:
        spec = spec_from_file_location(name, HERE / f"{name}.py")
        assert spec is not None
        assert spec.loader is not None
        sys.modules[name] = module_from_spec(spec)
        spec.loader.exec_module(sys.modules[name])
    return sys.modules[name]


cut_disk = _beside("cut_disk")


@dataclass(frozen=True)
class Said:
    """One acknowledged write, and how long the log was when its answer was in."""

    path: str
    key: str
    body: bytes
    answer: dict[str, Any]
    logged: int


@dataclass
class Shop:
    """A served folder; `library` is the shim, under which every change of a file is logged."""

    folder: Path
    library: Path | None = None
    log: Path = Path(os.devnull)
    settings: dict[str, str] = field(default_factory=dict)
    process: "subprocess.Popen[bytes] | None" = None
    port: int = 0

    def start(self) -> None:
        self.port = free_port()
        environ = {
            "NUMBA_CACHE_DIR": str(Path("~/.cache/castclock/numba").expanduser()),
            **os.environ,
            "CASTCLOCK_WEATHER": "none",
            "CASTCLOCK_TICK_S": "1",
        }
        if self.library is not None:
            self.log.unlink(missing_ok=True)
            environ |= {
                "LD_PRELOAD": str(self.library),
                "CUT_ROOT": str(self.folder),
                "CUT_LOG": str(self.log),
            }
        with (self.folder.parent / f"{self.folder.name}.out").open("ab") as out:
            self.process = subprocess.Popen(
                [
                    Path(sys.executable).with_name("castclock"),
                    "serve",
                    "--data",
                    self.folder,
                    "--port",
                    str(self.port),
                ],
                env=environ | self.settings,
                stdout=out,
                stderr=out,
            )
        until = time.monotonic() + PATIENCE_S
        while True:
            with suppress(OSError, http.client.HTTPException):
                if self.ask("GET", "/healthz")[0] == 200:
                    return
            if self.process.poll() is not None or time.monotonic() > until:
                raise RuntimeError(out_of(self.folder))
            time.sleep(0.05)

    def kill(self) -> None:
        if self.process is not None:
            self.process.send_signal(signal.SIGKILL)
            self.process.wait(PATIENCE_S)

    def ask(
        self, method: str, path: str, body: bytes = b"", key: str = ""
    ) -> tuple[int, dict[str, str], bytes]:
        with closing(
            http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)
        ) as wire:
            kind = "image/png" if body[:4] == PHOTO_HEAD else "application/json"
            headers = {"Content-Type": kind} | ({"Idempotency-Key": key} if key else {})
            wire.request(method, path, body or None, headers)
            answer = wire.getresponse()
            return answer.status, dict(answer.headers), answer.read()

    def write(self, path: str, body: bytes, key: str) -> Said:
        status, _, told = self.ask("POST", path, body, key)
        if status not in (200, 201):
            raise RuntimeError(f"{path} answered {status}: {told[:300]!r}")
        logged = self.log.stat().st_size if self.library is not None else 0
        return Said(path, key, body, json.loads(told), logged)

    def listed(self, path: str) -> "Json":
        status, _, told = self.ask("GET", path)
        return json.loads(told) if status == 200 else None


def out_of(folder: Path) -> str:
    return (folder.parent / f"{folder.name}.out").read_text(encoding="utf-8")[-4000:]


def furnish(shop: Shop) -> list[Said]:
    """A mix, a piece, and a place whose night was typed, so that windows and notices come of it."""

    def made(path: str, **values: object) -> Said:
        return shop.write(f"{API}/{path}", json.dumps(values).encode(), f"furnish {path}")

    label = [{"age_h": 168.0, "MPa": 19.0}, {"age_h": 672.0, "MPa": 28.0}]
    return [
        made("mixes", name="Grey bag", kind="general-purpose", label=label),
        made(
            "pieces",
            name="North bench",
            shape="panel",
            length_mm=1500.0,
            width_mm=420.0,
            thickness_mm=60.0,
        ),
        made("places", name="Carport", kind="covered", timezone="America/Chicago"),
        made("places/1/weather/typed", night_low_C=9.0, day_high_C=17.0),
    ]


def people(shop: Shop, said: list[Said], name: str, stopped: threading.Event) -> None:
    """Pours, readings, steps and photos, one after the other, until the server is gone."""
    own = f"{name} {os.urandom(4).hex()}"

    def write(path: str, body: bytes = b"", **values: object) -> Said:
        told = shop.write(
            f"{API}/{path}", body or json.dumps(values).encode(), f"{own} {len(said)} {path}"
        )
        said.append(told)
        return told

    with suppress(OSError, http.client.HTTPException):
        while not stopped.is_set():
            pour = write("pours", mix_id=1, piece_id=1, place_id=1, concrete_C=16.0).answer["id"]
            write(f"pours/{pour}/readings", kind="air", value_C=11.5)
            write("moulds", name=f"mould of {own} {len(said)}")
            write(f"pours/{pour}/photos", PHOTO.read_bytes())
            write(f"pours/{pour}/steps/finish/done")
            write(f"pours/{pour}/close", why="finished")


@contextmanager
def busy(shop: Shop, said: list[Said], wanted: int) -> Iterator[None]:
    """People write until so many answers are in, and go on while the block runs; then it dies."""
    stopped, lists = threading.Event(), [list[Said]() for _ in range(WRITERS)]
    threads = [
        threading.Thread(target=people, args=(shop, some, f"person {k}", stopped))
        for k, some in enumerate(lists)
    ]
    for thread in threads:
        thread.start()
    try:
        until = time.monotonic() + PATIENCE_S  # the first pour waits for the compiled code
        while sum(map(len, lists)) < wanted and time.monotonic() < until:
            time.sleep(0.01)
        yield
    finally:
        stopped.set()
        shop.kill()
        for thread in threads:
            thread.join(PATIENCE_S)
        said.extend(one for some in lists for one in some)


def lost(shop: Shop, said: list[Said], fresh: list[Said]) -> list[str]:
    """What was acknowledged and is not there; of the fresh ones the kept answers too."""
    return [
        f"{one.path} {one.key}"
        for one in said
        if not _there(shop, one) or (one in fresh and not _repeated(shop, one))
    ]


def _there(shop: Shop, one: Said) -> bool:
    kind, key = one.path.removeprefix(f"{API}/").split("/"), one.answer["id"]
    if kind[-1] == "close":
        told = shop.listed(f"{API}/pours/{key}")
        return told is not None and told["closed_at"] is not None
    if kind[-1] == "photos":
        status, _, content = shop.ask("GET", f"{API}/pours/{kind[1]}/photos/{key}")
        return status == 200 and hashlib.sha256(content).hexdigest() == one.answer["sha256"]
    if kind[-1] == "typed":
        return shop.listed(f"{API}/weather-runs/{key}") is not None
    if kind[0] == "pours" and len(kind) == 1:
        return shop.listed(f"{API}/pours/{key}") is not None
    lists = f"{API}/pours/{kind[1]}/{kind[2]}" if kind[0] == "pours" else one.path
    return any(row["id"] == key for row in shop.listed(lists) or ())


def _repeated(shop: Shop, one: Said) -> bool:
    status, headers, told = shop.ask("POST", one.path, one.body, one.key)
    names = {name.lower() for name in headers}
    return (
        status in (200, 201) and "idempotent-replayed" in names and json.loads(told) == one.answer
    )


def tables(folder: Path, said: list[Said], work: Path) -> list[str]:
    """The same asked of a laid folder without a server: rows, kept answers, what was reckoned."""
    cut_disk.lay(work, cut_disk.tree(folder))
    if not (work / "castclock.sqlite3").exists():
        return ["the whole database"]
    with closing(sqlite3.connect(work / "castclock.sqlite3")) as rows:
        if (sound := rows.execute("PRAGMA integrity_check").fetchone()[0]) != "ok":
            return [f"the database: {sound}"]
        kept = dict(rows.execute("SELECT key, answer FROM idempotency_key"))
        reckoned = {row[0] for row in rows.execute("SELECT pour_id FROM projection")}
        owed = {row[0] for row in rows.execute("SELECT pour_id FROM reminder")}
        # among many writes one is answered before its windows: they are the clock's first duty
        wanted = "SELECT pour_id FROM duty WHERE kind = 'projection' AND succeeded_at IS NULL"
        due = {row[0] for row in rows.execute(wanted)}
        # one that was closed before the clock came to it is owed no windows
        due |= {row[0] for row in rows.execute("SELECT id FROM pour WHERE closed_at IS NOT NULL")}
        photos = dict(rows.execute("SELECT id, content FROM photo"))
    missing = []
    for one in said:
        last = one.path.rpartition("/")[2]
        if one.key not in kept or json.loads(kept[one.key]) != one.answer:
            missing.append(f"{one.path} {one.key}: its answer")
        if last == "photos":
            content = photos.get(one.answer["id"], b"")
            if hashlib.sha256(content).hexdigest() != one.answer["sha256"]:
                missing.append(f"{one.path} {one.key}: its bytes")
        if last == "pours" and not {one.answer["id"]} <= (reckoned & owed) | due:
            missing.append(f"{one.path} {one.key}: its windows or notices")
    return missing


@dataclass
class Count:
    acknowledged: int = 0
    cuts: int = 0
    kills: int = 0
    moments: int = 0
    lost: list[str] = field(default_factory=list)


def run(
    folder: Path,
    *,
    cuts: int,
    kills: int,
    moments: int = 0,
    seed: int = 1,
    tell: Callable[[str], None] = lambda _: None,
) -> Count:
    """So many power cuts and kills, one after the other on one shop.

    moments : further moments of each powered run at which the disk is rebuilt and its tables read
    """
    dice, count, said, fresh = Random(seed), Count(), list[Said](), list[Said]()
    library, root = cut_disk.built(folder), folder / "shop"
    root.mkdir()
    plan = ["cut"] * cuts + ["kill"] * kills
    dice.shuffle(plan)
    for how in (*plan, ""):  # at last a start to ask, and no more
        shop = Shop(root, library if how == "cut" else None, folder / "log")
        before = cut_disk.tree(root)
        try:
            shop.start()
            count.lost += lost(shop, said, fresh)
            tell(
                f"{count.cuts} cuts, {count.kills} kills: {len(said)} acknowledged,"
                f" {len(count.lost)} lost"
            )
            fresh = [] if said else furnish(shop)
            if how:
                with busy(shop, fresh, dice.randint(8, 24)):
                    time.sleep(dice.uniform(0.0, 0.5))
        finally:
            shop.kill()
        if how == "cut":
            log = list(cut_disk.records(shop.log.read_bytes()))
            count.lost += _moments(root, before, log, said, fresh, folder, dice, moments)
            disk = cut_disk.Disk(root, before)
            for record in log:
                disk.take(record)
            cut_disk.lay(root, disk.cut(dice))
            count.cuts, count.moments = count.cuts + 1, count.moments + min(moments, len(log))
        elif how:
            count.kills += 1
        said += fresh
        count.lost += tables(root, said, folder / "looked at")
    count.acknowledged, count.lost = len(said), list(dict.fromkeys(count.lost))
    return count


def _moments(
    root: Path,
    before: dict[str, bytes],
    log: "list[Record]",
    said: list[Said],
    fresh: list[Said],
    folder: Path,
    dice: Random,
    moments: int,
) -> list[str]:
    """The same run cut, and killed, at other moments: every answer that was in by then is kept."""
    missing, disk, here = [], cut_disk.Disk(root, before), 0
    for stop in sorted(dice.sample(range(len(log)), min(moments, len(log)))):
        for record in log[here : stop + 1]:
            disk.take(record)
        here = stop + 1
        by_then = [*said, *(one for one in fresh if one.logged <= log[stop].end)]
        for left in (disk.cut(dice), disk.killed()) if by_then else ():
            cut_disk.lay(folder / "moment", left)
            missing += tables(folder / "moment", by_then, folder / "looked at")
    return missing


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--cuts", type=int, default=20)
    ask.add_argument("--kills", type=int, default=100)
    ask.add_argument("--moments", type=int, default=50)
    ask.add_argument("--seed", type=int, default=1)
    told = ask.parse_args()
    with tempfile.TemporaryDirectory(prefix="castclock-cut-") as folder:
        count = run(
            Path(folder),
            cuts=told.cuts,
            kills=told.kills,
            moments=told.moments,
            seed=told.seed,
            tell=lambda line: print(line, flush=True),
        )
    print(
        f"{count.cuts} power cuts, {count.kills} kills, both at {count.moments} further moments:"
        f" {count.acknowledged} writes acknowledged, {len(count.lost)} lost"
    )
    for one in count.lost[:20]:
        print(f"  {one}")
    sys.exit(bool(count.lost))


if __name__ == "__main__":
    main()
