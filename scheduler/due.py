"""Claiming what is due: one statement that changes a row only if nobody holds it."""

from datetime import datetime, timedelta

from sqlalchemy import ColumnElement, CursorResult, update
from sqlmodel import Session, col

from models.records import Job, Reminder
from service.queries import jobs, reminders

DAY = timedelta(days=1)


def claim_reminder(session: Session, reminder_id: int, now: datetime, lease: timedelta) -> bool:
    """True when the notice is ours until the lease ends; a rival changes no row."""
    return _claimed(session, Reminder, reminder_id, reminders.is_due(now), now + lease)


def renew_reminder(session: Session, reminder_id: int, before: datetime, until: datetime) -> bool:
    """True when it was ours until `before`, and is so until `until`; one that somebody else has
    claimed since, or that was settled, stays as it is."""
    return _changed(
        session,
        Reminder,
        (col(Reminder.id) == reminder_id) & (col(Reminder.claimed_until) == before),
        claimed_until=until,
    )


def claim_job(
    session: Session, job_id: int, now: datetime, lease: timedelta, every: timedelta = DAY
) -> bool:
    """True when the job is ours until the lease ends."""
    return _claimed(session, Job, job_id, jobs.is_due(now, every), now + lease)


def claim_pours(
    session: Session, now: datetime, lease: timedelta, every: timedelta, limit: int
) -> dict[int, dict[int, int]]:
    """The pours that are due longest, ours until the lease ends: by shop and by their keys those of
    their jobs.

    One statement, so that of several who ask at once each gets others.
    """
    waiting = jobs.first_due(now, "projection", every, limit).scalar_subquery()
    claimed = session.execute(
        update(Job)
        .where(col(Job.id).in_(waiting))
        .values(claimed_until=now + lease, attempt=Job.attempt + 1)
        .returning(col(Job.shop_id), col(Job.pour_id), col(Job.id))
        .execution_options(synchronize_session=False)
    )
    found: dict[int, dict[int, int]] = {}
    for shop_id, pour_id, job_id in sorted(claimed):
        found.setdefault(shop_id, {})[pour_id] = job_id
    return found


def _claimed(
    session: Session,
    table: type[Job] | type[Reminder],
    row_id: int,
    due: ColumnElement[bool],
    until: datetime,
) -> bool:
    found = (col(table.id) == row_id) & due
    return _changed(session, table, found, claimed_until=until, attempt=table.attempt + 1)


def _changed(
    session: Session,
    table: type[Job] | type[Reminder],
    found: ColumnElement[bool],
    **values: object,
) -> bool:
    result = session.execute(
        update(table).where(found).values(**values).execution_options(synchronize_session=False)
    )
    assert isinstance(result, CursorResult)
    return int(result.rowcount) == 1
