"""Is the process up, and is it of use: database, schema, clock, overdue notices, weather."""

from datetime import datetime, timedelta
from typing import Annotated, get_args

from fastapi import APIRouter, Response
from pydantic import Field

from service import store
from service.actions.notices import channels
from service.actions.shop import broker, jobs
from service.actions.windows.standing import LASTS, is_fresh
from service.nouns.base import ResponseBody
from service.queries.jobs import has_aged, job_of, weather_jobs
from service.queries.reminders import oldest_waiting
from service.request_context import ContextDep
from service.store.shops import ALL, FIRST, within
from service.vocabulary import OneOf
from service.weather import chain
from service.weather.health import State

router = APIRouter(tags=["health"])
versioned = APIRouter(tags=["health"])
ServiceState = Annotated[str, OneOf("ServiceState", get_args(State))]
BEAT_WITHIN = timedelta(minutes=2)
OVERDUE_BY = timedelta(minutes=5)


class Health(ResponseBody):
    ready: bool
    schema_is_current: bool
    clock_beats: bool
    notices_go_out: bool
    database_takes_writes: bool
    windows_are_fresh: bool
    failing_channels: list[str]
    broker_is_there: bool | None = Field(
        default=None, description="at which instruments are heard; null where none is set"
    )


CHECKS = tuple(
    name for name in Health.model_fields if name not in ("failing_channels", "broker_is_there")
)


class ServiceRead(ResponseBody):
    """One weather service as this process has found it since its start.

    state : refusing: our places, for good
    words : of the last failure; remark : what the last answer lacked
    next_try_at : null when it is asked whenever a forecast is due
    """

    provider: str
    host: str
    state: ServiceState
    last_success: datetime | None
    last_failure: datetime | None
    words: str
    failures: int
    remark: str
    next_try_at: datetime | None


class PlaceWeather(ResponseBody):
    """When the clock fetches the weather of a place next, and why the last try gave nothing."""

    place_id: int
    succeeded_at: datetime | None
    failed_at: datetime | None
    failure: str
    next_try_at: datetime


class WeatherHealth(ResponseBody):
    services: list[ServiceRead]
    places: list[PlaceWeather]


@router.get("/healthz")
def healthz() -> dict[str, str]:
    return {"process": "up"}


@router.get("/readyz", responses={503: {"model": Health}})
def readyz(context: ContextDep, response: Response) -> Health:
    """503 when no write is kept, the schema is old, the clock has not beaten for 2 min, a notice
    is 5 min late, or the windows of an active pour are older than they last. Channels over which
    the last notice did not go out are named, and a broker that is away: pages and clock are of use
    without them."""
    if not context.store.takes_writes():
        response.status_code = 503
        return Health(**dict.fromkeys(CHECKS, False), failing_channels=[])
    with within(ALL), context.store.reading() as session:
        oldest = oldest_waiting(session, context.now)
        fresh = not has_aged(session, context.now, LASTS)
    with within(FIRST), context.store.reading() as session:
        beat = job_of(session, jobs.BEAT)
        # kinds alone: whoever asks need not be signed in
        mute = [one.kind for one in channels.failing(session, context.now)]
        away = broker.away(session, context.settings, context.now)
    current = context.store.revision() == store.head()
    beats = beat is not None and (
        beat.succeeded_at is not None and is_fresh(beat.succeeded_at, context.now, BEAT_WITHIN)
    )
    in_time = oldest is None or context.now - oldest <= OVERDUE_BY
    health = Health(
        ready=current and beats and in_time and fresh,
        schema_is_current=current,
        clock_beats=beats,
        notices_go_out=in_time,
        database_takes_writes=True,
        windows_are_fresh=fresh,
        failing_channels=mute,
        broker_is_there=None if context.settings.broker is None else away is None,
    )
    if not health.ready:
        response.status_code = 503
    return health


@versioned.get("/health")
def read_health(context: ContextDep) -> WeatherHealth:
    """The weather services one by one, and the places that are fetched for."""
    with context.store.reading() as session:
        due_jobs = [job for job, _ in weather_jobs(session)]
    services = [
        ServiceRead(
            **vars(one),
            state=one.state,
            next_try_at=one.rests_until if one.rests(context.now) else None,
        )
        for one in chain.health(context.weather)
    ]
    places = [
        PlaceWeather(**job.model_dump(), next_try_at=job.due_at)
        for job in due_jobs
        if job.place_id is not None
    ]
    return WeatherHealth(services=services, places=places)
