"""What is said of the weather a place stands on, or of its lack."""

from datetime import datetime, timedelta

from models.errors import Unknown
from models.records import Place, WeatherRun
from service.weather import choose

HOUR = timedelta(hours=1)


def said(lead: WeatherRun, now: datetime) -> tuple[str, ...]:
    if lead.typed:
        return (f"weather {lead.provider}; a forecast or a reading would make this surer",)
    age = now - lead.fetched_at
    if choose.grade(lead.fetched_at, now) == "fresh":
        return ()
    return (f"the forecast is {age / HOUR:.0f} h old: {lead.provider} gave none since",)


def too_old(place: Place, lead: WeatherRun, now: datetime) -> Unknown:
    age_h = (now - lead.fetched_at) / HOUR
    return Unknown(
        f"the weather at {place.name}",
        f"the last forecast is {age_h:.0f} h old, and none counts after"
        f" {choose.STALE / HOUR:.0f} h",
        "wait for the weather service, or type tonight's low and tomorrow's high",
    )


def nothing(place: Place) -> Unknown:
    if place.latitude is None:
        return Unknown(
            f"the weather at {place.name}",
            "the place has no latitude and longitude, and nothing was typed",
            "give the place its coordinates, or type tonight's low and tomorrow's high",
        )
    return Unknown(
        f"the weather at {place.name}",
        "no forecast has been fetched yet",
        "wait for the weather service, or type tonight's low and tomorrow's high",
    )
