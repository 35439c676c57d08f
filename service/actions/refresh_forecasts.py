"""Ask the weather service about a place and keep its answer, or what a person typed."""

from datetime import datetime, timedelta

from sqlmodel import Session, col, update

from models.errors import InputError, WeatherUnavailable
from models.records import Place, WeatherRun
from service.actions import _air, _duty
from service.actions._rows import find
from service.store import Store
from service.weather.provider import Provider

EVERY = timedelta(hours=1)


def refresh_forecast(
    store: Store, now: datetime, place_id: int, provider: Provider, every: timedelta = EVERY
) -> WeatherRun:
    """A fresh run for the place; every active pour there is due for projection.

    No transaction is open while the service is asked. Raises WeatherUnavailable, after the
    reason and the next attempt were written down.
    """
    with store.reading() as session:
        place = find(session, Place, place_id, "place_id")
    if place.latitude is None or place.longitude is None:
        raise InputError(
            "latitude", None, f"{place.name} has no coordinates", "the place's coordinates first"
        )
    try:
        air = provider.forecast(place.latitude, place.longitude, now)
    except WeatherUnavailable as error:
        with store.unit_of_work() as session:
            duty = _duty.forecast_due(session, now, place_id)
            wait = error.retry_after_s
            _duty.failed(
                duty, now, str(error), timedelta(seconds=wait) if wait is not None else None
            )
            session.add(duty)
        raise
    with store.unit_of_work() as session:
        run = _air.run_of(air, place_id, now)
        session.add(run)
        if run.ensemble is not None:
            _only_members_of(session, run)
        duty = _duty.forecast_due(session, now, place_id)
        _duty.succeeded(duty, now, now + every)
        session.add(duty)
        _duty.projections_due_at(session, now, place_id)
        session.flush()
    return run


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
    run = _air.run_of(_air.by_hand(night_low_C, day_high_C, place, now), place_id, now, typed=True)
    session.add(run)
    _duty.projections_due_at(session, now, place_id)
    session.flush()
    return run
