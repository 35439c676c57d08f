"""The past of a pour: from an archive where it was logged late, and from what earlier runs said."""

import logging
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
from sqlmodel import Session, col, delete

from models.air.series import AirSeries
from models.errors import Unknown, WeatherUnavailable
from models.records import Place, WeatherRun
from service.actions.weather import place_air
from service.actions.windows.scenario_rows import BEFORE_PLACING
from service.queries import weather_runs
from service.queries.pours import oldest_active_at
from service.queries.rows import find
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
        run = place_air.run_of(air, place_id, now, weather_runs.ARCHIVED)
        session.execute(
            delete(WeatherRun).where(
                *weather_runs.are_records(place_id),
                col(WeatherRun.start_at) >= air.start,
                col(WeatherRun.issued_at) <= air.issued_at,
            )
        )
        session.add(run)
        session.flush()
    return run


def fold_past(session: Session, now: datetime, place_id: int, *, of_several: bool = False) -> None:
    """One row of the hours that active pours of a place have lived through, as told at the time.

    Services begin their answers at the hour of asking, or some hours before: without it those
    hours would be lost as runs are let go. Without an active pour nothing is kept.

    of_several : the last answer has its moisture from another service, which is folded at once
    """
    place = find(session, Place, place_id, "place_id")
    stored = weather_runs.fold_of(session, place_id)
    oldest = oldest_active_at(session, place.id)
    row = None
    if oldest is not None:
        row = place_air.past_of(session, place, now, oldest - BEFORE_PLACING, always=of_several)
    if row is None:
        if stored is not None and oldest is None:
            session.delete(stored)
        return
    if stored is None:
        session.add(row)
        return
    stored.sqlmodel_update(row.model_dump(exclude={"id", "created_at", "ensemble"}))
    session.add(stored)


def _hole(session: Session, place: Place, now: datetime) -> tuple[datetime, datetime] | None:
    """First and last hour that the oldest active pour lacks; None when it was just looked for."""
    oldest = oldest_active_at(session, place.id)
    until = now - NOT_YET_ARCHIVED
    if oldest is None or oldest - BEFORE_PLACING >= until:
        return None
    begin = oldest - BEFORE_PLACING
    air = place_air.joined(session, place, now, begin).air
    if isinstance(air, Unknown):
        return None
    missing = observed_only(air).missing(begin, until)
    answered = weather_runs.archive_answered
    if not missing or answered(session, place.id, now - AGAIN_AFTER, now, missing[0]):
        return None
    return missing[0], missing[-1]


def observed_only(air: AirSeries) -> AirSeries:
    """The hours that somebody saw: an archive goes before what was only foretold."""
    return replace(air, air_C=np.where(air.leads() < 0, air.air_C, np.nan))
