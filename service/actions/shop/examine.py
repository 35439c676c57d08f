"""What the rows of each shop tell of how its server does: one finding each."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from sqlmodel import Session

from models.message import Message, Value
from service.actions.notices import channels
from service.actions.shop import jobs
from service.actions.windows.standing import LASTS, is_fresh
from service.queries import pictures, places, weather_runs
from service.queries.jobs import has_aged, job_of
from service.queries.reminders import oldest_waiting
from service.queries.shops import all_shops
from service.settings import Settings
from service.store import Store
from service.store.shops import ALL, FIRST, within
from service.weather.choose import CLOCKS_APART, grade

HOUR = timedelta(hours=1)
BEAT_WITHIN = timedelta(minutes=2)
OVERDUE_BY = timedelta(minutes=5)
NOBODY_ASKED = "none"  # of the setting `weather`


@dataclass(frozen=True)
class Finding:
    """One line of an examination: what was looked at, whether it is well, what is said of it.
    shop : of which of several; empty of the server, and of the only one"""

    check: str
    well: bool
    told: Message
    shop: str = ""


def well(check: str, code: str, **values: Value) -> Finding:
    return Finding(check, True, Message(code, values))


def ill(check: str, code: str, **values: Value) -> Finding:
    return Finding(check, False, Message(code, values))


def examined(store: Store, settings: Settings, now: datetime) -> Iterator[Finding]:
    """Clock of a server of our schema; windows, notices, weather, channels and pictures of each of
    its shops."""
    with within(FIRST), store.reading() as session:
        yield _clock(session, now)
    with within(ALL), store.reading() as session:
        found = [(one.id, one.name) for one in all_shops(session)] or [(FIRST, "")]
    for shop_id, name in found:
        with within(shop_id), store.reading() as session:
            for one in _of_shop(session, settings, now):
                yield replace(one, shop=name) if len(found) > 1 else one


def _of_shop(session: Session, settings: Settings, now: datetime) -> Iterator[Finding]:
    yield _windows(session, now)
    yield _notices(session, now)
    yield _weather(session, settings, now)
    yield _channels(session, now)
    yield _pictures(session)


def _clock(session: Session, now: datetime) -> Finding:
    row = job_of(session, jobs.BEAT)
    if row is None or row.succeeded_at is None:
        return ill("clock", "doctor_clock_never")
    age = now - row.succeeded_at
    if is_fresh(row.succeeded_at, now, BEAT_WITHIN):
        return well("clock", "doctor_clock", age_s=max(age.total_seconds(), 0.0))
    if age < -CLOCKS_APART:
        return ill("clock", "doctor_clock_ahead", age_h=-age / HOUR)
    return ill("clock", "doctor_clock_stopped", age_h=age / HOUR)


def _windows(session: Session, now: datetime) -> Finding:
    if has_aged(session, now, LASTS):
        return ill("windows", "doctor_windows_aged", lasts_min=LASTS / timedelta(minutes=1))
    return well("windows", "doctor_windows")


def _notices(session: Session, now: datetime) -> Finding:
    oldest = oldest_waiting(session, now)
    if oldest is not None and now - oldest > OVERDUE_BY:
        return ill("notices", "doctor_notices_late", age_h=(now - oldest) / HOUR)
    return well("notices", "doctor_notices")


def _weather(session: Session, settings: Settings, now: datetime) -> Finding:
    if settings.weather == NOBODY_ASKED:
        return well("weather", "doctor_weather_none")
    used = [one for one in places.in_use(session) if one.latitude is not None]
    if not used:
        return well("weather", "doctor_weather_unused")
    for place in used:
        _, fetched_at, _ = weather_runs.newest(session, place.id)
        row = job_of(session, jobs.weather_key(place.id))
        failure = row.failure if row is not None else ""
        why = (Message("doctor_because", {"reason": failure}),) if failure else ()
        if fetched_at is None:
            return ill("weather", "doctor_weather_never", name=place.name, why=why)
        if grade(fetched_at, now) != "fresh":
            age_h = (now - fetched_at) / HOUR
            code = "doctor_weather_ahead" if age_h < 0 else "doctor_weather_stale"
            return ill("weather", code, name=place.name, age_h=abs(age_h), why=why)
    return well("weather", "doctor_weather", places=len(used))


def _channels(session: Session, now: datetime) -> Finding:
    failing = channels.failing(session, now)
    if failing:
        each = tuple(
            Message("doctor_channel", {"name": one.shown, "reason": one.reason}) for one in failing
        )
        return ill("channels", "doctor_channels_failing", each=each)
    count = sum(len(one.ways) for one in channels.listeners(session))
    return well("channels", "doctor_channels" if count else "doctor_channels_none", count=count)


def _pictures(session: Session) -> Finding:
    kept = list(pictures.as_kept(session))
    damaged = kept.count(False)
    if damaged:
        return ill("pictures", "doctor_pictures_damaged", damaged=damaged, count=len(kept))
    return well("pictures", "doctor_pictures", count=len(kept))
