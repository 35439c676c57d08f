"""Official alerts in force for a point: frost, freeze, wind, heat, rain and whatever else.

What cannot be read in an alert is left empty; an alert is not lost because its times are odd.
Most are called off by a message that looks like an alert itself and refers to nothing: only its
VTEC says so, as /O.CAN.KTST.FZ.W.0004.000000T0000Z-260717T0300Z/ (class, action, office,
phenomenon, significance, number, times; NWS Instruction 10-1703).
"""

import re
from datetime import datetime
from typing import Any

from service.weather.answer import instant, objects, part
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
LONGEST_ADVICE = 10_000  # a strange answer's; the longest of a day of 396 alerts had 1570
CUT = " (cut here; the whole stands with the service)"
CALLED_OFF = frozenset({"CAN", "UPG", "EXP"})  # cancelled, upgraded to another event, over
VTEC = re.compile(r"/[OTEX]\.(?P<action>[A-Z]{3})\.(?P<event>\w{4}\.\w\w\.\w\.\d{4})\.", re.ASCII)


def read(document: dict[str, Any], now: datetime) -> tuple[WeatherAlert, ...]:
    """Alerts that are meant, not replaced or called off, and not over; the soonest first."""
    rows = [part(one, "properties") for one in objects(document.get("features"))]
    actual = [row for row in rows if row.get("status") == "Actual"]
    replaced = {key for row in actual for key in _references(row)}
    ended = [row for row in actual if _only_ends(row)]
    alerts = [
        _alert(row)
        for row in actual
        if row.get("messageType") != "Cancel" and _text(row, "id") not in replaced
        if not (_only_ends(row) or any(_ended_by(row, end) for end in ended))
    ]
    ahead = [one for one in alerts if one.event and (one.ends is None or one.ends > now)]
    return tuple(sorted(ahead, key=lambda one: (one.begins or now, one.key)))


def _references(row: dict[str, Any]) -> list[str]:
    return [
        str(one.get("identifier") or str(one.get("@id")).rpartition("/")[2])
        for one in objects(row.get("references"))
    ]


def _events(row: dict[str, Any]) -> dict[str, str]:
    """Action by event, of all the VTEC lines of an alert."""
    lines = part(row, "parameters").get("VTEC")
    found = [VTEC.match(str(line)) for line in (lines if isinstance(lines, list) else [])]
    return {one["event"]: one["action"] for one in found if one is not None}


def _only_ends(row: dict[str, Any]) -> bool:
    """Whether a message does nothing but call off."""
    actions = _events(row).values()
    return bool(actions) and CALLED_OFF.issuperset(actions)


def _ended_by(row: dict[str, Any], end: dict[str, Any]) -> bool:
    """Whether `end` calls off all that `row` warns of: sent later, for a zone of the same ones."""
    events, called_off = _events(row), _events(end)
    sent, ended = instant(row.get("sent")), instant(end.get("sent"))
    if not events or not called_off.keys() >= events.keys() or sent is None or ended is None:
        return False
    return sent < ended and not _zones(row).isdisjoint(_zones(end))


def _zones(row: dict[str, Any]) -> set[str]:
    zones = part(row, "geocode").get("UGC")
    return {str(one) for one in zones} if isinstance(zones, list) else set()


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
        advice=_text(row, "instruction", LONGEST_ADVICE),
    )


def _about(event: str) -> str:
    found = (word for word, pattern in ABOUT if re.search(pattern, event, re.IGNORECASE))
    return next(found, "other")


def _text(row: dict[str, Any], name: str, longest: int = LONGEST_TEXT) -> str:
    """Words of a stranger made fit for a line of ours; empty when there are none."""
    value = row.get(name)
    words = re.sub(r"[^\x20-\x7e]+", " ", value) if isinstance(value, str) else ""
    words = " ".join(words.split())
    return words if len(words) <= longest else words[: longest - len(CUT)] + CUT
