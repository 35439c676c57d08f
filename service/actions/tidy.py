"""Let go of what nobody will ask for again; what was told and why it moved is kept."""

from datetime import datetime, timedelta

from sqlmodel import Session, col, delete, func, select

from models.records import Duty, IdempotencyKey, Pour, Projection, WeatherRun
from service.actions import place_air
from service.actions.fill_past import fold_past

KEY = "tidy"
KEPT_WHOLE = timedelta(days=3)
REPEATS_WITHIN = timedelta(days=30)
EVERY = timedelta(days=1)


def tidy(session: Session, now: datetime) -> None:
    """Older than three days: one weather run a day of each place, what was told first, moves."""
    old = now - KEPT_WHOLE
    poured_at = session.exec(
        select(Pour.place_id).where(col(Pour.closed_at).is_(None)).distinct()
    ).all()
    for place_id in poured_at:
        fold_past(session, now, place_id)  # what only an old run saw of an active pour stays
    session.execute(delete(WeatherRun).where(col(WeatherRun.id).in_(_surplus_runs(session, old))))
    newest = select(func.max(Projection.id)).group_by(col(Projection.pour_id))
    first = select(func.min(Projection.id)).group_by(col(Projection.pour_id))
    session.execute(
        delete(Projection).where(
            col(Projection.checked_at) < old,
            col(Projection.why_moved) == "",
            col(Projection.id).not_in(newest.scalar_subquery()),
            col(Projection.id).not_in(first.scalar_subquery()),
        )
    )
    session.execute(
        delete(IdempotencyKey).where(col(IdempotencyKey.created_at) < now - REPEATS_WITHIN)
    )


def _surplus_runs(session: Session, old: datetime) -> list[int]:
    """All but one forecast of each day and place; a record of the past stays."""
    rows = session.exec(
        select(WeatherRun.id, WeatherRun.place_id, WeatherRun.fetched_at)
        .where(
            WeatherRun.fetched_at < old,
            col(WeatherRun.typed).is_(False),
            WeatherRun.kind == place_air.FORECAST,
        )
        .order_by(col(WeatherRun.fetched_at), col(WeatherRun.id))
    ).all()
    kept = set(place_air.one_a_day(rows))
    return [run_id for run_id, _, _ in rows if run_id not in kept]


def tidy_when_due(session: Session, now: datetime) -> bool:
    """Once a day, whoever's clock comes first."""
    duty = session.exec(select(Duty).where(Duty.key == KEY)).one_or_none()
    if duty is not None and now < duty.due_at <= now + EVERY:
        return False
    duty = duty or Duty(kind="beat", key=KEY, due_at=now, created_at=now)
    tidy(session, now)
    duty.succeeded_at, duty.due_at = now, now + EVERY
    session.add(duty)
    return True
