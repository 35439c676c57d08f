"""How old a forecast is, when it is of no more use, and what is said of its age or its lack."""

from datetime import datetime, timedelta
from typing import Literal

from models.air.series import HOUR
from models.errors import Unknown
from models.message import Message
from models.records import Place, WeatherRun

Grade = Literal["fresh", "ageing", "stale", "none"]

FRESH = timedelta(hours=6)
AGEING = timedelta(hours=24)
STALE = timedelta(hours=72)
CLOCKS_APART = timedelta(minutes=5)  # two machines' clocks; more is no longer a young forecast


def grade(issued_at: datetime, now: datetime) -> Grade:
    """fresh under 6 h, ageing under 24 h, stale under 72 h; beyond that, or of the future, none."""
    age = now - issued_at
    if age < -CLOCKS_APART or age >= STALE:
        return "none"
    if age < FRESH:
        return "fresh"
    return "ageing" if age < AGEING else "stale"


def age_messages(lead: WeatherRun, now: datetime) -> tuple[Message, ...]:
    if lead.typed:
        return (Message("weather_typed", {"source": lead.provider}),)
    age = now - lead.fetched_at
    if grade(lead.fetched_at, now) == "fresh":
        return ()
    return (Message("forecast_is_old", {"age_h": age / HOUR, "source": lead.provider}),)


def too_old(place: Place, lead: WeatherRun, now: datetime) -> Unknown:
    age_h = (now - lead.fetched_at) / HOUR
    return Unknown(
        Message("weather_at", {"name": place.name}),
        Message("forecast_too_old", {"age_h": age_h, "longest_h": STALE / HOUR}),
        Message("wait_for_weather"),
    )


def nothing(place: Place) -> Unknown:
    what = Message("weather_at", {"name": place.name})
    if place.latitude is None:
        return Unknown(what, Message("place_without_coordinates"), Message("give_coordinates"))
    return Unknown(what, Message("nothing_fetched"), Message("wait_for_weather"))
