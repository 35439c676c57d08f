"""Let go of what nobody will ask for again; what was told and why it moved is kept."""

from datetime import datetime, timedelta

from sqlmodel import Session, col, delete

from models.records import IdempotencyKey, Job, Projection, WeatherRun
from service.actions.weather import place_air
from service.actions.weather.fill_past import fold_past
from service.queries.jobs import job_of
from service.queries.pours import places_in_use
from service.queries.projections import first_ids, newest_ids
from service.queries.weather_runs import forecast_times

KEY = "tidy"
WHOLE_FOR = timedelta(days=3)
REPEATS_WITHIN = timedelta(days=30)
EVERY = timedelta(days=1)


def tidy(session: Session, now: datetime) -> None:
    """Older than three days: one weather run a day of each place, what was told first, moves."""
    old = now - WHOLE_FOR
    for place_id in places_in_use(session):
        fold_past(session, now, place_id)  # what only an old run saw of an active pour stays
    session.execute(delete(WeatherRun).where(col(WeatherRun.id).in_(_surplus_runs(session, old))))
    session.execute(
        delete(Projection).where(
            col(Projection.checked_at) < old,
            col(Projection.moved).is_(None),
            col(Projection.id).not_in(newest_ids().scalar_subquery()),
            col(Projection.id).not_in(first_ids().scalar_subquery()),
        )
    )
    session.execute(
        delete(IdempotencyKey).where(col(IdempotencyKey.created_at) < now - REPEATS_WITHIN)
    )


def _surplus_runs(session: Session, old: datetime) -> list[int]:
    """All but one forecast of each day and place; a record of the past stays."""
    rows = forecast_times(session, old)
    retained = set(place_air.one_a_day(rows))
    return [run_id for run_id, _, _ in rows if run_id not in retained]


def tidy_when_due(session: Session, now: datetime) -> bool:
    """Once a day, whoever's clock comes first."""
    job = job_of(session, KEY)
    if job is not None and now < job.due_at <= now + EVERY:
        return False
    job = job or Job(kind="beat", key=KEY, due_at=now, created_at=now)
    tidy(session, now)
    job.succeeded_at, job.due_at = now, now + EVERY
    session.add(job)
    return True
