"""The clock's own rows: which are due, and which nobody holds."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlalchemy import ColumnElement, and_, or_
from sqlmodel import Session, col, select

from models.records import Duty, Place, Pour, Reminder
from service.weather.choose import CLOCKS_APART

LONGEST_WAIT = timedelta(days=1)  # the longest interval, and what a service may ask for
LONGEST_LEASE = timedelta(hours=1)


def job_of(session: Session, key: str) -> Duty | None:
    return session.exec(select(Duty).where(Duty.key == key)).one_or_none()


def is_due(now: datetime, every: timedelta) -> ColumnElement[bool]:
    """Due by now; or due further off than its interval, or last done later than now, as a clock
    leaves it that was ahead for a while: then it is due too."""
    ahead = now + CLOCKS_APART
    return or_(
        col(Duty.due_at) <= now,
        col(Duty.due_at) > now + LONGEST_WAIT,
        and_(col(Duty.failure) == "", col(Duty.due_at) > ahead + every),
        col(Duty.succeeded_at) > ahead,
        col(Duty.failed_at) > ahead,
    )


def is_free(row: type[Duty] | type[Reminder], now: datetime) -> ColumnElement[bool]:
    """Nobody holds it; a lease longer than any is given comes from a clock that was ahead."""
    until = col(row.claimed_until)
    return or_(until.is_(None), until < now, until > now + LONGEST_LEASE)


def due_ids(session: Session, now: datetime, kind: str, every: timedelta, limit: int) -> list[int]:
    """Keys of the jobs of one kind that are due and that nobody is at."""
    return list(
        session.exec(
            select(Duty.id)
            .where(Duty.kind == kind, is_due(now, every), is_free(Duty, now))
            .order_by(col(Duty.due_at), col(Duty.id))
            .limit(limit)
        ).all()
    )


def pours_due(session: Session, now: datetime) -> set[int]:
    """Keys of the pours whose windows are due to be computed anew."""
    wanted = select(Duty.pour_id).where(Duty.kind == "projection", Duty.due_at <= now)
    return {pour_id for pour_id in session.exec(wanted) if pour_id is not None}


def has_aged(session: Session, now: datetime, lasts: timedelta) -> bool:
    """Whether the windows of an active pour were not projected for longer than they last."""
    done = col(Duty.succeeded_at)
    aged = or_(
        done < now - lasts,
        done > now + CLOCKS_APART,
        and_(done.is_(None), col(Duty.created_at) < now - lasts),
    )
    wanted = select(Duty.id).join(Pour, col(Pour.id) == Duty.pour_id)
    active = (Duty.kind == "projection", col(Pour.closed_at).is_(None))
    return session.exec(wanted.where(*active, aged).limit(1)).first() is not None


def weather_jobs(session: Session) -> list[tuple[Duty, Place]]:
    """The jobs that fetch weather, each with its place."""
    found = session.exec(
        select(Duty, Place)
        .join(Place, col(Duty.place_id) == Place.id)
        .where(Duty.kind == "weather")
        .order_by(col(Duty.place_id))
    )
    return [(job, place) for job, place in found]


def failures(session: Session, keys: Sequence[str]) -> dict[str, str]:
    """Why the last try of each of these jobs failed; empty where it did not."""
    wanted = select(Duty.key, Duty.failure).where(col(Duty.key).in_(keys))
    return dict(session.exec(wanted).all())
