"""Many pours in one round: `python tests/bench/scale.py --pours 10000 --workers 2`.

Prints, asserts nothing. The pours of the demo's shop, copied by the thousand to as many places as
one for fifty of them, each so many hours older; the weather is that of Newark in 2013. The round
is the clock's own, in processes; somebody looks at the first page meanwhile. A second round an
hour later finds the same forecast, so that it says what the passing of time costs.
"""

import argparse
import logging
import os
import resource
import sys
import tempfile
import threading
import time
from collections.abc import Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from sqlalchemy import text
from sqlmodel import Session, SQLModel, col, func, insert, select, update
from starlette.testclient import TestClient

sys.path.insert(0, str(Path(__file__).parents[2]))

from models.air.series import AirSeries
from models.records import (
    Job,
    Place,
    Pour,
    Projection,
    ProtectionPeriod,
    Reading,
    StepDone,
    StrengthTest,
    WeatherRun,
)
from scheduler.cores import Cores
from service import demo
from service.app import create_app
from service.settings import Settings
from service.store import Store
from tests.replays.record_2013 import series_2013

NOW = datetime(2013, 11, 23, 22, 0, tzinfo=UTC)  # the night before a week of frost
BACK, AHEAD = timedelta(days=45), timedelta(days=10)
SIZES = (100, 1_000, 10_000, 100_000)
PLACE_OF = 50  # so many pours stand in one place
OLDER_H = 48  # copies are up to so much older than what they are copied from
OF_A_POUR = (ProtectionPeriod, StepDone, Reading, StrengthTest)
HOUR = timedelta(hours=1)


class Recorded(demo.Replay):
    """What Newark had in 2013, as a forecast that comes true."""

    name = "record of Newark"

    def forecast(
        self, latitude: float, longitude: float, now: datetime, altitude_m: float | None = None
    ) -> AirSeries:
        del latitude, longitude, altitude_m
        at = now.replace(minute=0, second=0, microsecond=0)
        found = series_2013("EWR", at - BACK, at + AHEAD, cloud_fraction=0.5)
        return replace(found, issued_at=now, source=self.name)


@dataclass(frozen=True)
class Template:
    """A pour under way, and all that was told of it."""

    pour: Mapping[str, Any]
    told: Sequence[tuple[type[SQLModel], Mapping[str, Any]]]


def templates(session: Session) -> list[Template]:
    found = []
    for pour in session.exec(select(Pour).where(col(Pour.closed_at).is_(None))).all():
        told = [
            (table, row.model_dump(exclude={"id"}))
            for table in OF_A_POUR
            for row in session.exec(select(table).where(table.pour_id == pour.id)).all()
        ]
        found.append(Template(pour.model_dump(exclude={"id", "mould_id"}), told))
    return found


def older(row: Mapping[str, Any], by: timedelta) -> dict[str, Any]:
    return {name: v - by if isinstance(v, datetime) else v for name, v in row.items()}


def more_places(session: Session, until: int) -> list[int]:
    """Places like those of the demo, with its weather, until there are so many; their keys."""
    of = session.exec(select(Place).order_by(col(Place.id)).limit(3)).all()
    there = session.exec(select(func.count()).select_from(Place)).one()
    rows = [
        {**of[k % 3].model_dump(exclude={"id"}), "name": f"Place {k}"} for k in range(there, until)
    ]
    if rows:
        session.execute(insert(Place), rows)
    keys = list(session.exec(select(Place.id).order_by(col(Place.id))).all())
    runs = session.exec(select(WeatherRun).where(WeatherRun.place_id == of[0].id)).all()
    weather = [
        {**run.model_dump(exclude={"id"}), "place_id": key} for key in keys[there:] for run in runs
    ]
    if weather:
        session.execute(insert(WeatherRun), weather)
    return keys


def more_pours(session: Session, of: Sequence[Template], until: int) -> None:
    """Copies of the templates until so many pours are under way, each with its duty."""
    there = session.exec(
        select(func.count()).select_from(Pour).where(col(Pour.closed_at).is_(None))
    ).one()
    places = more_places(session, max(3, until // PLACE_OF))
    first = 1 + (session.exec(select(func.max(Pour.id))).one() or 0)
    numbers = range(there, until)
    pours: list[dict[str, Any]] = []
    told: dict[type[SQLModel], list[dict[str, Any]]] = {table: [] for table in OF_A_POUR}
    for key, k in enumerate(numbers, start=first):
        like, by = of[k % len(of)], (k // len(of)) % OLDER_H * HOUR
        pours.append({**older(like.pour, by), "id": key, "place_id": places[k % len(places)]})
        for table, row in like.told:
            told[table].append({**older(row, by), "pour_id": key})
    if not pours:
        return
    session.execute(insert(Pour), pours)
    for table, rows in told.items():
        if rows:
            session.execute(insert(table), rows)
    duties = [
        {
            "kind": "projection",
            "key": f"projection:{row['id']}",
            "pour_id": row["id"],
            "due_at": NOW,
            "created_at": NOW,
        }
        for row in pours
    ]
    session.execute(insert(Job), duties)


class Looks(threading.Thread):
    """Somebody who looks at the first page once a second, and how long each look took [ms]."""

    def __init__(self, client: TestClient) -> None:
        super().__init__(daemon=True)
        self.client, self.spent = client, [(0.0, 0.0)]
        self.done = threading.Event()

    def run(self) -> None:
        while not self.done.wait(1.0):
            wall, core = time.monotonic(), time.process_time()
            self.client.get("/")
            self.spent.append((1e3 * (time.monotonic() - wall), 1e3 * (time.process_time() - core)))

    def p95(self) -> tuple[float, float]:
        wall, core = (
            sorted(one)[int(0.95 * (len(one) - 1))] for one in zip(*self.spent, strict=True)
        )
        return wall, core


def core_s() -> float:
    """Processor time of this process and of all that it waited for [s]."""
    return sum(
        one.ru_utime + one.ru_stime
        for one in map(resource.getrusage, (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    )


def size_MB(store: Store) -> float:
    with store.reading() as session:
        address = store.engine.url
        if address.get_backend_name() == "postgresql":
            return (
                float(
                    session.execute(
                        text("SELECT pg_database_size(current_database())")
                    ).scalar_one()
                )
                / 1e6
            )
    with store.engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    return Path(str(address.database)).stat().st_size / 1e6


def told(store: Store) -> int:
    with store.reading() as session:
        return session.exec(select(func.count()).select_from(Projection)).one()


def round_of(cores: Cores, now: datetime) -> int:
    """The clock's round until nothing is due."""
    begin, count = time.monotonic(), 0
    while more := cores.project(now + timedelta(seconds=time.monotonic() - begin)):
        count += more
    cores.rest()
    return count


def measured(store: Store, settings: Settings, client: TestClient, now: datetime) -> str:
    """One round: how many, time, cost, growth, memory, and the first page meanwhile."""
    looks, before, rows = Looks(client), size_MB(store), told(store)
    looks.start()
    wall, core = time.monotonic(), core_s()
    count = round_of(Cores(settings), now)
    wall, core = time.monotonic() - wall, core_s() - core
    looks.done.set()
    looks.join()
    own = sum(one for _, one in looks.spent) / 1e3
    page_wall, page_core = looks.p95()
    growth = (size_MB(store) - before) * 1e3 / max(count, 1)
    memory = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1e3
    return (
        f"{count:8,d} {wall:8.0f} {1e3 * wall / max(count, 1):10.1f}"
        f" {1e3 * (core - own) / max(count, 1):10.1f} {growth:8.1f} {told(store) - rows:8,d}"
        f" {memory:8.0f} {page_wall:8.0f} {page_core:8.0f}"
    )


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--pours", type=int, default=100)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--database", default="", help="an empty one; not told: SQLite in /tmp")
    told_of = parser.parse_args()
    logging.disable(logging.WARNING)
    print(
        f"{os.cpu_count()} cores, load before {os.getloadavg()[0]:.1f}, {told_of.workers} workers,"
        f" {told_of.database.partition(':')[0] or 'sqlite'}"
    )
    print("   pours   wall s  wall ms/p  core ms/p     kB/p rows new   RSS MB  Today wall, core ms")
    with ExitStack() as stack:
        folder = stack.enter_context(tempfile.TemporaryDirectory())
        settings = Settings(
            data=folder, database=told_of.database, hosts="testserver", cores=told_of.workers
        )
        store = Store(settings.database_url)
        stack.callback(store.close)
        store.upgrade()
        weather = Recorded("America/New_York", NOW)
        demo.fill(store, weather)
        client = TestClient(create_app(settings, store, weather, lambda: NOW))
        with store.reading() as session:
            of = templates(session)
        for k, size in enumerate(one for one in (*SIZES, told_of.pours) if one <= told_of.pours):
            now = NOW + k * timedelta(minutes=1)
            with store.unit_of_work() as session:
                more_pours(session, of, size)
                session.execute(update(Job).where(col(Job.kind) == "projection").values(due_at=now))
            print(measured(store, settings, client, now), flush=True)
            if size == told_of.pours:
                break
        with store.unit_of_work() as session:
            session.execute(
                update(Job).where(col(Job.kind) == "projection").values(due_at=now + HOUR)
            )
        print(measured(store, settings, client, now + HOUR), "an hour later", flush=True)


if __name__ == "__main__":
    main()
