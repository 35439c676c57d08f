"""Where a place is: its zone from its position, its position and country from its zone."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache
from importlib.resources import files
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import tzfpy
from babel.numbers import get_territory_currencies

from models.errors import InputError

MOST_APART_H = 3.0  # western China keeps a clock 3 h off its sun, and nobody more
NO_PLACE = ("UTC", "Etc/UTC", "GMT", "Etc/GMT", "Zulu", "Universal", "UCT", "Etc/UCT", "Etc/Zulu")
CUSTOMARY = ("US", "PR", "GU", "VI", "AS", "MP", "UM")  # where inches and degF are the shop's units
OLD_NAMES = {"US/": "US"}  # of zones that the table of countries does not list


@dataclass(frozen=True)
class Town:
    """The town a zone is named for: its country, latitude and longitude [degrees]."""

    country: str
    latitude: float
    longitude: float


def known_zone(field: str, name: str) -> ZoneInfo:
    """The zone of a name; InputError where there is none."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        allowed = "an IANA name, as America/New_York or America/Chicago"
        raise InputError(field, name, "not a known time zone", allowed) from None


def zone_at(latitude: float, longitude: float) -> str:
    """The IANA zone of a position; at sea the whole hour of its longitude."""
    name = tzfpy.get_tz(longitude, latitude)
    return ZoneInfo(name).key if name else "UTC"


def agreed_zone(zone: str | None, latitude: float | None, longitude: float | None) -> str:
    """The zone of a place: as told where it agrees with the longitude, else of its position.

    Raises InputError naming both where they are more than three hours apart.
    """
    if latitude is None or longitude is None:
        return zone or "UTC"
    if not zone:
        return zone_at(latitude, longitude)
    if apart_h(zone, longitude) > MOST_APART_H:
        there = zone_at(latitude, longitude)
        wrong = (
            f"its clock is {apart_h(zone, longitude):.0f} h off the sun at longitude {longitude:g}"
        )
        allowed = f"{there}, or another longitude (west of Greenwich is negative)"
        raise InputError("timezone", zone, wrong, allowed)
    return zone


def apart_h(zone: str, longitude: float) -> float:
    """How far the clock of a zone is off the sun of a longitude, summer or winter time [h]."""
    clock = ZoneInfo(zone)
    offs = []
    for month in (1, 7):
        offset = datetime(2025, month, 1, tzinfo=UTC).astimezone(clock).utcoffset() or timedelta(0)
        off = (offset / timedelta(hours=1) - longitude / 15.0) % 24.0
        offs.append(min(off, 24.0 - off))
    return min(offs)


def town_of(zone: str) -> Town | None:
    """The town that a zone is named for; None for those named for none, as UTC."""
    return _towns().get(zone)


def position_of(
    latitude: float | None, longitude: float | None, zone: str
) -> tuple[float, float] | None:
    """The position of a place as told, else of the town its zone is named for; else None."""
    if latitude is not None and longitude is not None:
        return latitude, longitude
    town = town_of(zone)
    return None if town is None else (town.latitude, town.longitude)


def country_of(zone: str) -> str:
    """The two letters of the country of a zone; nothing where the zone tells none."""
    if zone in NO_PLACE or zone.startswith("Etc/"):
        return ""
    town = _towns().get(zone)
    if town is not None:
        return town.country
    return next((country for head, country in OLD_NAMES.items() if zone.startswith(head)), "")


def usual_currency(timezone: str) -> str:
    """The currency of the country of a zone; dollars where the zone tells no country."""
    found = get_territory_currencies(country_of(timezone) or "US")
    return str(found[0]) if found else "USD"


def units_at(zone: str) -> str:
    """`us` or `si`, as shops of the zone measure; nothing where the zone tells no country."""
    country = country_of(zone)
    return "" if not country else "us" if country in CUSTOMARY else "si"


def zones(*more: str) -> dict[str, list[tuple[str, str]]]:
    """The zones that have a town to their name, and whatever else is in use: for each part of the
    world its names and how they read, by name; those of no part first, under ""."""
    found: dict[str, list[tuple[str, str]]] = {"": []}
    for name in sorted({*_towns(), *(one for one in more if one)}):
        part, _, town = name.rpartition("/") if name.count("/") < 2 else name.partition("/")
        found.setdefault(part, []).append((name, town.replace("_", " ")))
    return found


@cache
def _towns() -> dict[str, Town]:
    """Every zone of the table that comes with the tz database."""
    found: dict[str, Town] = {}
    for line in (files("tzdata") / "zoneinfo" / "zone.tab").read_text("utf-8").splitlines():
        if line.startswith("#"):
            continue
        country, at, zone = line.split("\t")[:3]
        split = max(at.rfind("+"), at.rfind("-"))
        found[zone] = Town(country, _degrees(at[:split]), _degrees(at[split:]))
    return found


def _degrees(text: str) -> float:
    """+DDMM, +DDDMM, or either with seconds, in degrees."""
    sign, digits = (-1 if text[0] == "-" else 1), text[1:]
    whole = len(digits) - (2 if len(digits) <= 5 else 4)
    minutes, seconds = int(digits[whole : whole + 2]), int(digits[whole + 2 :] or 0)
    return sign * (int(digits[:whole]) + minutes / 60 + seconds / 3600)
