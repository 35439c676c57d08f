"""What readings cost that come by themselves: `python tests/bench/bench_readings.py`.

Prints, asserts nothing. Wanted: 1,000 readings a second in batches of 500 on SQLite, and under
20 ms of one core for a single one; all by an instrument's token, the projection left to the clock.
"""

import tempfile
import time
from datetime import UTC, datetime, timedelta

from sqlmodel import col, select
from starlette.testclient import TestClient

from models.records import Person, Pour
from service import demo
from service.actions.people import machines
from service.app import create_app
from service.settings import Settings
from service.store import Store

NOW = datetime(2026, 10, 14, 23, 0, tzinfo=UTC)
BATCH, BATCHES, SINGLES = 500, 10, 100
SPANS = {"ten seconds": timedelta(seconds=10), "quarter of an hour": timedelta(minutes=15)}


class Clock:
    now = NOW

    def __call__(self) -> datetime:
        return self.now


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        store = Store(f"sqlite:///{folder}/bench.sqlite3")
        store.upgrade()
        weather = demo.Replay(demo.TIMEZONE, NOW)
        demo.fill(store, weather)
        with store.unit_of_work() as session:
            pour = session.exec(
                select(Pour).where(col(Pour.closed_at).is_(None)).order_by(col(Pour.placed_at))
            ).first()
            assert pour is not None
            session.add(Person(created_at=NOW, name="Owner", role="owner", password_hash="none"))
            tokens = [
                machines.let_in(session, NOW, name, "instrument", pour.place_id)
                for name in (*SPANS, "single")
            ]
            first = pour.placed_at
        clock = Clock()
        client = TestClient(
            create_app(Settings(data=folder, hosts="testserver"), store, weather, clock)
        )
        path = f"/api/v1/places/{pour.place_id}/readings"
        for token, (name, every) in zip(tokens, SPANS.items(), strict=False):
            clock.now = max(NOW, first + BATCH * BATCHES * every)
            bearer = {"authorization": f"Bearer {token}"}
            spent, core, kept = time.perf_counter(), time.process_time(), 0
            for k in range(BATCHES):
                many = [
                    {
                        "kind": "air",
                        "value_C": 9.0,
                        "at": (first + (k * BATCH + j) * every).isoformat(),
                    }
                    for j in range(BATCH)
                ]
                kept += client.post(path, json=many, headers=bearer).json()["kept"]
            spent, core = time.perf_counter() - spent, time.process_time() - core
            print(
                f"one every {name}: {kept / spent:.0f} readings a second in batches of {BATCH},"
                f" {1e3 * core / BATCHES:.0f} ms of core a batch"
            )
        bearer = {"authorization": f"Bearer {tokens[-1]}", "content-type": "text/plain"}
        for every in (timedelta(minutes=15), timedelta(seconds=10)):
            cost = []
            for _ in range(SINGLES):
                clock.now += every
                begin = time.process_time()
                answer = client.post(path, content="9", headers=bearer)
                cost.append(1e3 * (time.process_time() - begin))
                assert answer.json()["kept"] == 1, answer.text
            cost.sort()
            print(
                f"a single one every {every}: p50 {cost[SINGLES // 2]:.1f} ms,"
                f" p95 {cost[int(0.95 * SINGLES) - 1]:.1f} ms of core"
            )


if __name__ == "__main__":
    main()
