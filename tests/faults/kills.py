"""Kill -9 at random moments, hundreds of times: is anything lost, is anybody told twice?

`python tests/faults/kills.py --database sqlite --kills 500` serves one shop with its clock;
`--database URL --workers 2 --kills 200` does so on a PostgreSQL server, with workers beside it.
People write by HTTP and send again, under the same key, what was not answered. A sink on the
loopback takes the notices. Kills fall inside writes, deliveries, starts that change the tables, and
backups. At the end what was acknowledged is looked for, every alarm and every lease. It ends with
1 when anything is lost, stored twice, or told again without a crash.
"""

import argparse
import json
import resource
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from typing import Any
from uuid import uuid4

import psycopg
from alembic import command
from alembic.config import Config
from sqlalchemy import Engine, create_engine, event, make_url, text
from sqlmodel import col, select

sys.path.insert(0, str(Path(__file__).parents[2]))

from models.records import Delivery, Pour, Reminder
from service import preference
from service.notify import words
from service.queries.rows import find_shop
from service.store import Store, backup, head, migrations
from tests.faults.yard import API, PATIENCE_S, Nursery, Person, Sink, Yard, furnish

BACK = "-2"  # revisions, before a start that has to change the tables
ROWS = {"pieces": "piece", "moulds": "mould", "pours": "pour", "readings": "reading"}
DECK = ("delivery", "write", "start", "delivery", "backup", "write", "start", "delivery", "write")
ALARMS = ("frost", "rain", "wind")


@dataclass
class Count:
    """What came of it."""

    kills: Counter[str] = field(default_factory=Counter)
    acknowledged: int = 0
    sent_again: int = 0  # writes whose answer a kill had taken
    lost: list[str] = field(default_factory=list)
    doubled: list[str] = field(default_factory=list)
    alarms: int = 0
    alarms_lost: list[str] = field(default_factory=list)
    repeats: int = 0
    repeats_without_a_crash: list[str] = field(default_factory=list)
    leases_broken: int = 0
    leases_left: int = 0
    backups: int = 0

    @property
    def holds(self) -> bool:
        wrong = (self.lost, self.doubled, self.alarms_lost, self.repeats_without_a_crash)
        return not any(wrong) and not self.leases_left and self.repeats <= self.kills.total()

    def told(self) -> str:
        kinds = ", ".join(f"{count} in {kind}" for kind, count in sorted(self.kills.items()))
        return (
            f"{self.kills.total()} kills ({kinds}); {self.acknowledged} writes acknowledged,"
            f" {self.sent_again} of them sent again, {len(self.lost)} lost, {len(self.doubled)}"
            f" doubled; {self.alarms} alarms, {len(self.alarms_lost)} lost, {self.repeats} told"
            f" again after a crash, {len(self.repeats_without_a_crash)} without;"
            f" {self.leases_broken} leases broken, {self.leases_left} left; {self.backups} backups"
            " sound"
        )


def back(engine: Engine) -> None:
    """The tables of an earlier version, as an upgrade finds them."""
    config = Config()
    config.set_main_option("script_location", str(Path(migrations.__file__).parent))
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.downgrade(config, BACK)


def looked(url: str) -> Engine:
    """Of this process: to look, and to take the tables back."""
    engine = create_engine(make_url(url))
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", lambda one, _: setattr(one, "isolation_level", None))
        event.listen(engine, "begin", lambda one: one.exec_driver_sql("BEGIN IMMEDIATE"))
    return engine


class Chaos:
    """One shop under kills, and what has been looked for so far."""

    def __init__(self, yard: Yard, people: list[Person], dice: Random) -> None:
        self.count, self.dice = Count(), dice
        self._yard, self._people = yard, people
        self._engine = looked(yard.url)
        self._pours = threading.Semaphore(0)
        self._found: set[str] = set()
        self._broken: set[str] = set()
        self._turn = 0
        self._backups = yard.folder / "backups"
        self._backups.mkdir()
        targets = [people[0].little_things, lambda: people[1].pours(self._pours)]
        self._threads = [threading.Thread(target=one, daemon=True) for one in targets]

    def begin(self) -> None:
        for thread in self._threads:
            thread.start()

    def kill_one(self) -> None:
        """At a moment of a kind; then everything that was acknowledged by then is looked for."""
        kind = DECK[self._turn % len(DECK)]
        self._turn += 1
        if kind == "backup" and not self._yard.sqlite:
            kind = "write"
        self._yard.start()
        getattr(self, f"_{kind}")()
        self._look()

    def _write(self) -> None:
        if self.dice.random() < 0.3:
            self._pours.release()
        self._wait(0.4)
        self._kill("writes", [self.dice.choice(self._yard.names)])

    def _delivery(self) -> None:
        self._yard.sink.came.clear()
        self._pours.release()
        self._yard.sink.came.wait(10.0)
        self._wait(0.15)
        every = self.dice.random() < 0.5
        self._kill(
            "deliveries", self._yard.names if every else [self.dice.choice(self._yard.names)]
        )

    def _start(self) -> None:
        """Of the server, over tables of its own or of an earlier version."""
        self._kill("writes", self._yard.names)
        self._look()
        earlier = self._turn % 2 == 1
        if earlier:
            back(self._engine)
        self._yard.launch("server")
        self._wait(1.2 * self._yard.start_s)
        self._kill("starts", ["server"])
        if earlier and self._scalar("SELECT version_num FROM alembic_version") != head():
            self.count.kills["starts"] -= 1
            self.count.kills["changes of tables"] += 1

    def _backup(self) -> None:
        before = set(self._backups.iterdir())
        kept = {key for one in self._people for key in one.said.copy()}
        number = self._yard.backup(self._backups)
        self._wait(0.5)
        self._yard.nursery.kill(number)
        self.count.kills["backups"] += 1
        for file in set(self._backups.iterdir()) - before:
            if file.suffix == ".sqlite3":
                self._restored(file, kept)

    def _restored(self, file: Path, kept: set[str]) -> None:
        """A backup that has its name is whole, and holds what was acknowledged when it began."""
        laid = self._yard.folder / "restored" / "castclock.sqlite3"
        backup.restore(file, laid)
        engine = looked(f"sqlite:///{laid}")
        with engine.begin() as rows:
            keys = set(rows.execute(text("SELECT key FROM idempotency_key")).scalars())
        engine.dispose()
        self.count.lost += [f"{key}: not in {file.name}" for key in kept - keys]
        self.count.backups += 1

    def _kill(self, kind: str, names: list[str]) -> None:
        for name in names:
            self._yard.kill(name)
            self.count.kills[kind] += 1
        if len(names) == len(self._yard.names):
            held = text("SELECT id, claimed_until FROM reminder WHERE claimed_until > :now")
            with self._engine.begin() as rows:
                self._broken |= {str(one) for one in rows.execute(held, {"now": datetime.now(UTC)})}

    def _look(self) -> None:
        """What is new among the acknowledged writes: its kept answer is the one that was given."""
        fresh = {
            key: told[1]
            for one in self._people
            for key, told in one.said.copy().items()
            if key not in self._found
        }
        with self._engine.begin() as rows:
            asked = text("SELECT answer FROM idempotency_key WHERE key = :key")
            for key, answer in fresh.items():
                kept = rows.execute(asked, {"key": key}).scalar()
                if (json.loads(kept) if isinstance(kept, str) else kept) != answer:
                    self.count.lost.append(f"{key}: its answer")
        self._found |= set(fresh)

    def end(self) -> Count:
        """Everything runs on until all is told; then all is counted."""
        for one in self._people:
            one.stopped.set()
        self._yard.start()
        for thread in self._threads:
            thread.join(PATIENCE_S)
        until = time.monotonic() + PATIENCE_S
        while (untold := self._untold()) and time.monotonic() < until:
            for pour_id in untold:  # its page is opened: what no clock has reckoned yet is reckoned
                self._yard.ask("GET", f"{API}/pours/{pour_id}/projection")
            threading.Event().wait(0.5)
        self.count.alarms_lost += [f"pour {pour_id}" for pour_id in untold]
        threading.Event().wait(0.5)  # the mark that follows the last send
        for name in list(self._yard.numbers):
            self._yard.kill(name)
        self._look()
        self._every_row()
        self._every_alarm()
        self._engine.dispose()
        count = self.count
        count.acknowledged = sum(len(one.said) for one in self._people)
        count.leases_broken = len(self._broken)
        count.sent_again = sum(one.again for one in self._people)
        return count

    def _outdoors(self) -> set[int]:
        """Pours that were acknowledged and owe an alarm."""
        told = [told for one in self._people for told in one.said.copy().values()]
        return {row["id"] for path, row in told if path == "pours" and row["place_id"] == 1}

    def _untold(self) -> set[int]:
        with self._engine.begin() as rows:
            asked = "SELECT pour_id FROM reminder WHERE kind = 'frost' AND state = 'sent'"
            return self._outdoors() - set(rows.execute(text(asked)).scalars())

    def _every_row(self) -> None:
        with self._engine.begin() as rows:
            for table in ROWS.values():
                there = set(rows.execute(text(f"SELECT id FROM {table}")).scalars())
                for one in self._people:
                    for key, (path, answer) in one.said.items():
                        if ROWS.get(path.rpartition("/")[2]) == table and answer["id"] not in there:
                            self.count.lost.append(f"{key}: its row")
            for asked in (
                "SELECT name FROM mould GROUP BY name HAVING count(*) > 1",
                "SELECT name FROM piece GROUP BY name HAVING count(*) > 1",
                "SELECT piece_id FROM pour GROUP BY piece_id HAVING count(*) > 1",
            ):
                self.count.doubled += [str(one) for one in rows.execute(text(asked)).scalars()]

    def _every_alarm(self) -> None:
        """What the sink was told, against the rows: a try that was broken off is a crash."""
        store, now = Store(self._yard.url), datetime.now(UTC)
        with store.reading() as session:
            reader = preference.of_shop(find_shop(session), now)
            rows = session.exec(select(Reminder).where(col(Reminder.kind).in_(ALARMS))).all()
            broken = Counter(
                session.exec(select(Delivery.reminder_id).where(Delivery.outcome == "started"))
            )
            held = [one for one in rows if one.claimed_until and one.claimed_until > now]
            assert session.exec(select(Pour)).first() is not None
        store.close()
        titles = {
            one.id: words.notice(one.key, one.kind, one.facts, one.not_after, reader).title
            for one in rows
            if one.state == "sent"
        }
        told = [set(notice.split("\n")) for notice in self._yard.sink.got]
        seen: set[str] = set()
        for lines in told:
            self.count.repeats += bool(lines & seen)
            seen |= lines & set(titles.values())
        for key, title in titles.items():
            times = sum(title in lines for lines in told)
            if times == 0:
                self.count.alarms_lost.append(f"reminder {key}: {title}")
            if times > 1 + broken[key]:
                self.count.repeats_without_a_crash.append(f"reminder {key}: {times} times")
        self.count.alarms, self.count.leases_left = len(titles), len(held)

    def _scalar(self, asked: str, **values: object) -> Any:
        with self._engine.begin() as rows:
            return rows.execute(text(asked), values).scalar()

    def _wait(self, longest_s: float) -> None:
        threading.Event().wait(self.dice.uniform(0.0, longest_s))


def run(
    folder: Path,
    url: str,
    *,
    kills: int,
    workers: int = 0,
    seed: int = 1,
    nursery: Nursery,
    minutes: float = 60.0,
    tell: Callable[[str], None] = lambda _: None,
) -> Count:
    """So many kills of one shop, one after the other, or as many as the minutes allow."""
    until = time.monotonic() + 60.0 * minutes
    dice, stopped, sink = Random(seed), threading.Event(), Sink(Random(seed))
    try:
        yard = Yard(folder, url, nursery, sink, workers)
        people = [Person(yard, f"{name} {uuid4().hex[:6]}", stopped) for name in ("Ann", "Bo")]
        yard.start()
        furnish(yard, people[0])
        chaos = Chaos(yard, people, dice)
        chaos.begin()
        while chaos.count.kills.total() < kills and time.monotonic() < until:
            chaos.kill_one()
            if chaos.count.lost:
                break
            tell(f"{chaos.count.kills.total()} kills, {len(sink.got)} notices")
        count = chaos.end()
    finally:
        stopped.set()
        sink.close()
    return count


@contextmanager
def database(told: str, folder: Path) -> Iterator[str]:
    """An empty one: a file, or one made on the server that is told and dropped after."""
    if told == "sqlite":
        yield f"sqlite:///{folder / 'castclock.sqlite3'}"
        return
    server, name = make_url(told).set(drivername="postgresql"), f"castclock_{uuid4().hex[:12]}"
    admin = server.render_as_string(hide_password=False)
    with psycopg.connect(admin, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}".encode())
    try:
        yield server.set(database=name).render_as_string(hide_password=False)
    finally:
        with psycopg.connect(admin, autocommit=True) as connection:
            connection.execute(f"DROP DATABASE {name} WITH (FORCE)".encode())


def _printed(line: str) -> None:
    print(line, flush=True)


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--database", default="sqlite", help="sqlite, or the URL of a server")
    ask.add_argument("--workers", type=int, default=0)
    ask.add_argument("--kills", type=int, default=500)
    ask.add_argument("--minutes", type=float, default=60.0, help="at most")
    ask.add_argument("--seed", type=int, default=1)
    told = ask.parse_args()
    with (
        tempfile.TemporaryDirectory(prefix="castclock-kills-") as made,
        database(told.database, Path(made)) as url,
        closing(Nursery()) as nursery,
    ):
        folder = Path(made)
        count = run(
            folder,
            url,
            kills=told.kills,
            workers=told.workers,
            seed=told.seed,
            nursery=nursery,
            minutes=told.minutes,
            tell=_printed,
        )
        faults = (folder / "out").read_text(encoding="utf-8").count("Traceback")
    core_s = sum(
        used.ru_utime + used.ru_stime
        for used in map(resource.getrusage, (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    )
    print(f"{count.told()}; {faults} faults in the log; {core_s:.0f} s of a core")
    for one in (
        *count.lost,
        *count.doubled,
        *count.alarms_lost,
        *count.repeats_without_a_crash,
    ):
        print(f"  {one}")
    sys.exit(not count.holds)


if __name__ == "__main__":
    main()
