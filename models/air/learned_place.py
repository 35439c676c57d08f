"""What readings of the air tell of the place itself: how far over outdoors, and how late."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from models.air import members, place
from models.units import Array, one_of

LAGS_H = np.geomspace(1.0, 72.0, 60)
READING_SD_K = 1.0  # doors, sun and the thermometer: twice what a quiet room would leave
LEAST_READINGS = 2
SPIN_UP_H = 24  # the room has to have lived through this much of the record before a reading
CONTRADICTS_K = 4.0 * READING_SD_K
LEAST_LAG_SPREAD, LEAST_OFFSET_SD_K = 0.2, 0.5  # readings share their thermometer: OWN_JUDGEMENT


@dataclass(frozen=True)
class LearnedPlace:
    """What is believed of a place: lag [h] with its spread (of the logarithm), offset [K].

    lag_h, lag_spread are None where the air of the place is the air outdoors; readings: used
    """

    lag_h: float | None
    lag_spread: float | None
    offset_K: float
    offset_sd_K: float
    readings: int = 0


def prior(kind: str) -> LearnedPlace:
    """What is believed of a kind of place before any reading; h and K as in the record.

    Raises InputError for a kind that is not known, or a heated room, which has its setpoint.
    Source: OWN_JUDGEMENT (defaults of models.air.place).
    """
    one_of("kind", kind, ("open yard", "covered", "unheated room"))
    if kind != "unheated room":
        return LearnedPlace(None, None, 0.0, members.SITE_SD_K)
    return LearnedPlace(
        place.ROOM_LAG_H, place.ROOM_LAG_SPREAD, place.ROOM_OFFSET_K, place.ROOM_OFFSET_SD_K
    )


def fit_room(
    outdoor_C: Array, readings: Sequence[tuple[float, float]], before: LearnedPlace
) -> LearnedPlace:
    """The place after readings of its air; under two usable readings what was believed before.

    For each of 60 lags the room is run through the weather; the offset is then linear and
    comes by least squares with its prior as a ridge. The likelihood over the lags times
    their prior is the posterior.

    outdoor_C : (hours,) [degC] without gaps, three days before the first reading or more
    readings : hour from the first row, and temperature [degC]
    before : `prior(kind)`; without a lag only the offset is learned

    Readings further than 4 K from all the others together are left out, the worst first.
    Source: Gaussian conditioning on a grid; OWN_JUDGEMENT for the spread of a reading.
    """
    points = [(h, v) for h, v in readings if SPIN_UP_H <= h <= len(outdoor_C) - 1]
    while len(points) >= LEAST_READINGS:
        learned, miss = _fitted(outdoor_C, points, before)
        worst = int(np.argmax(np.abs(miss)))
        if abs(miss[worst]) <= CONTRADICTS_K:
            return learned
        points.pop(worst)
    return before


def _fitted(
    outdoor_C: Array, points: Sequence[tuple[float, float]], before: LearnedPlace
) -> tuple[LearnedPlace, Array]:
    """The posterior, and what each reading lies off the likeliest room (readings,) [K]."""
    hour, value = np.array([p[0] for p in points]), np.array([p[1] for p in points])
    rooms = _rooms(outdoor_C, before)
    low = np.minimum(hour.astype(int), len(outdoor_C) - 2)
    share = (hour - low)[:, None]
    over = value[:, None] - (rooms[low] * (1 - share) + rooms[low + 1] * share)
    tight, loose = before.offset_sd_K**-2, READING_SD_K**-2
    precision = tight + len(points) * loose
    offset = (tight * before.offset_K + loose * over.sum(axis=0)) / precision
    misfit = loose * ((over - offset) ** 2).sum(axis=0) + tight * (offset - before.offset_K) ** 2
    lag_h, spread = None, None
    if before.lag_h is not None and before.lag_spread is not None:
        misfit += (np.log(LAGS_H / before.lag_h) / before.lag_spread) ** 2
    weight = np.exp(-0.5 * (misfit - misfit.min()))
    weight /= weight.sum()
    if before.lag_h is not None:
        middle = float(weight @ np.log(LAGS_H))
        wide = float(np.sqrt(weight @ (np.log(LAGS_H) - middle) ** 2))
        lag_h, spread = float(np.exp(middle)), max(wide, LEAST_LAG_SPREAD)
    mean = float(weight @ offset)
    sd = float(np.sqrt(1 / precision + weight @ (offset - mean) ** 2))
    best = int(np.argmax(weight))
    return (
        LearnedPlace(lag_h, spread, mean, max(sd, LEAST_OFFSET_SD_K), len(points)),
        over[:, best] - np.median(over[:, best]),
    )


def _rooms(outdoor_C: Array, before: LearnedPlace) -> Array:
    """Rooms of every lag without an offset, (hours, lags); one column where there is no lag."""
    if before.lag_h is None:
        return outdoor_C[:, None]
    outdoor = np.repeat(outdoor_C[:, None], len(LAGS_H), axis=1)
    return place.room_temperature(outdoor, LAGS_H, np.zeros(len(LAGS_H)))
