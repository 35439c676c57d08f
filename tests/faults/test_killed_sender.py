"""Kill -9 around a send: sent again when the lease ends, never lost, repeated once at most."""

import os
import signal
import subprocess
import sys
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from sqlmodel import select

from models.records import Delivery, Reminder
from scheduler.jobs import Rounds
from service.actions.windows.project_pour import project_pour
from service.store import Store
from tests.support.shop import Mailbox, Windows

HOUR = timedelta(hours=1)

# A sender that reports where it is and then hangs there, so that it can be killed at that point.
SENDER = """
import sys, time
from datetime import datetime
from pathlib import Path
from scheduler.jobs import Rounds
from service.settings import Settings
from service.store import Store

url, now, point, out = sys.argv[1], datetime.fromisoformat(sys.argv[2]), sys.argv[3], sys.argv[4]

def hang():
    print("reached", flush=True)
    time.sleep(600)

class Hanging:
    name = "mailbox"
    def send(self, notice):
        if point == "before the send":
            hang()
        with open(out, "a") as file:
            file.write(notice.key + "\\n")
        if point == "after the send":
            hang()

def channels(addresses):
    if point == "before the first row":
        hang()
    return [Hanging()]


if point == "between claim and row":
    import scheduler.jobs
    scheduler.jobs.deliver_due = lambda *rest: hang()
Rounds(Settings(), Store(url), None, channels).deliver(now)
"""


def killed_at(point: str, store: Store, at: datetime, sent: Path) -> None:
    """Run the sender in its own process up to `point`, and kill it there."""
    url = store.engine.url.render_as_string(hide_password=False)
    sender = subprocess.Popen(
        [sys.executable, "-c", SENDER, url, at.isoformat(), point, str(sent)],
        stdout=subprocess.PIPE,
        text=True,
    )
    assert sender.stdout is not None
    assert sender.stdout.readline() == "reached\n"
    os.kill(sender.pid, signal.SIGKILL)
    assert sender.wait() == -signal.SIGKILL
    sender.stdout.close()


@pytest.mark.parametrize(
    ("point", "sent_before", "deliveries"),
    [
        ("before the first row", 0, ["sent"]),
        ("between claim and row", 0, ["sent"]),
        ("before the send", 0, ["started", "sent"]),
        ("after the send", 1, ["started", "sent"]),
    ],
)
def test_a_notice_survives_the_death_of_its_sender(
    point: str,
    sent_before: int,
    deliveries: list[str],
    store: Store,
    pour_id: int,
    windows: Windows,
    rounds: Rounds,
    mailbox: Mailbox,
    now: datetime,
    tmp_path: Path,
) -> None:
    due_at = now + 15 * HOUR
    windows.say("strip", "not yet", due_at)
    project_pour(store, now, pour_id)
    project_pour(store, due_at, pour_id)
    sent = tmp_path / "sent"
    killed_at(point, store, due_at, sent)
    assert len(sent.read_text().split() if sent.exists() else []) == sent_before

    claimed = point != "before the first row"
    rounds.deliver(due_at + timedelta(seconds=60))
    assert len(mailbox.notices) == (0 if claimed else 1)  # its lease still runs
    rounds.deliver(due_at + timedelta(seconds=121))
    assert [notice.key for notice in mailbox.notices] == [f"{pour_id}:strip:opens"]
    rounds.deliver(due_at + HOUR)
    assert len(mailbox.notices) == 1
    with store.reading() as session:
        assert session.exec(select(Reminder)).one().state == "sent"
        assert [row.outcome for row in session.exec(select(Delivery)).all()] == deliveries
