"""What a million readings of one place cost who asks for a pour or learns: `python
tests/bench/bench_many_readings.py [--readings N]`. Prints, asserts nothing.

Instruments sent them every quarter of an hour from many corners over three years; the pour was
placed a week ago. Wanted: as much as with a thousand.
"""

import argparse
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from sqlalchemy import insert
from sqlmodel import col, select

sys.path.insert(0, str(Path(__file__).parents[2]))

from models.records import Mix, Place, Pour, Reading
from service import demo
from service.queries import calibration, pours
from service.store import Store

NOW = datetime(2026, 10, 14, 23, 0, tzinfo=UTC)
YEARS = timedelta(days=3 * 365)
AT_ONCE = 50_000


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--readings", type=int, default=1_000_000)
    count = asked.parse_args().readings
    with tempfile.TemporaryDirectory() as folder:
        store = Store(f"sqlite:///{folder}/bench.sqlite3")
        store.upgrade()
        demo.fill(store, demo.Replay(demo.TIMEZONE, NOW))
        print_costs(store, "those of the demo")
        fill(store, count)
        print_costs(store, f"and {count:,} more")


def fill(store: Store, count: int) -> None:
    with store.reading() as session:
        pour = session.exec(select(Pour).order_by(col(Pour.placed_at))).first()
        assert pour is not None
        common = {
            "pour_id": pour.id,
            "place_id": pour.place_id,
            "kind": "air",
            "value_C": 12.0,
            "span_h": 12.0,
            "note": "",
            "wrong": False,
            "spare": False,
        }
    for first in range(0, count, AT_ONCE):
        rows = []
        for k in range(first, min(first + AT_ONCE, count)):
            at = NOW - YEARS + YEARS * (k / count)
            rows.append({**common, "at": at, "created_at": at, "instrument": f"corner {k % 40}"})
        with store.unit_of_work() as session:
            session.execute(insert(Reading), rows)


def print_costs(store: Store, told: str) -> None:
    print(told)
    with store.reading() as session:
        pour = session.exec(select(Pour).order_by(col(Pour.placed_at).desc())).first()
        assert pour is not None
        place, mix = session.get(Place, pour.place_id), session.get(Mix, pour.mix_id)
        assert place is not None
        assert mix is not None
        questions: dict[str, Callable[[], object]] = {
            "readings of a pour": lambda: pours.readings_of(session, pour, spare=False),
            "what a place learns from": lambda: calibration.readings_between(
                session, place, NOW - timedelta(days=30), NOW, 500
            ),
            "is there news of the place": lambda: calibration.has_reading(session, place, NOW),
            "is there news of the mix": lambda: calibration.has_result(session, mix, NOW),
        }
        for name, ask in questions.items():
            spent = []
            for _ in range(5):
                begun = time.process_time()
                ask()
                spent.append(time.process_time() - begun)
            print(f"  {name:<28} {sorted(spent)[2] * 1e3:8.2f} ms of core")


if __name__ == "__main__":
    main()
