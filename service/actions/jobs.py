"""The clock's own rows: when a forecast or a projection is due next, and how it went."""

from datetime import datetime, timedelta

from sqlalchemy import ColumnElement, and_, or_
from sqlmodel import Session, col, select, update

from models.records import Duty, Pour, Reminder
from service.actions.standing import LASTS
from service.weather.choose import CLOCKS_APART

FIRST_PAUSE = timedelta(minutes=2)
LONGEST_PAUSE = timedelta(hours=2)
LONGEST_WAIT = timedelta(days=1)  # the longest interval, and what a service may ask for
LONGEST_LEASE = timedelta(hours=1)
BEAT = "beat"  # the clock's own row: it says when the clock last went round


def weather_key(place_id: int) -> str:
    return f"weather:{place_id}"


def projection_key(pour_id: int) -> str:
    return f"projection:{pour_id}"


def of(session: Session, key: str) -> Duty | None:
    return session.exec(select(Duty).where(Duty.key == key)).one_or_none()


def forecast_due(session: Session, now: datetime, place_id: int) -> Duty:
    """A forecast for the place is due now."""
    return _due(
        session,
        now,
        Duty(
            kind="weather", key=weather_key(place_id), place_id=place_id, due_at=now, created_at=now
        ),
    )


def projection_due(session: Session, now: datetime, pour_id: int) -> Duty:
    """A projection of the pour is due now."""
    return _due(
        session,
        now,
        Duty(
            kind="projection",
            key=projection_key(pour_id),
            pour_id=pour_id,
            due_at=now,
            created_at=now,
        ),
    )


def beat(session: Session, now: datetime) -> None:
    """The clock went round."""
    duty = of(session, BEAT) or Duty(kind="beat", key=BEAT, due_at=now, created_at=now)
    duty.succeeded_at = duty.due_at = now
    session.add(duty)


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


def has_aged(session: Session, now: datetime) -> bool:
    """Whether the windows of an active pour were not reckoned for longer than they last."""
    done = col(Duty.succeeded_at)
    return (
        session.exec(
            select(Duty.id)
            .join(Pour, col(Pour.id) == Duty.pour_id)
            .where(
                Duty.kind == "projection",
                col(Pour.closed_at).is_(None),
                or_(
                    done < now - LASTS,
                    done > now + CLOCKS_APART,
                    and_(done.is_(None), col(Duty.created_at) < now - LASTS),
                ),
            )
            .limit(1)
        ).first()
        is not None
    )


def projections_due_at(session: Session, now: datetime, place_id: int) -> None:
    """New weather at a place: every active pour there is due."""
    active = select(Pour.id).where(Pour.place_id == place_id, col(Pour.closed_at).is_(None))
    session.execute(
        update(Duty)
        .where(col(Duty.pour_id).in_(active))
        .values(due_at=now, claimed_until=None, asked=Duty.asked + 1)
    )


def succeeded(duty: Duty, now: datetime, next_at: datetime) -> None:
    duty.succeeded_at, duty.failure, duty.attempt = now, "", 0
    duty.due_at, duty.claimed_until = next_at, None


def failed(duty: Duty, now: datetime, why: str, retry_after: timedelta | None = None) -> None:
    """Write why, and push the row ahead: twice as far each time, up to two hours."""
    doubled = FIRST_PAUSE * 2 ** min(max(duty.attempt - 1, 0), 10)
    pause = max(min(doubled, LONGEST_PAUSE), retry_after or timedelta(0))
    duty.failed_at, duty.failure = now, why[:1000]
    duty.due_at, duty.claimed_until = now + pause, None


def _due(session: Session, now: datetime, fresh: Duty) -> Duty:
    duty = of(session, fresh.key)
    if duty is None:
        session.add(fresh)
        session.flush()
        return fresh
    duty.due_at = min(duty.due_at, now)
    duty.asked += 1
    session.add(duty)
    return duty
