"""Claims: one row changes for the first, none for a rival, one again after the lease."""

import subprocess
import sys
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

from sqlmodel import Session, select

from models.records import Pour, Reminder
from scheduler import due
from service.queries.reminders import due_together
from service.store import Store
from tests.support.shop import Bench

LEASE = timedelta(seconds=120)
RIVALS, NOTICES = 4, 40

# Each rival claims what it can and prints the keys it got.
RIVAL = """
import sys
from datetime import datetime, timedelta
from scheduler import due
from service.queries.reminders import due_together
from service.store import Store

store, now = Store(sys.argv[1]), datetime.fromisoformat(sys.argv[2])
print("ready", flush=True)
sys.stdin.readline()
while True:
    with store.reading() as session:
        waiting = sum(due_together(session, now, 5), [])
    if not waiting:
        break
    for key in waiting:
        with store.unit_of_work() as session:
            if due.claim_reminder(session, key, now, timedelta(seconds=120)):
                print(key)
"""


def owe(session: Session, bench: Bench, now: datetime, count: int) -> None:
    pour = Pour(
        created_at=now,
        placed_at=now,
        mix_id=bench.mix_id,
        piece_id=bench.piece_id,
        place_id=bench.place_id,
    )
    session.add(pour)
    session.flush()
    for k in range(count):
        session.add(
            Reminder(
                created_at=now,
                changed_at=now,
                pour_id=pour.id,
                step="strip",
                kind="opens",
                round=k + 1,
                key=f"{pour.id}:strip:opens:{k}",
                window_at=now,
                due_at=now,
                not_after=now + timedelta(days=1),
                facts={},
            )
        )


def claim(store: Store, reminder_id: int, at: datetime) -> bool:
    with store.unit_of_work() as session:
        return due.claim_reminder(session, reminder_id, at, LEASE)


def test_a_notice_is_claimed_once_and_again_only_after_the_lease(
    any_store: Store, furnished: Callable[[Store, datetime], Bench], now: datetime
) -> None:
    bench = furnished(any_store, now)
    with any_store.unit_of_work() as session:
        owe(session, bench, now, 1)
    with any_store.reading() as session:
        ((key,),) = due_together(session, now, 5)
    second = timedelta(seconds=1)
    claims = [
        claim(any_store, key, at)
        for at in (now - second, now, now + second, now + LEASE, now + LEASE + second)
    ]
    assert claims == [False, True, False, False, True]
    with any_store.reading() as session:
        assert session.exec(select(Reminder)).one().attempt == 2


def test_what_is_not_waiting_is_not_claimed(
    store: Store, furnished: Callable[[Store, datetime], Bench], now: datetime
) -> None:
    bench = furnished(store, now)
    with store.unit_of_work() as session:
        owe(session, bench, now, 3)
        for row, state in zip(
            session.exec(select(Reminder)).all(), ("held", "cancelled", "sent"), strict=True
        ):
            row.state = state
            row.done_at = now if state == "sent" else None  # until then it is owed to somebody
    with store.reading() as session:
        assert due_together(session, now, 5) == []
    assert not any(claim(store, key, now) for key in (1, 2, 3))


def test_rival_processes_share_the_notices_and_none_is_claimed_twice(
    any_store: Store, furnished: Callable[[Store, datetime], Bench], now: datetime, tmp_path: Path
) -> None:
    bench = furnished(any_store, now)
    with any_store.unit_of_work() as session:
        owe(session, bench, now, NOTICES)
    url = any_store.engine.url.render_as_string(hide_password=False)
    rivals = [
        subprocess.Popen(
            [sys.executable, "-c", RIVAL, url, now.isoformat()],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            cwd=tmp_path,
        )
        for _ in range(RIVALS)
    ]
    for rival in rivals:
        assert rival.stdout is not None
        assert rival.stdout.readline() == "ready\n"
    got = [rival.communicate("go\n")[0].split() for rival in rivals]
    assert [rival.returncode for rival in rivals] == [0] * RIVALS
    keys = sorted(int(key) for some in got for key in some)
    assert keys == sorted(set(keys))
    assert len(keys) == NOTICES
