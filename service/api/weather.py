"""The weather of a place: what was fetched, fetch now, or type two numbers."""

from datetime import datetime
from typing import Annotated, TypeVar

from fastapi import APIRouter, Depends
from fastapi.responses import JSONResponse
from pydantic import Field
from sqlmodel import Session

from models.records import Place, WeatherRun
from models.records.fields import Temperature, YesNo
from service.actions.pours import doubtful
from service.actions.shop import jobs
from service.actions.weather.refresh_forecasts import refresh_forecast, type_weather
from service.api.idempotency import IdempotentPostDep
from service.api.listing import Page, paged
from service.nouns.base import RequestBody, ResponseBody
from service.queries.jobs import job_of
from service.queries.rows import find
from service.queries.weather_runs import last_added
from service.request_context import ContextDep, Key, RequestContext
from service.weather import chain

router = APIRouter(tags=["weather"])
PageOf10 = Annotated[Page, Depends(paged(10, most=200))]


class NightRequest(RequestBody):
    night_low_C: Temperature
    day_high_C: Temperature
    confirm: YesNo = Field(default=False, description="store it though its unit is doubtful")


class RunRead(ResponseBody):
    """`attribution` is the credit that must stand where the numbers are shown."""

    id: int
    place_id: int
    provider: str
    typed: bool
    issued_at: datetime
    fetched_at: datetime
    start_at: datetime
    hour_count: int
    attribution: str = ""


class HoursRead(RunRead):
    hours: dict[str, list[float | None]]


T = TypeVar("T", bound=RunRead)


class WeatherRead(ResponseBody):
    """`failure` is why the last try gave nothing; `next_try_at` when the clock tries again."""

    place_id: int
    next_try_at: datetime | None
    succeeded_at: datetime | None
    failed_at: datetime | None
    failure: str
    runs: list[RunRead]


def _credited(kind: type[T], run: WeatherRun, context: RequestContext) -> T:
    body = kind.model_validate(run)
    body.attribution = "" if run.typed else chain.credit(context.weather, run.provider)
    return body


@router.get("/places/{place_id}/weather")
def read_weather(place_id: Key, context: ContextDep, page: PageOf10) -> WeatherRead:
    """The newest runs, without their hours."""
    with context.store.reading() as session:
        find(session, Place, place_id, "place_id")
        job = job_of(session, jobs.weather_key(place_id))
        runs = last_added(session, place_id, page.part)
        told = WeatherRead(
            place_id=place_id,
            next_try_at=job.due_at if job else None,
            succeeded_at=job.succeeded_at if job else None,
            failed_at=job.failed_at if job else None,
            failure=job.failure if job else "",
            runs=[_credited(RunRead, run, context) for run in runs],
        )
        return page.told(told)


@router.get("/weather-runs/{run_id}")
def read_run(run_id: Key, context: ContextDep) -> HoursRead:
    with context.store.reading() as session:
        return _credited(HoursRead, find(session, WeatherRun, run_id, "run_id"), context)


@router.post("/places/{place_id}/weather/refresh", status_code=201, response_model=RunRead)
def refresh(place_id: Key, post: IdempotentPostDep) -> JSONResponse:
    """Ask the weather service now; active pours there are projected by the clock."""
    context = post.context
    return post.compute(
        lambda: _credited(
            RunRead,
            refresh_forecast(context.store, context.now, place_id, context.weather),
            context,
        ),
        status=201,
    )


@router.post("/places/{place_id}/weather/typed", status_code=201, response_model=RunRead)
def type_night(place_id: Key, wanted: NightRequest, post: IdempotentPostDep) -> JSONResponse:
    """Tonight's low and tomorrow's high, when there is no forecast."""
    now = post.now

    def work(session: Session) -> WeatherRun:
        found = doubtful.of_night(session, now, place_id, wanted.model_dump())
        run = type_weather(session, now, place_id, wanted.night_low_C, wanted.day_high_C)
        doubtful.ask(found, wanted.confirm)  # rolls back; what cannot be was refused before
        return run

    return post.write(RunRead, work)
