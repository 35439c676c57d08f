"""In an hour: a notice that somebody has heard is told once more."""

from datetime import datetime, timedelta

from sqlmodel import Session

from models.errors import Conflict
from models.records import Reminder, StepDone
from service.actions.notices import reminder_states as states
from service.queries.reminders import deliveries_of
from service.queries.rows import find, of_pour

LATER = timedelta(hours=1)


def remind_later(
    session: Session, now: datetime, reminder_id: int, person_id: int | None = None
) -> Reminder:
    """Owe a told notice again to who asks; to everybody where nobody signs in, or another waits to
    be told again.

    It stays told, so that a window that moves meanwhile withdraws it as before; others hear it by
    their own hours. Raises Conflict where it is no longer true: done, withdrawn, over, never sent.
    """
    row = find(session, Reminder, reminder_id, "reminder_id")
    done = {one.step for one in of_pour(session, StepDone, row.pour_id) if one.undone_at is None}
    stands = row.state == states.SENT and row.superseded_at is None and row.not_after > now
    if not stands or row.step in done:
        raise Conflict("this notice", "it no longer holds, so it is not told again")
    row.asked_by_id = None if _another_waits(session, row, person_id) else person_id
    row.asked_at = now
    again = _again_at(row, now)
    row.due_at = again if row.done_at is not None else min(again, row.due_at)
    row.done_at, row.claimed_until, row.attempt = None, None, 0
    session.add(row)
    return row


def asked_again(row: Reminder, person_id: int | None) -> datetime | None:
    """When somebody is told once more what they asked for, whatever their quiet hours."""
    if row.asked_at is None or row.asked_by_id not in (None, person_id):
        return None
    return _again_at(row, row.asked_at)


def _another_waits(session: Session, row: Reminder, person_id: int | None) -> bool:
    """Whether somebody else asked, and has not been told again yet."""
    if row.asked_at is None or row.asked_by_id == person_id:
        return False
    since = deliveries_of(session, row.id, since=row.asked_at)
    told = {one.person_id for one in since if one.outcome == "sent"}
    return row.asked_by_id not in told if row.asked_by_id else row.done_at is None


def _again_at(row: Reminder, asked_at: datetime) -> datetime:
    """An hour on, or half way to its last use, whatever is sooner."""
    return asked_at + min(LATER, (row.not_after - asked_at) / 2)
