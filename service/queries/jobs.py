"""The clock's own rows: which are due, and which nobody holds."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlalchemy import ColumnElement, and_, or_
from sqlmodel import Session, col, func, select
from sqlmodel.sql.expression import SelectOfScalar

from models.records import Job, Place, Pour, Reminder
from service.queries.pours import ACTIVE
from service.weather.choose import CLOCKS_APART

LONGEST_WAIT = timedelta(days=1)  # the longest interval, and what a service may ask for
LONGEST_LEASE = timedelta(hours=1)


def job_of(session: Session, key: str) -> Job | None:
    return session.exec(select(Job).where(Job.key == key)).one_or_none()


def is_due(now: datetime, every: timedelta) -> ColumnElement[bool]:
    """Held by nobody and due by now; or due further off than its interval, or last done later than
    now, as a clock leaves it that was ahead for a while."""
    ahead = now + CLOCKS_APART
    return is_free(Job, now) & or_(
        col(Job.due_at) <= now,
        col(Job.due_at) > now + LONGEST_WAIT,
        and_(col(Job.failure) == "", col(Job.due_at) > ahead + every),
        col(Job.succeeded_at) > ahead,
        col(Job.failed_at) > ahead,
    )


def is_free(row: type[Job] | type[Reminder], now: datetime) -> ColumnElement[bool]:
    """Nobody holds it; a lease longer than any is given comes from a clock that was ahead."""
    until = col(row.claimed_until)
    return or_(until.is_(None), until < now, until > now + LONGEST_LEASE)


def due_ids(session: Session, now: datetime, kind: str, every: timedelta, limit: int) -> list[int]:
    """Keys of the jobs of one kind that are due and that nobody is at: of each shop the one that is
    due longest, then of each the next, so that none waits for all of another that has thousands."""
    longest = (col(Job.due_at), col(Job.id))
    turn = func.row_number().over(partition_by=col(Job.shop_id), order_by=longest)
    wanted = select(Job.id).where(Job.kind == kind, is_due(now, every))
    return list(session.exec(wanted.order_by(turn, *longest).limit(limit)).all())


def first_due(now: datetime, kind: str, every: timedelta, limit: int) -> SelectOfScalar[int]:
    """Keys of those that are due longest, to be put into a statement that claims them; rows that
    a rival is just claiming are passed over where the database can."""
    return (
        select(Job.id)
        .where(Job.kind == kind, is_due(now, every))
        .order_by(col(Job.due_at), col(Job.id))
        .limit(limit)
        .with_for_update(skip_locked=True)
    )


def pours_due(session: Session, now: datetime) -> set[int]:
    """Keys of the pours whose windows are due to be computed anew."""
    wanted = select(Job.pour_id).where(Job.kind == "projection", Job.due_at <= now)
    return {pour_id for pour_id in session.exec(wanted) if pour_id is not None}


def has_aged(session: Session, now: datetime, lasts: timedelta) -> bool:
    """Whether the windows of an active pour were not projected for longer than they last."""
    done = col(Job.succeeded_at)
    aged = or_(
        done < now - lasts,
        done > now + CLOCKS_APART,
        and_(done.is_(None), col(Job.created_at) < now - lasts),
    )
    wanted = select(Job.id).join(Pour, col(Pour.id) == Job.pour_id)
    active = (Job.kind == "projection", ACTIVE)
    return session.exec(wanted.where(*active, aged).limit(1)).first() is not None


def weather_jobs(session: Session) -> list[tuple[Job, Place]]:
    """The jobs that fetch weather, each with its place."""
    found = session.exec(
        select(Job, Place)
        .join(Place, col(Job.place_id) == Place.id)
        .where(Job.kind == "weather")
        .order_by(col(Job.place_id))
    )
    return [(job, place) for job, place in found]


def failures(session: Session, keys: Sequence[str]) -> dict[str, str]:
    """Why the last try of each of these jobs failed; empty where it did not."""
    wanted = select(Job.key, Job.failure).where(col(Job.key).in_(keys))
    return dict(session.exec(wanted).all())
