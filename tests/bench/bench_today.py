"""What the first page costs: `python tests/bench/bench_today.py`. Prints, asserts nothing.

Wanted: p95 under 100 ms of one core and under 30 KB compressed, with five pours and with five
hundred. The first look after a start reads every answer once and is told apart.
"""

import gzip
import tempfile
import time
from datetime import UTC, datetime

from sqlmodel import Session, col, insert, select
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
    """More pours, each with the newest answer and the duty of one that is there."""
    pours = session.exec(select(Pour).where(col(Pour.closed_at).is_(None))).all()
    answers = {
        one.pour_id: one for one in session.exec(select(Projection).order_by(col(Projection.id)))
    }
    duties = {one.pour_id: one for one in session.exec(select(Job).where(Job.kind == "projection"))}
    before = {pour.id for pour in session.exec(select(Pour)).all()}
    like = [pours[k % len(pours)] for k in range(count)]
    session.execute(insert(Pour), [pour.model_dump(exclude={"id"}) for pour in like])
    new = sorted(set(session.exec(select(Pour.id)).all()) - before)
    told = [
        {**answers[pour.id].model_dump(exclude=NOT_COPIED), "pour_id": key}
        for pour, key in zip(like, new, strict=True)
    ]
    owed = [
        {
            **duties[pour.id].model_dump(exclude=NOT_COPIED),
            "pour_id": key,
            "key": f"projection:{key}",
        }
        for pour, key in zip(like, new, strict=True)
    ]
    session.execute(insert(Projection), told)
    session.execute(insert(Job), owed)


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
