"""What is said of the weather a place stands on, or of its lack."""

from datetime import datetime, timedelta

from models.errors import Unknown
from models.message import Message
from models.records import Place, WeatherRun
from service.weather import choose

HOUR = timedelta(hours=1)


def said(lead: WeatherRun, now: datetime) -> tuple[Message, ...]:
    if lead.typed:
        return (Message("weather_typed", {"source": lead.provider}),)
    age = now - lead.fetched_at
    if choose.grade(lead.fetched_at, now) == "fresh":
        return ()
    return (Message("forecast_is_old", {"age_h": age / HOUR, "source": lead.provider}),)


def too_old(place: Place, lead: WeatherRun, now: datetime) -> Unknown:
    age_h = (now - lead.fetched_at) / HOUR
    return Unknown(
        Message("weather_at", {"name": place.name}),
        Message("forecast_too_old", {"age_h": age_h, "longest_h": choose.STALE / HOUR}),
        Message("wait_for_weather"),
    )


def nothing(place: Place) -> Unknown:
    if place.latitude is None:
        return Unknown(
            Message("weather_at", {"name": place.name}),
            Message("place_without_coordinates"),
            Message("give_coordinates"),
        )
    return Unknown(
        Message("weather_at", {"name": place.name}),
        Message("nothing_fetched"),
        Message("wait_for_weather"),
    )
