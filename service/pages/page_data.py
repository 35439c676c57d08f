"""What the pages show, taken from the rows; nothing is written here."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlmodel import Session

from models.records import Place, Projection, WeatherRun
from service.actions.shop.jobs import weather_key
from service.actions.weather.place_air import leading
from service.actions.windows.assumed import assumed, usual_of
from service.pages.view import Clock, age
from service.queries import jobs, weather_runs
from service.queries.pours import PourRows, load_pour
from service.queries.projections import latest
from service.request_context import RequestContext
from service.weather import chain
from service.weather.choose import AGEING, FRESH
from service.weather.provider import Provider


@dataclass(frozen=True)
class Weather:
    """How old the weather of a place is, and what stands in the way of newer."""

    place: str
    place_id: int
    source: str
    age: str
    stale: bool
    typed: bool
    failure: str
    services: tuple[str, ...] = ()  # sources of all runs kept, whose hours may be in the answer
    overdue: bool = False  # so old that what is typed goes before it
    lead: WeatherRun | None = None  # the run whose word counts for the hours to come


@dataclass(frozen=True)
class PourData(PourRows):
    """One pour with all that hangs on it."""

    projection: Projection | None
    weather: Weather
    assumed: tuple[str, ...]


def of_pour(context: RequestContext, pour_id: int) -> PourData:
    """The pour of an address; NoSuchRow when there is none."""
    with context.store.reading() as session:
        return pour(session, context.now, pour_id)


def usual(context: RequestContext, data: PourData) -> dict[str, dict[str, Any]]:
    """The values that stand for what is assumed of a pour, by noun and name."""
    with context.store.reading() as session:
        return usual_of(session, data)


def pour(session: Session, now: datetime, pour_id: int) -> PourData:
    """The same in a transaction that is open."""
    rows = load_pour(session, pour_id)
    return PourData(
        **vars(rows),
        projection=latest(session, pour_id),
        weather=weather(session, now, rows.place),
        assumed=assumed(session, rows),
    )


@dataclass(frozen=True)
class Official:
    """One official alert that is not over."""

    place: str
    event: str
    until: str
    headline: str
    advice: str


def official(place: Place, clock: Clock) -> list[Official]:
    """What was officially warned of at the last refresh and is not over."""
    return [
        Official(
            place.name, one["event"] or "", ends.clock, one["headline"] or "", one["advice"] or ""
        )
        for one in place.official_alerts or ()
        if datetime.fromisoformat(one["ends"] or "") > clock.now and (ends := clock(one["ends"]))
    ]


def weather(session: Session, now: datetime, place: Place) -> Weather:
    """The newest run of a place, and how the last try went."""
    return weathers(session, now, [place])[0]


def weathers(session: Session, now: datetime, places: Sequence[Place]) -> list[Weather]:
    """The same of several places, in their order."""
    ids = [place.id for place in places]
    runs = weather_runs.newest_with_hours(session, now, ids)
    services = weather_runs.sources(session, ids)
    failures = jobs.failures(session, [weather_key(place_id) for place_id in ids])
    found = []
    for place in places:
        failure = failures.get(weather_key(place.id), "")
        run = leading(runs.get(place.id, []), now)
        if run is None:
            found.append(Weather(place.name, place.id, "", "", True, False, failure))
            continue
        old = now - (run.fetched_at if run.typed else run.issued_at)
        state = (run.provider, age(old), old >= FRESH, run.typed, failure, services[place.id])
        overdue = run.typed or old >= AGEING
        found.append(Weather(place.name, place.id, *state, overdue, run))
    return found


def credit(services: Provider, weathers: Iterable[Weather]) -> str:
    """The credit of every service whose numbers may be on the page, each once."""
    lines = (chain.credit(services, source) for one in weathers for source in one.services)
    return " ".join(dict.fromkeys(line for line in lines if line))
