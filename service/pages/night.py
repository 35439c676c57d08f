"""The coming night in words: how cold outdoors, how hard a frost, and what was typed of it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from models.message import Message
from models.records import Place, WeatherRun
from service.words import Reader, measure, say

MORNING = time(9)  # the coldest hour is over
WAKES = time(5)  # who asks later means the night to come
NIGHT = timedelta(hours=15)
HARD_C = -2.0  # the white bloom of a lighter frost needs no more; common practice
HOUR = timedelta(hours=1)
OUTDOORS = ("open yard", "covered")


@dataclass(frozen=True)
class Night:
    """The lowest air outdoors of one night [degC], where, and about when."""

    place: str
    low_C: float
    at: datetime


def span(now: datetime, timezone: str) -> tuple[datetime, datetime]:
    """From dusk or now to the morning after, on the clock of a place."""
    local = now.astimezone(ZoneInfo(timezone))
    day = local.date() + timedelta(days=local.time() >= WAKES)
    end = datetime.combine(day, MORNING, tzinfo=local.tzinfo)
    return max(now, end - NIGHT), end


def lowest(places: Iterable[tuple[Place, WeatherRun | None]], now: datetime) -> Night | None:
    """The coldest of the nights outdoors; None where nothing is known of any."""
    nights = (_night(place, run, now) for place, run in places if run is not None)
    return min((one for one in nights if one), key=lambda night: night.low_C, default=None)


def _night(place: Place, run: WeatherRun, now: datetime) -> Night | None:
    begin, end = span(now, place.timezone)
    air = [
        (value, run.start_at + k * HOUR)
        for k, value in enumerate(run.hours.get("air_C", ()))
        if value is not None and begin <= run.start_at + k * HOUR <= end
    ]
    if not air:
        return None
    low_C, at = min(air)
    return Night(place.name, low_C, at)


def _frost(low_C: float) -> Message | str:
    if low_C >= 0:
        return ""
    return Message("a_hard_frost") if low_C <= HARD_C else Message("a_frost")


def low_words(low_C: float, reader: Reader) -> str:
    """`down to -7 °C, a hard frost`."""
    low = measure(low_C, "temperature_C", reader)
    return say(Message("night_low", {"low": low, "frost": _frost(low_C)}), reader)


def typed_words(low_C: float, high_C: float, reader: Reader) -> str:
    """`-7 °C tonight, a hard frost, 1 °C tomorrow`: a typed pair as it was understood."""
    low, high = (measure(one, "temperature_C", reader) for one in (low_C, high_C))
    values = {"low": low, "high": high, "frost": _frost(low_C)}
    return say(Message("typed_night", values), reader)


def typed_pair(run: WeatherRun) -> tuple[float, float]:
    """The two temperatures that a typed run was made of."""
    air = [value for value in run.hours["air_C"] if value is not None]
    return min(air), max(air)
