"""How the weather services do, and when each place is fetched for, as the shop page tells it."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from service.pages import view
from service.queries.jobs import weather_jobs
from service.request_context import RequestContext
from service.weather import chain
from service.weather.health import Health
from service.weather.open_meteo import FREE_HOSTS, TERMS


@dataclass(frozen=True)
class Service:
    """One service, in words; `details` are whole sentences."""

    name: str
    state: str
    failing: bool
    details: tuple[str, ...]


@dataclass(frozen=True)
class Fetched:
    """The weather of one place: the next fetching, and why the last one gave nothing."""

    name: str
    failure: str
    failed: view.Moment | None
    next: view.Moment | None


def services(context: RequestContext, clock: view.Clock) -> list[Service]:
    return [_service(one, clock) for one in chain.health(context.weather)]


def places(session: Session, clock: view.Clock) -> Sequence[Fetched]:
    found = [
        (place.name, job) for job, place in weather_jobs(session) if place.latitude is not None
    ]
    return [
        Fetched(name, job.failure.rstrip("."), clock(job.failed_at), clock(job.due_at))
        for name, job in sorted(found, key=lambda one: one[0])
    ]


def _service(one: Health, clock: view.Clock) -> Service:
    details = []
    if one.host in FREE_HOSTS:
        details.append(f"{TERMS}.")
    if one.last_success is not None:
        details.append(f"Answered {view.age(clock.now - one.last_success)} ago.")
    if one.remark:
        details.append(f"{one.remark[0].upper()}{one.remark[1:]}.")
    if one.last_failure is not None:
        ago = view.age(clock.now - one.last_failure)
        details.append(f"Gave none {ago} ago: {one.words.rstrip('.')}.")
    if one.rests(clock.now):
        rest = clock(one.rests_until)
        details.append(f"Not asked before {rest.clock}." if rest else "")
    state = f"failing, {one.failures} in a row" if one.failures > 1 else one.state
    return Service(one.provider, state, one.failures > 0, tuple(details))
