"""What of a weather record a pour can stand on, and what is missing in it."""

from datetime import datetime

import numpy as np

from models.air import members
from models.air.series import HOUR, AirSeries
from models.errors import Unknown
from models.facts.forecast import TYPICAL_SD_K
from models.message import Message
from models.simulation.scenario import Scenario

WEATHER = Message("the_weather")
GET_WEATHER, GET_NIGHT = Message("get_weather"), Message("get_weather_of_the_night")
SPIN_UP_H = 72  # outdoor hours before placing that a room remembers
MOIST_AHEAD_H, MOIST_FRACTION = 48.0, 0.9  # hours ahead, and fraction of them, with moisture known


def usable(
    scenario: Scenario, air: AirSeries, now: datetime, hours: int
) -> tuple[AirSeries, int, bool, tuple[Message, ...]] | Unknown:
    """The record from before placing on, without gaps; how much is weather; cut short or not."""
    series, bridged = air.bridged()
    notes = [Message("hours_bridged", {"hours_missing": bridged})] if bridged else []
    at = scenario.placement.at
    placed = {"placed_at": scenario.clock(0.0)}
    if air.typical and at < now:
        return Unknown(
            WEATHER, Message("typical_tells_nothing", {"source": air.source, **placed}), GET_NIGHT
        )
    place_h = series.hour_of(at)
    if place_h < 0 or place_h >= series.hours - 1:
        return Unknown(
            WEATHER,
            Message(
                "no_weather_at_placing", {**placed, "begin_at": series.start, "end_at": series.end}
            ),
            GET_NIGHT,
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
        why = Message("no_weather_from", {"at": missing[0] if missing else at})
        return Unknown(WEATHER, why, GET_WEATHER)
    span = series.between(series.start + first * HOUR, series.start + (end - 1) * HOUR)
    known = 0 if air.typical else span.hours
    if span.end < now:
        gap = (now - span.end) / HOUR
        notes.append(Message("no_weather_after", {"at": span.end, "gap_h": gap}))
        return span, known, True, tuple(notes)
    age = (now - air.issued_at) / HOUR
    if air.typical:
        notes.append(Message("typical_weather", {"source": air.source, "sd_K": TYPICAL_SD_K}))
    elif age > 24:
        notes.append(Message("stale_weather", {"age_h": age}))
    needed = int(np.ceil(span.hour_of(at) + hours)) + 2
    longer, _ = members.extended(span, needed)
    return longer, min(known, longer.hours), False, tuple(notes)


def moisture_missing(scenario: Scenario, air: AirSeries, now: datetime) -> Message | None:
    """Why drying, coats and evaporation cannot be judged; None where moisture is told."""
    placed, ahead = air.hour_of(scenario.placement.at), air.hour_of(now)
    known = np.isfinite(air.dew_point_C) | ~np.isfinite(air.air_C)
    for begin, end in ((placed, ahead), (max(ahead, placed), max(ahead, placed) + MOIST_AHEAD_H)):
        span = known[max(0, int(np.ceil(begin))) : max(0, int(np.ceil(end)))]
        if len(span) and span.mean() < MOIST_FRACTION:
            first = max(0, int(np.ceil(begin))) + int(np.argmin(span))
            since = air.start + first * HOUR
            return Message("no_moisture", {"source": air.source, "since_at": since})
    return None
