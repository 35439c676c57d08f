"""What is due, and claiming it: one statement that changes a row only if nobody holds it."""

from datetime import datetime, timedelta

from sqlalchemy import CursorResult, update
from sqlmodel import Session, col, select

from models.records import Duty, Reminder
from service.actions import jobs
from service.actions._reminders import OWED

AT_A_TIME = 50
DAY = timedelta(days=1)


def due_reminders(session: Session, now: datetime, limit: int = AT_A_TIME) -> list[int]:
    """Keys of notices that are owed now and that nobody is sending."""
    return list(
        session.exec(
            select(Reminder.id)
            .where(
                col(Reminder.state).in_(OWED),
                col(Reminder.done_at).is_(None),
                Reminder.due_at <= now,
                jobs.is_free(Reminder, now),
            )
            .order_by(col(Reminder.due_at), col(Reminder.id))
            .limit(limit)
        ).all()
    )


def due_duties(
    session: Session, now: datetime, kind: str, every: timedelta = DAY, limit: int = AT_A_TIME
) -> list[int]:
    """Keys of the clock's duties of one kind that are due and that nobody is at."""
    return list(
        session.exec(
            select(Duty.id)
            .where(Duty.kind == kind, jobs.is_due(now, every), jobs.is_free(Duty, now))
            .order_by(col(Duty.due_at), col(Duty.id))
            .limit(limit)
        ).all()
    )


def claim_reminder(session: Session, reminder_id: int, now: datetime, lease: timedelta) -> bool:
    """True when the notice is ours until the lease ends; a rival changes no row."""
    result = session.execute(
        update(Reminder)
        .where(
            col(Reminder.id) == reminder_id,
            col(Reminder.state).in_(OWED),
            col(Reminder.done_at).is_(None),
            col(Reminder.due_at) <= now,
            jobs.is_free(Reminder, now),
        )
        .values(claimed_until=now + lease, attempt=Reminder.attempt + 1)
        .execution_options(synchronize_session=False)
    )
    return _one(result)


def claim_duty(
    session: Session, duty_id: int, now: datetime, lease: timedelta, every: timedelta = DAY
) -> bool:
    """True when the duty is ours until the lease ends."""
    result = session.execute(
        update(Duty)
        .where(
            col(Duty.id) == duty_id,
            jobs.is_due(now, every),
            jobs.is_free(Duty, now),
        )
        .values(claimed_until=now + lease, attempt=Duty.attempt + 1)
        .execution_options(synchronize_session=False)
    )
    return _one(result)


def _one(result: object) -> bool:
    assert isinstance(result, CursorResult)
    return int(result.rowcount) == 1
