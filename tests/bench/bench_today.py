"""What the first page costs: `python tests/bench/bench_today.py`. Prints, asserts nothing.

Wanted: p95 under 100 ms of one core and under 30 KB compressed, with five pours and with five
hundred. The first look after a start reads every answer once and is told apart.
"""

import gzip
import tempfile
import time
from datetime import UTC, datetime

from sqlmodel import Session, insert, select
from starlette.testclient import TestClient

from models.records import Job, Pour, Projection
from service import demo
from service.app import create_app
from service.settings import Settings
from service.store import Store

LOOKS = 40
NOW = datetime(2026, 10, 14, 23, 0, tzinfo=UTC)
NOT_COPIED = {"id", "pour_id", "key", "concrete"}


def copied(session: Session, count: int) -> None:
    """More pours, each with the answer and the duty of one that is there."""
    pours = session.exec(select(Pour)).all()
    before = {pour.id for pour in pours}
    rows = [pours[k % len(pours)].model_dump(exclude={"id"}) for k in range(count)]
    session.execute(insert(Pour), rows)
    new = sorted(set(session.exec(select(Pour.id)).all()) - before)
    answers = session.exec(select(Projection)).all()
    duties = session.exec(select(Job).where(Job.kind == "projection")).all()
    told = [answers[k % len(answers)].model_dump(exclude=NOT_COPIED) for k in range(count)]
    owed = [duties[k % len(duties)].model_dump(exclude=NOT_COPIED) for k in range(count)]
    session.execute(
        insert(Projection), [{**row, "pour_id": key} for row, key in zip(told, new, strict=True)]
    )
    session.execute(
        insert(Job),
        [
            {**row, "pour_id": key, "key": f"projection:{key}"}
            for row, key in zip(owed, new, strict=True)
        ],
    )


def looked(client: TestClient) -> tuple[float, bytes]:
    begin = time.process_time()
    page = client.get("/")
    return 1e3 * (time.process_time() - begin), page.content


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        store = Store(f"sqlite:///{folder}/bench.sqlite3")
        store.upgrade()
        weather = demo.Replay(demo.TIMEZONE, NOW)
        demo.fill(store, weather)
        settings = Settings(data=folder, hosts="testserver")
        app = create_app(settings, store, weather, lambda: NOW)
        client = TestClient(app)
        for more in (0, 495):
            if more:
                with store.unit_of_work() as session:
                    copied(session, more)
            first, page = looked(client)
            spent = sorted(looked(client)[0] for _ in range(LOOKS))
            p95 = spent[int(0.95 * LOOKS) - 1]
            print(
                f"{5 + more} pours: first {first:.0f} ms, then p50 {spent[LOOKS // 2]:.0f} ms,"
                f" p95 {p95:.0f} ms of core; {len(gzip.compress(page)) / 1e3:.1f} KB compressed"
            )


if __name__ == "__main__":
    main()
