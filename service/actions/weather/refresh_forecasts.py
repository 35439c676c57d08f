"""Ask the weather services about a place and keep the answer, or what a person typed."""

import logging
from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlmodel import Session, col, update

from models.air.series import AirSeries
from models.errors import InputError, WeatherUnavailable
from models.records import Place, WeatherRun
from service.actions.shop import jobs
from service.actions.weather import place_air
from service.actions.weather.fill_past import fill_past, fold_past
from service.actions.weather.known_air import known_air
from service.queries.rows import find
from service.queries.weather_runs import newest_of_source, typed_since
from service.store import Store
from service.weather.chain import Chain
from service.weather.choose import CLOCKS_APART
from service.weather.provider import Known, Provider, Warns

EVERY = timedelta(hours=1)
TYPED_REACHES = timedelta(days=3)  # a typed night is told for so many days
BEHIND = timedelta(seconds=1)  # an answer that only fills another's gaps does not lead
log = logging.getLogger("castclock.weather")
UNDATED_LASTS = timedelta(hours=24)  # an alert that does not say when it ends
ANSWER = ("issued_at", "start_at", "hour_count", "hours", "ensemble")


def refresh_forecast(
    store: Store, now: datetime, place_id: int, provider: Provider, every: timedelta = EVERY
) -> WeatherRun:
    """A fresh run for the place; every active pour there is due for projection.

    No transaction is open while the service is asked. Raises WeatherUnavailable, after the
    reason and the next attempt were written down.
    """
    with store.reading() as session:
        place = find(session, Place, place_id, "place_id")
        known = known_air(session, place, now)
    if place.latitude is None or place.longitude is None:
        raise InputError(
            "latitude", None, f"{place.name} has no coordinates", "the place's coordinates first"
        )
    try:
        lead, *others = _fetch(provider, place, now, known)
    except WeatherUnavailable as error:
        with store.unit_of_work() as session:
            job = jobs.forecast_due(session, now, place_id)
            wait = error.retry_after_s
            jobs.failed(job, now, str(error), timedelta(seconds=wait) if wait is not None else None)
            session.add(job)
        _keep_alerts(store, provider, place, now)
        raise
    with store.unit_of_work() as session:
        for other in others:
            _stored(session, other, place_id, now - BEHIND)
        run = _stored(session, lead, place_id, now)
        if run.ensemble is not None:
            _only_members_of(session, run)
        job = jobs.forecast_due(session, now, place_id)
        jobs.succeeded(job, now, now + every)
        session.add(job)
        jobs.projections_due_at(session, now, place_id)
        session.flush()
    fill_past(store, now, place_id, provider)
    with store.unit_of_work() as session:
        fold_past(session, now, place_id, of_several=bool(others))
    _keep_alerts(store, provider, place, now)
    return run


def _fetch(provider: Provider, place: Place, now: datetime, known: Known) -> tuple[AirSeries, ...]:
    """The answer that leads and those that tell what it lacks."""
    assert place.latitude is not None
    assert place.longitude is not None
    at = place.latitude, place.longitude
    if isinstance(provider, Chain):
        return provider.forecasts(*at, now, place.altitude_m, known)
    return (provider.forecast(*at, now, place.altitude_m),)


def _keep_alerts(store: Store, provider: Provider, place: Place, now: datetime) -> None:
    """What is officially warned of there; without an answer what was told before stands."""
    if not isinstance(provider, Warns) or place.latitude is None or place.longitude is None:
        return
    try:
        alerts = provider.alerts(place.latitude, place.longitude, now)
    except WeatherUnavailable as error:
        log.warning("official alerts: %s", error)
        return
    with store.unit_of_work() as session:
        row = find(session, Place, place.id, "place_id")
        row.official_alerts = [
            {
                "event": one.event,
                "about": one.about,
                "severity": one.severity,
                "begins": one.begins.isoformat() if one.begins else None,
                "ends": (one.ends or now + UNDATED_LASTS).isoformat(),
                "headline": one.headline,
                "advice": one.advice,
            }
            for one in alerts
        ]
        session.add(row)


def _stored(session: Session, air: AirSeries, place_id: int, now: datetime) -> WeatherRun:
    """A new run; or the last one of that source, when the service has nothing newer.

    The same answer again only shows that it still holds. One of an older issue, as a forgotten
    copy on the way gives, takes nothing away and makes nothing younger.
    """
    new = place_air.run_of(air, place_id, now)
    last = newest_of_source(session, place_id, new.provider)
    if last is not None and new.issued_at < last.issued_at <= now + CLOCKS_APART:
        return last
    if last is not None and all(getattr(last, name) == getattr(new, name) for name in ANSWER):
        last.fetched_at = now
        return last
    session.add(new)
    return new


def _only_members_of(session: Session, run: WeatherRun) -> None:
    """Members fill a row as nothing else does, and only the newest are ever drawn from."""
    session.flush()
    session.execute(
        update(WeatherRun)
        .where(
            col(WeatherRun.place_id) == run.place_id,
            col(WeatherRun.id) != run.id,
            col(WeatherRun.ensemble).is_not(None),
        )
        .values(ensemble=None)
        .execution_options(synchronize_session=False)
    )


def type_weather(
    session: Session, now: datetime, place_id: int, night_low_C: float, day_high_C: float
) -> WeatherRun:
    """Tonight's low and tomorrow's high, typed because there is no forecast."""
    place = find(session, Place, place_id, "place_id")
    run = place_air.run_of(place_air.by_hand(night_low_C, day_high_C, place, now), place_id, now)
    session.add(run)
    jobs.projections_due_at(session, now, place_id)
    session.flush()
    return run


def untype_weather(session: Session, now: datetime, place_id: int) -> Sequence[WeatherRun]:
    """What was typed of nights that are not over is taken back, and handed back; the forecast
    counts again."""
    find(session, Place, place_id, "place_id")
    gone = typed_since(session, place_id, now - TYPED_REACHES)
    for run in gone:
        session.delete(run)
    jobs.projections_due_at(session, now, place_id)
    session.flush()
    return gone
