"""What of a weather record a pour can stand on, and what is missing in it."""

from datetime import datetime

import numpy as np

from models.air import members
from models.air.series import HOUR, AirSeries
from models.errors import Unknown
from models.projection.clock import local, said
from models.projection.scenario import Scenario

SPIN_UP_H = 72  # outdoor hours before placing that a room remembers
MOIST_AHEAD_H, MOIST_SHARE = 48.0, 0.9  # hours ahead, and share of them, with moisture known


def usable(
    scenario: Scenario, air: AirSeries, now: datetime, hours: int
) -> tuple[AirSeries, int, bool, tuple[str, ...]] | Unknown:
    """The record from before placing on, without gaps; how much is weather; cut short or not."""
    series, notes = air.bridged()
    at = scenario.placement.at
    if air.typical and at < now:
        return Unknown(
            "weather",
            f"{air.source}: it tells nothing of the hours since placing, {said(scenario, 0.0)}",
            "fetch a forecast, load a CSV, or type tonight's low and tomorrow's high",
        )
    place_h = series.hour_of(at)
    if place_h < 0 or place_h >= series.hours - 1:
        return Unknown(
            "weather",
            f"no weather at the time of placing, {said(scenario, 0.0)}; the record runs"
            f" {local(scenario, series.start)} to {local(scenario, series.end)}",
            "fetch a forecast, load a CSV, or type tonight's low and tomorrow's high",
        )
    first = max(0, int(np.floor(place_h)) - SPIN_UP_H)
    good = np.isfinite(series.air_C)
    behind = np.flatnonzero(~good[: int(np.floor(place_h)) + 1])
    if len(behind):
        first = max(first, int(behind[-1]) + 1)
    ahead = np.flatnonzero(~good[first:])
    end = first + int(ahead[0]) if len(ahead) else series.hours
    if end - 1 <= place_h + 1 or first > place_h:
        missing = air.missing(at, at + 2 * HOUR)
        shown = local(scenario, missing[0] if missing else at)
        return Unknown(
            "weather",
            f"no weather from {shown} on",
            "fetch a forecast, load a CSV, or type a low and a high",
        )
    span = series.between(series.start + first * HOUR, series.start + (end - 1) * HOUR)
    known = 0 if air.typical else span.hours
    if span.end < now:
        gap = (now - span.end) / HOUR
        notes.append(
            f"no weather after {local(scenario, span.end)}, {gap:.0f} h before now:"
            " what was not reached by then cannot be judged"
        )
        return span, known, True, tuple(notes)
    age = (now - air.issued_at) / HOUR
    if air.typical:
        notes.append(
            f"{air.source}: the air may be {members.TYPICAL_SD_K:.0f} K warmer or colder at any"
            " hour, and no coat is planned by it"
        )
    elif age > 24:
        notes.append(f"stale weather: {age:.0f} h old; the doubt grows with its age")
    needed = int(np.ceil(span.hour_of(at) + hours)) + 2
    longer, _ = members.extended(span, needed)
    return longer, min(known, longer.hours), False, tuple(notes)


def moisture_missing(scenario: Scenario, air: AirSeries, now: datetime) -> str:
    """Why drying, coats and evaporation cannot be judged; empty where moisture is told."""
    placed, ahead = air.hour_of(scenario.placement.at), air.hour_of(now)
    known = np.isfinite(air.dew_point_C) | ~np.isfinite(air.air_C)
    for begin, end in ((placed, ahead), (max(ahead, placed), max(ahead, placed) + MOIST_AHEAD_H)):
        span = known[max(0, int(np.ceil(begin))) : max(0, int(np.ceil(end)))]
        if len(span) and span.mean() < MOIST_SHARE:
            first = max(0, int(np.ceil(begin))) + int(np.argmin(span))
            since = local(scenario, air.start + first * HOUR)
            return (
                f"no weather service tells the moisture of the air ({air.source}, from {since} on)"
            )
    return ""
