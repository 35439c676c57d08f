"""The past of a pour that was logged late, from an archive: forecasts reach back some days only."""

import logging
from datetime import datetime, timedelta

from sqlalchemy import ColumnElement
from sqlmodel import Session, col, delete, func, select

from models.errors import Unknown, WeatherUnavailable
from models.records import Place, Pour, WeatherRun
from service.actions import _air
from service.actions._rows import find
from service.actions._scenario import LOOK_BACK
from service.store import Store
from service.weather.provider import Archive, Provider

NOT_YET_ARCHIVED = timedelta(days=2)  # what is younger, forecasts bring along themselves
AGAIN_AFTER = timedelta(days=1)  # a hole that the archive has too

log = logging.getLogger("castclock.weather")


def fill_past(store: Store, now: datetime, place_id: int, provider: Provider) -> WeatherRun | None:
    """A run of the hours that the oldest active pour needs and that no run holds, if any.

    No transaction is open while the archive is asked; without its answer all stays as it was.
    """
    if not isinstance(provider, Archive):
        return None
    with store.reading() as session:
        place = find(session, Place, place_id, "place_id")
        hole = _hole(session, place, now)
    if hole is None or place.latitude is None or place.longitude is None:
        return None
    try:
        air = provider.record(place.latitude, place.longitude, *hole, now)
    except WeatherUnavailable as error:
        log.warning("%s: %s to %s stay without weather", error, *(at.isoformat() for at in hole))
        return None
    with store.unit_of_work() as session:
        run = _air.run_of(air, place_id, now)
        session.execute(
            delete(WeatherRun).where(
                *_records(place_id),
                col(WeatherRun.start_at) >= air.start,
                col(WeatherRun.issued_at) <= air.issued_at,
            )
        )
        session.add(run)
        session.flush()
    return run


def _hole(session: Session, place: Place, now: datetime) -> tuple[datetime, datetime] | None:
    """First and last hour that the oldest active pour lacks; None when it was just looked for."""
    oldest = session.exec(
        select(func.min(Pour.placed_at)).where(
            Pour.place_id == place.id, col(Pour.closed_at).is_(None)
        )
    ).one()
    until = now - NOT_YET_ARCHIVED
    if oldest is None or oldest - LOOK_BACK >= until:
        return None
    begin = oldest - LOOK_BACK
    air = _air.joined(session, place, now, begin).air
    if isinstance(air, Unknown):
        return None
    missing = air.missing(begin, until)
    if not missing or _just_asked(session, place, now, missing[0]):
        return None
    return missing[0], missing[-1]


def _just_asked(session: Session, place: Place, now: datetime, first: datetime) -> bool:
    """Whether the archive has lately answered about that hour, and had nothing."""
    return bool(
        session.exec(
            select(func.count())
            .select_from(WeatherRun)
            .where(
                *_records(place.id),
                WeatherRun.fetched_at > now - AGAIN_AFTER,
                WeatherRun.start_at <= first,
            )
        ).one()
    )


def _records(place_id: int) -> tuple[ColumnElement[bool], ...]:
    return (
        col(WeatherRun.place_id) == place_id,
        col(WeatherRun.provider) == _air.RECORD,
    )
