"""Claiming what is due: one statement that changes a row only if nobody holds it."""

from datetime import datetime, timedelta

from sqlalchemy import CursorResult, update
from sqlmodel import Session, col

from models.records import Job, Reminder
from service.queries.jobs import is_due, is_free
from service.queries.reminders import OWED

DAY = timedelta(days=1)


def claim_reminder(session: Session, reminder_id: int, now: datetime, lease: timedelta) -> bool:
    """True when the notice is ours until the lease ends; a rival changes no row."""
    result = session.execute(
        update(Reminder)
        .where(
            col(Reminder.id) == reminder_id,
            col(Reminder.state).in_(OWED),
            col(Reminder.done_at).is_(None),
            col(Reminder.due_at) <= now,
            is_free(Reminder, now),
        )
        .values(claimed_until=now + lease, attempt=Reminder.attempt + 1)
        .execution_options(synchronize_session=False)
    )
    return _one(result)


def claim_job(
    session: Session, job_id: int, now: datetime, lease: timedelta, every: timedelta = DAY
) -> bool:
    """True when the job is ours until the lease ends."""
    result = session.execute(
        update(Job)
        .where(
            col(Job.id) == job_id,
            is_due(now, every),
            is_free(Job, now),
        )
        .values(claimed_until=now + lease, attempt=Job.attempt + 1)
        .execution_options(synchronize_session=False)
    )
    return _one(result)


def _one(result: object) -> bool:
    assert isinstance(result, CursorResult)
    return int(result.rowcount) == 1
