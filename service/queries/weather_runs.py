"""Runs of weather that are kept of a place."""

from collections.abc import Collection, Sequence
from datetime import datetime

from sqlalchemy import ColumnElement
from sqlalchemy.orm import defer
from sqlmodel import Session, col, func, select

from models.records import WeatherRun
from service.queries.part import Part
from service.weather.choose import CLOCKS_APART

FORECAST, ARCHIVED, PAST = "forecast", "archive", "past"  # kinds of runs; the last two lead nothing
WITHOUT_HOURS = (defer(WeatherRun.hours), defer(WeatherRun.ensemble))  # type: ignore[arg-type]


def heads(session: Session, place_id: int, now: datetime) -> Sequence[WeatherRun]:
    """All runs of a place without their hours, the newest first."""
    return session.exec(
        select(WeatherRun)
        .where(WeatherRun.place_id == place_id, WeatherRun.fetched_at <= now)
        .options(*WITHOUT_HOURS)
        .order_by(col(WeatherRun.fetched_at).desc(), col(WeatherRun.id).desc())
    ).all()


def newest(session: Session, place_id: int) -> tuple[int | None, datetime | None, int]:
    """Key, time and number: another triple once anything was fetched, typed, folded or let go."""
    wanted = select(func.max(WeatherRun.id), func.max(WeatherRun.fetched_at), func.count())
    return session.exec(wanted.where(WeatherRun.place_id == place_id)).one()


def fill_hours(session: Session, runs: Sequence[WeatherRun]) -> None:
    """Read the hours of runs that were read without."""
    session.exec(
        select(WeatherRun)
        .where(col(WeatherRun.id).in_([run.id for run in runs]))
        .execution_options(populate_existing=True)
    ).all()


def fold_of(session: Session, place_id: int) -> WeatherRun | None:
    """The one run that holds what active pours of a place have lived through."""
    return session.exec(
        select(WeatherRun).where(WeatherRun.place_id == place_id, WeatherRun.kind == PAST)
    ).first()


def newest_of_source(session: Session, place_id: int, provider: str) -> WeatherRun | None:
    """The run of a source that was issued last, for where the place is now."""
    return session.exec(
        select(WeatherRun)
        .where(
            WeatherRun.place_id == place_id,
            WeatherRun.provider == provider,
            col(WeatherRun.moved).is_(False),
        )
        .order_by(col(WeatherRun.issued_at).desc(), col(WeatherRun.id).desc())
        .limit(1)
    ).one_or_none()


def last_added(session: Session, place_id: int, part: Part) -> Sequence[WeatherRun]:
    """The runs of a place that were added last, without their hours."""
    wanted = select(WeatherRun).where(WeatherRun.place_id == place_id).options(*WITHOUT_HOURS)
    return part.rows(session, wanted, col(WeatherRun.id), newest_first=True)


def newest_with_hours(
    session: Session, now: datetime, place_ids: Collection[int]
) -> dict[int, list[WeatherRun]]:
    """Of each place the newest run of a service and the newest typed one, without their members."""
    rank = func.row_number().over(
        partition_by=(col(WeatherRun.place_id), col(WeatherRun.typed)),
        order_by=(col(WeatherRun.fetched_at).desc(), col(WeatherRun.id).desc()),
    )
    counted = (
        select(WeatherRun.id, rank.label("rank"))
        .where(
            col(WeatherRun.place_id).in_(place_ids),
            WeatherRun.fetched_at <= now,
            WeatherRun.kind == FORECAST,
        )
        .subquery()
    )
    found: dict[int, list[WeatherRun]] = {}
    for run in session.exec(
        select(WeatherRun)
        .join(counted, col(WeatherRun.id) == counted.c.id)
        .where(counted.c.rank == 1)
        .options(defer(WeatherRun.ensemble))  # type: ignore[arg-type]
    ):
        found.setdefault(run.place_id, []).append(run)
    return found


def typed_since(session: Session, place_id: int, since: datetime) -> Sequence[WeatherRun]:
    """What was typed of a place since an instant."""
    return session.exec(
        select(WeatherRun).where(
            WeatherRun.place_id == place_id,
            col(WeatherRun.typed).is_(True),
            WeatherRun.fetched_at >= since,
        )
    ).all()


def sources(session: Session, place_ids: Collection[int]) -> dict[int, tuple[str, ...]]:
    """Sources of all runs kept of each place, typed ones left out."""
    found = session.exec(
        select(WeatherRun.place_id, WeatherRun.provider)
        .where(col(WeatherRun.place_id).in_(place_ids), col(WeatherRun.typed).is_(False))
        .distinct()
        .order_by(WeatherRun.provider)
    ).all()
    return {key: tuple(name for place_id, name in found if place_id == key) for key in place_ids}


def forecast_times(session: Session, before: datetime) -> Sequence[tuple[int, int, datetime]]:
    """Key, place and time of fetched runs, the oldest first; records of the past do not count."""
    return session.exec(
        select(WeatherRun.id, WeatherRun.place_id, WeatherRun.fetched_at)
        .where(
            WeatherRun.fetched_at < before,
            col(WeatherRun.typed).is_(False),
            WeatherRun.kind == FORECAST,
        )
        .order_by(col(WeatherRun.fetched_at), col(WeatherRun.id))
    ).all()


def fetched_between(
    session: Session, place_id: int, since: datetime, now: datetime
) -> Sequence[tuple[int, int, datetime, str]]:
    """Key, place, time and source of the runs of a place, the oldest first."""
    return session.exec(
        select(WeatherRun.id, WeatherRun.place_id, WeatherRun.fetched_at, WeatherRun.provider)
        .where(
            WeatherRun.place_id == place_id,
            col(WeatherRun.typed).is_(False),
            WeatherRun.kind != PAST,
            WeatherRun.fetched_at > since,
            WeatherRun.fetched_at <= now,
        )
        .order_by(col(WeatherRun.fetched_at), col(WeatherRun.id))
    ).all()


def by_ids(session: Session, run_ids: Sequence[int]) -> Sequence[WeatherRun]:
    """Runs with their hours but without their members, the oldest first."""
    return session.exec(
        select(WeatherRun)
        .where(col(WeatherRun.id).in_(run_ids))
        .options(defer(WeatherRun.ensemble))  # type: ignore[arg-type]
        .order_by(col(WeatherRun.fetched_at), col(WeatherRun.id))
    ).all()


def are_records(place_id: int) -> tuple[ColumnElement[bool], ...]:
    """Conditions of the runs that an archive gave of a place."""
    return (
        col(WeatherRun.place_id) == place_id,
        col(WeatherRun.kind) == ARCHIVED,
        col(WeatherRun.moved).is_(False),
    )


def archive_answered(
    session: Session, place_id: int, since: datetime, now: datetime, hour: datetime
) -> bool:
    """Whether the archive was asked about an hour since, and answered."""
    return bool(
        session.exec(
            select(func.count())
            .select_from(WeatherRun)
            .where(
                *are_records(place_id),
                WeatherRun.fetched_at > since,
                WeatherRun.fetched_at <= now + CLOCKS_APART,
                WeatherRun.start_at <= hour,
            )
        ).one()
    )
