"""The clock's own rows: when a forecast or a projection is due next, and how it went."""

from datetime import datetime, timedelta

from sqlmodel import Session, col, update

from models.records import Job, Pour
from service import backoff
from service.queries.jobs import job_of
from service.queries.orders import any_open
from service.queries.pours import active_ids

FIRST_PAUSE = timedelta(minutes=2)
LONGEST_PAUSE = timedelta(hours=2)
PLAN = "plan"
BEAT = "beat"  # the clock's own row: it says when the clock last went round


def weather_key(place_id: int) -> str:
    return f"weather:{place_id}"


def projection_key(pour_id: int) -> str:
    return f"projection:{pour_id}"


def forecast_due(session: Session, now: datetime, place_id: int) -> Job:
    """A forecast for the place is due now."""
    return _due(
        session,
        now,
        Job(
            kind="weather", key=weather_key(place_id), place_id=place_id, due_at=now, created_at=now
        ),
    )


def projection_due(session: Session, now: datetime, pour_id: int) -> Job:
    """A projection of the pour is due now."""
    return _due(
        session,
        now,
        Job(
            kind="projection",
            key=projection_key(pour_id),
            pour_id=pour_id,
            due_at=now,
            created_at=now,
        ),
    )


def windows_due(session: Session, now: datetime, pour: Pour) -> None:
    """Something about a pour changed: while it is open its windows are asked again."""
    if pour.closed_at is None:
        projection_due(session, now, pour.id)


def plan_due(session: Session, now: datetime) -> Job:
    """The plan of the orders is to be worked out anew."""
    job = _due(session, now, Job(kind="plan", key=PLAN, due_at=now, created_at=now))
    job.failure = ""  # of a try before: the next one tells anew
    return job


def plan_moved(session: Session, now: datetime) -> None:
    """Something that the plan rests on changed: where an order is open it is worked out anew."""
    if any_open(session):
        plan_due(session, now)


def beat(session: Session, now: datetime) -> None:
    """The clock went round."""
    job = job_of(session, BEAT) or Job(kind="beat", key=BEAT, due_at=now, created_at=now)
    job.succeeded_at = job.due_at = now
    session.add(job)


def projections_due_at(session: Session, now: datetime, place_id: int) -> None:
    """New weather at a place: every active pour there is due."""
    session.execute(
        update(Job)
        .where(col(Job.pour_id).in_(active_ids(col(Pour.place_id) == place_id)))
        .values(due_at=now, claimed_until=None, asked=Job.asked + 1)
    )


def succeeded(job: Job, now: datetime, next_at: datetime) -> None:
    job.succeeded_at, job.failure, job.attempt = now, "", 0
    job.due_at, job.claimed_until = next_at, None


def failed(job: Job, now: datetime, why: str, retry_after: timedelta | None = None) -> None:
    """Write why, and push the row ahead: twice as far each time, up to two hours."""
    own = backoff.pause(FIRST_PAUSE, job.attempt, LONGEST_PAUSE)
    pause = max(own, retry_after or timedelta(0))
    job.failed_at, job.failure = now, why[:1000]
    job.due_at, job.claimed_until = now + pause, None


def _due(session: Session, now: datetime, fresh: Job) -> Job:
    job = job_of(session, fresh.key)
    if job is None:
        session.add(fresh)
        session.flush()
        return fresh
    job.due_at = min(job.due_at, now)
    job.asked += 1
    session.add(job)
    return job
