"""Outdoors and at the place, hour by hour: what a site makes of the weather."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from models.air import place
from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.errors import Unknown
from models.message import Message
from models.quantile import quantiles
from models.results import Bands
from models.simulation import calibrate, weather
from models.simulation.scenario import Observation
from models.steps.opening import run_about
from models.units import Array

BEFORE_H, AFTER_H = 24, 72
MEMBERS = 32


@dataclass(frozen=True)
class PlaceConditions:
    """Bands of the air [degC] at each hour; rh at the place, 0 to 1; notes on what was not used."""

    times: tuple[datetime, ...]
    outdoors_C: Bands
    place_C: Bands
    rh: Bands
    notes: tuple[Message, ...]


def place_conditions(
    site: Site, observations: Sequence[Observation], air: AirSeries | Unknown, now: datetime
) -> PlaceConditions | Unknown:
    """A day back and three ahead; readings beside the piece move the place, not outdoors.

    air : hourly weather or what is missing; now : aware instant
    """
    if isinstance(air, Unknown):
        return air
    series, _ = air.bridged()
    row = int(np.floor(series.hour_of(now)))
    good = np.isfinite(series.air_C) & np.isfinite(series.dew_point_C)
    if not 0 <= row < series.hours or not good[row]:
        return Unknown(
            Message("the_weather_now"), Message("no_such_hour"), Message("get_forecast_or_night")
        )
    begin, end = run_about(good, row)
    first, last = max(row - BEFORE_H - weather.SPIN_UP_H, begin), min(row + AFTER_H, end)
    span = series.between(series.start + first * HOUR, series.start + last * HOUR)
    believed = [one for one in observations if not one.wrong]
    outdoor, local, odd = calibrate.air_at_piece(site, believed, span, MEMBERS)
    shown = slice(max(row - BEFORE_H - first, 0), None)
    times = tuple(span.start + k * HOUR for k in range(span.hours))[shown]
    return PlaceConditions(
        times,
        _bands(outdoor.air_C[shown]),
        _bands(local.air_C[shown]),
        _bands(place.relative_humidity(local)[shown]),
        calibrate.messages(odd),
    )


def _bands(values: Array) -> Bands:
    return Bands(*quantiles(values, (0.1, 0.5, 0.9)))
