"""What the answers of all live services have in common: numbers that may be none, and a last look.

A service's own shape is read in its own module; what comes out of it is hourly columns on one
frame of whole hours. Here they become an AirSeries, or WeatherUnavailable with the reason.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import pairwise
from typing import Any, TypeGuard

import numpy as np
from numpy.typing import NDArray

from models.air.series import HOUR, AirSeries
from models.air.series import LIMITS as LIMITS_OF_A_SERIES
from models.errors import WeatherUnavailable
from models.facts.conversions import DIMENSIONS
from models.units import Array, number_within
from service.weather import choose, quality
from service.weather.http import read_json

LEAST_FUTURE_H, COMING_H = 24, 48
REFUSED_AGAIN_S = 3600.0  # an answer without enough hours is not mended within minutes
FAR_DEGREES = 1.0  # grid cells are much smaller
LIMITS = {name: span for name, span in LIMITS_OF_A_SERIES.items() if name != "spread_factor"}
LIMITS["rh_fraction"] = (0.01, 1.05)  # a service may tell it in place of the dew point
Columns = dict[str, Array]  # by name of LIMITS; what a service does not tell is left out

# a service's word for a unit -> factor and offset to ours; what is not listed is not understood
Units = Mapping[str, tuple[float, float]]
_TEMPERATURE, _SPEED = DIMENSIONS["temperature_C"].units, DIMENSIONS["speed_m_s"].units
CELSIUS: Units = {
    code: _TEMPERATURE[code.lower()] for code in ("degC", "°C", "degF", "°F", "K", "celsius")
}
METRES_A_SECOND: Units = {
    **dict.fromkeys(("m/s", "m_s-1"), _SPEED["m/s"]),
    **dict.fromkeys(("km/h", "km_h-1"), _SPEED["km/h"]),
    **dict.fromkeys(("mph", "mp/h", "mi_h-1", "[mi_i]/h"), _SPEED["mph"]),
    **dict.fromkeys(("kt", "kn", "[kn_i]"), _SPEED["kt"]),
}
MILLIMETRES: Units = {"mm": (1.0, 0.0), "m": (1000.0, 0.0), "inch": (25.4, 0.0)}
METRES: Units = {"m": (1.0, 0.0)}
FRACTION: Units = {"percent": (0.01, 0.0), "%": (0.01, 0.0)}
WATTS: Units = {"W/m²": (1.0, 0.0)}


@dataclass(frozen=True)
class Layer:
    """A column of a service's answer: its name there, and the units in which it is understood.

    of_a_span : whether a value is of the time before or after it, not of an instant
    """

    theirs: str
    units: Units
    of_a_span: bool = False


@dataclass(frozen=True)
class Frame:
    """The whole hours that columns stand on."""

    start: datetime
    hours: int

    @classmethod
    def covering(cls, now: datetime, back_h: int, ahead_h: int) -> "Frame":
        whole = now.replace(minute=0, second=0, microsecond=0)
        return cls(whole - back_h * HOUR, back_h + ahead_h + 1)

    def empty(self) -> Array:
        return np.full(self.hours, np.nan)

    def place(self, at: datetime) -> float:
        """Hours from the frame's start."""
        return (at - self.start) / HOUR


def refused(provider: str, reason: str) -> WeatherUnavailable:
    """An answer came and cannot serve."""
    return WeatherUnavailable(provider, reason, REFUSED_AGAIN_S)


def document(provider: str, raw: bytes) -> dict[str, Any]:
    """The answer as the object it must be; of a list of places the first."""
    try:
        given = read_json(raw)
    except ValueError:
        raise refused(provider, "the answer is not JSON") from None
    if isinstance(given, list) and given:
        given = given[0]
    if not isinstance(given, dict):
        raise refused(provider, "the answer is not an object")
    return given


def part(value: object, *keys: str) -> dict[str, Any]:
    """The object that stands under these keys; empty where any on the way is none."""
    for key in keys:
        value = value.get(key) if isinstance(value, dict) else None
    return value if isinstance(value, dict) else {}


def objects(value: object) -> list[dict[str, Any]]:
    """The objects of a list; none where it is no list."""
    return [one for one in value if isinstance(one, dict)] if isinstance(value, list) else []


def properties(provider: str, document: dict[str, Any]) -> dict[str, Any]:
    """Of a GeoJSON feature (RFC 7946), which must have them."""
    found = document.get("properties")
    if not isinstance(found, dict):
        raise refused(provider, "the answer has no properties")
    return found


def coordinates(feature: dict[str, Any]) -> tuple[object, object] | None:
    """North and east of a GeoJSON point; None where it has none."""
    at = part(feature, "geometry").get("coordinates")
    return (at[1], at[0]) if isinstance(at, list) and len(at) >= 2 else None


def is_number(value: object) -> TypeGuard[float]:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def finite(value: object) -> float:
    """The number, NaN for everything that is none."""
    if not is_number(value):
        return np.nan
    try:
        number = float(value)
    except OverflowError:
        return np.nan
    return number if np.isfinite(number) else np.nan


def in_our_unit(
    name: str,
    values: Sequence[object],
    unit: object,
    units: Units,
    limits: tuple[float, float],
    notes: list[str],
) -> Array:
    """Values of a column, (values,), the impossible missing; all missing in a strange unit."""
    if not isinstance(unit, str) or unit not in units:
        notes.append(f"{name}: unit {unit!r} is not known, left out")
        return np.full(len(values), np.nan)
    factor, offset = units[unit]
    column = np.array([finite(value) for value in values]) * factor + offset
    return quality.within(name, column, *limits, notes)


def instant(stamp: object) -> datetime | None:
    """ISO 8601 with an offset; None for everything else."""
    if not isinstance(stamp, str):
        return None
    try:
        at = datetime.fromisoformat(stamp)
        return None if at.tzinfo is None else at.astimezone(UTC)
    except (ValueError, OverflowError):
        return None


def issued(provider: str, stamp: object, now: datetime) -> datetime:
    """When the forecast was made, by its own word: status 200 is not fresh."""
    at = instant(stamp)
    if at is None:
        raise refused(provider, f"the answer does not say when it was made ({stamp!r})")
    if choose.grade(at, now) == "none":
        raise refused(provider, f"a forecast made at {at.isoformat()}, of no use at this time")
    return at


def wire_degrees(degrees: float) -> str:
    """Three decimals, about 100 m: enough for weather, and no nearer to somebody's door.

    Without trailing zeros, which one service redirects and another may refuse to cache.
    """
    text = f"{degrees:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def must_be_near(provider: str, given: tuple[object, object], point: tuple[float, float]) -> None:
    """Weather of another place is worse than none; (north, east) [degrees]."""
    if not np.abs(degrees_off(given, point)).max() <= FAR_DEGREES:  # also when it names no place
        north, east = finite(given[0]), finite(given[1])
        where = f"{north:g}, {east:g}, not {point[0]:g}, {point[1]:g}"
        raise refused(provider, f"the answer is for {where}")


def degrees_off(given: tuple[object, object], point: tuple[float, float]) -> Array:
    """Degrees of a great circle by which a point lies north and east, (2,); NaN where not told."""
    turn = (finite(given[1]) - point[1] + 180.0) % 360.0 - 180.0
    return np.array([finite(given[0]) - point[0], turn * np.cos(np.radians(point[0]))])


def air_series(
    provider: str,
    frame: Frame,
    columns: Columns,
    issued_at: datetime,
    now: datetime,
    notes: list[str],
) -> AirSeries:
    """The hours from the first to the last temperature, looked at by `quality`."""
    known = {
        name: quality.within(name, columns.get(name, frame.empty()), *limits, notes)
        for name, limits in LIMITS.items()
    }
    clean, first = checked(provider, known, notes, live=True)
    must_reach_ahead(provider, clean["air_C"], frame.start, now)
    clean = {name: column[first:] for name, column in clean.items()}
    start = frame.start + first * HOUR
    return AirSeries(start=start, issued_at=issued_at, source=f"{provider} forecast", **clean)


def checked(
    provider: str, columns: Columns, notes: list[str], *, live: bool
) -> tuple[dict[str, Any], int]:
    """Columns up to the last temperature, without spikes and with dew points in place of humidity.

    Returns them and the place of the first temperature. Raises WeatherUnavailable without any
    temperature; of a live answer also when the humidity says that they are in degF, which
    otherwise is noted.
    """
    air_C = quality.without_spikes(columns["air_C"], notes)
    known = np.flatnonzero(np.isfinite(air_C))
    if not known.size:
        raise refused(provider, "; ".join(["no air temperature in the answer", *notes[:1]]))
    clean = {name: column[: known[-1] + 1] for name, column in columns.items()}
    air_C, rh_fraction = air_C[: known[-1] + 1], np.minimum(clean.pop("rh_fraction"), 1.0)
    over = quality.unit_doubt(air_C, clean["dew_point_C"], rh_fraction)
    if over is not None:
        points = f"({100 * over:.0f} points more)"
        wrong = f"its humidity is over that of its temperatures {points}; in degF?"
        if live:
            raise refused(provider, wrong)
        notes.append(wrong)
    dew_point_C = quality.dew_points(air_C, clean["dew_point_C"], rh_fraction, notes)
    return clean | {"air_C": air_C, "dew_point_C": dew_point_C}, int(known[0])


def wire_point(latitude: float, longitude: float) -> tuple[str, str]:
    """Coordinates as they are asked with; InputError when they are none."""
    north = number_within("latitude", latitude, -90.0, 90.0, "degrees")
    east = number_within("longitude", longitude, -180.0, 180.0, "degrees")
    return wire_degrees(north), wire_degrees(east)


def whole_hours(provider: str, times: Sequence[datetime], longest_h: int) -> NDArray[np.int_]:
    """Hours after the first of times that are whole hours of UTC, rising, within a span."""
    if any(later <= earlier for earlier, later in pairwise(times)):
        raise refused(provider, "the answer's times do not rise")
    if any(at.minute or at.second or at.microsecond for at in times):
        raise refused(provider, "the answer's times are not whole hours of UTC")
    if (times[-1] - times[0]) / HOUR > longest_h:
        span = f"{times[0].isoformat()} to {times[-1].isoformat()}"
        raise refused(provider, f"the answer spans {span}")
    return np.array([round((at - times[0]) / HOUR) for at in times])


def must_reach_ahead(provider: str, air_C: Array, start: datetime, now: datetime) -> None:
    """Refuses an answer that tells less than a day's temperatures of the two days to come."""
    first = int(np.ceil((now - start) / HOUR))
    ahead = int(np.isfinite(air_C[max(0, first) : max(0, first + COMING_H)]).sum())
    if ahead < LEAST_FUTURE_H:
        wrong = f"only {ahead} hours ahead of {now.isoformat()} have a temperature"
        raise refused(provider, wrong)
