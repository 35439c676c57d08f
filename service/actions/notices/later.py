"""In an hour: a notice that somebody has heard is told once more."""

from datetime import datetime, timedelta

from sqlmodel import Session

from models.errors import Conflict
from models.records import Reminder, StepDone
from service.actions.notices import reminder_states as states
from service.queries.rows import find, of_pour

LATER = timedelta(hours=1)


def remind_later(session: Session, now: datetime, reminder_id: int) -> Reminder:
    """Owe a told notice again, an hour from now or half way to its last use, whatever is sooner.

    It stays told, so that a window that moves meanwhile withdraws it as before. Raises Conflict
    where it is no longer true: done, withdrawn, over, or never sent.
    """
    row = find(session, Reminder, reminder_id, "reminder_id")
    done = {one.step for one in of_pour(session, StepDone, row.pour_id) if one.undone_at is None}
    stands = row.state == states.SENT and row.superseded_at is None and row.not_after > now
    if not stands or row.step in done:
        raise Conflict("this notice", "it no longer holds, so it is not told again")
    row.due_at = now + min(LATER, (row.not_after - now) / 2)
    row.changed_at = now  # what its channels took before does not count
    row.done_at, row.claimed_until, row.attempt = None, None, 0
    session.add(row)
    return row
