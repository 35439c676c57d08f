"""Official alerts in force for a point: frost, freeze, wind, heat, rain and whatever else.

What cannot be read in an alert is left empty; an alert is not lost because its times are odd.
"""

import re
from datetime import datetime
from typing import Any

from service.weather.answer import instant
from service.weather.provider import WeatherAlert

# the first that is found in the name of the event
ABOUT = (
    ("frost", r"frost|freez|cold|wind chill"),
    ("wind", r"wind|gale|hurricane|tropical storm|tornado|dust|blow"),
    ("heat", r"heat"),
    ("rain", r"rain|flood|thunderstorm"),
    ("snow", r"snow|blizzard|winter|\bice|sleet|avalanche"),
    ("fire", r"fire|red flag"),
)
LONGEST_TEXT = 500


def read(document: dict[str, Any], now: datetime) -> tuple[WeatherAlert, ...]:
    """Alerts that are meant, not replaced or called off, and not over; the soonest first."""
    features = document.get("features")
    rows = [
        row
        for feature in (features if isinstance(features, list) else [])
        if isinstance(feature, dict) and isinstance(row := feature.get("properties"), dict)
    ]
    actual = [row for row in rows if row.get("status") == "Actual"]
    replaced = {key for row in actual for key in _references(row)}
    alerts = [
        _alert(row)
        for row in actual
        if row.get("messageType") != "Cancel" and _text(row, "id") not in replaced
    ]
    ahead = [one for one in alerts if one.event and (one.ends is None or one.ends > now)]
    return tuple(sorted(ahead, key=lambda one: (one.begins or now, one.key)))


def _references(row: dict[str, Any]) -> list[str]:
    told = row.get("references")
    named = [one for one in told if isinstance(one, dict)] if isinstance(told, list) else []
    return [str(one.get("identifier") or str(one.get("@id")).rpartition("/")[2]) for one in named]


def _alert(row: dict[str, Any]) -> WeatherAlert:
    event = _text(row, "event")
    begins = (instant(row.get(name)) for name in ("onset", "effective", "sent"))
    ends = (instant(row.get(name)) for name in ("ends", "expires"))
    return WeatherAlert(
        key=_text(row, "id"),
        event=event,
        about=_about(event),
        severity=_text(row, "severity"),
        certainty=_text(row, "certainty"),
        urgency=_text(row, "urgency"),
        begins=next((at for at in begins if at is not None), None),
        ends=next((at for at in ends if at is not None), None),
        headline=_text(row, "headline"),
        advice=_text(row, "instruction"),
    )


def _about(event: str) -> str:
    found = (word for word, pattern in ABOUT if re.search(pattern, event, re.IGNORECASE))
    return next(found, "other")


def _text(row: dict[str, Any], name: str) -> str:
    """Words of a stranger made fit for a line of ours; empty when there are none."""
    told = row.get(name)
    words = re.sub(r"[^\x20-\x7e]+", " ", told) if isinstance(told, str) else ""
    return " ".join(words.split())[:LONGEST_TEXT]
