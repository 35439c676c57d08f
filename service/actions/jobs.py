"""The clock's own rows: when a forecast or a projection is due next, and how it went."""

from datetime import datetime, timedelta

from sqlmodel import Session, col, update

from models.records import Duty, Pour
from service import backoff
from service.queries.jobs import job_of
from service.queries.pours import active_ids

FIRST_PAUSE = timedelta(minutes=2)
LONGEST_PAUSE = timedelta(hours=2)
BEAT = "beat"  # the clock's own row: it says when the clock last went round


def weather_key(place_id: int) -> str:
    return f"weather:{place_id}"


def projection_key(pour_id: int) -> str:
    return f"projection:{pour_id}"


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
    duty = job_of(session, BEAT) or Duty(kind="beat", key=BEAT, due_at=now, created_at=now)
    duty.succeeded_at = duty.due_at = now
    session.add(duty)


def projections_due_at(session: Session, now: datetime, place_id: int) -> None:
    """New weather at a place: every active pour there is due."""
    session.execute(
        update(Duty)
        .where(col(Duty.pour_id).in_(active_ids(col(Pour.place_id) == place_id)))
        .values(due_at=now, claimed_until=None, asked=Duty.asked + 1)
    )


def succeeded(duty: Duty, now: datetime, next_at: datetime) -> None:
    duty.succeeded_at, duty.failure, duty.attempt = now, "", 0
    duty.due_at, duty.claimed_until = next_at, None


def failed(duty: Duty, now: datetime, why: str, retry_after: timedelta | None = None) -> None:
    """Write why, and push the row ahead: twice as far each time, up to two hours."""
    own = backoff.pause(FIRST_PAUSE, duty.attempt, LONGEST_PAUSE)
    pause = max(own, retry_after or timedelta(0))
    duty.failed_at, duty.failure = now, why[:1000]
    duty.due_at, duty.claimed_until = now + pause, None


def _due(session: Session, now: datetime, fresh: Duty) -> Duty:
    duty = job_of(session, fresh.key)
    if duty is None:
        session.add(fresh)
        session.flush()
        return fresh
    duty.due_at = min(duty.due_at, now)
    duty.asked += 1
    session.add(duty)
    return duty
