"""What readings of the air tell of the place itself: how far over outdoors, and how late."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from models.air import place
from models.errors import Unknown
from models.facts.instruments import ROOM_READING_SD_K
from models.facts.rooms import LEAST_LAG_SPREAD, LEAST_OFFSET_SD_K
from models.message import Message
from models.units import Array, one_of

LAGS_H = np.geomspace(1.0, 72.0, 60)
LEAST_READINGS = 2
SPIN_UP_H = 24  # the room must run through this much of the record before a reading
CONTRADICTS_K = 4.0 * ROOM_READING_SD_K


@dataclass(frozen=True)
class CalibratedPlace:
    """What is believed of a place: lag [h] with its spread (of the logarithm), offset [K].

    lag_h, lag_spread are None where the air of the place is the air outdoors; readings: used
    """

    lag_h: float | None
    lag_spread: float | None
    offset_K: float
    offset_sd_K: float
    readings: int = 0


@dataclass(frozen=True)
class MinMax:
    """A max-min thermometer: lowest and highest [degC] of the span_h hours before `hour`."""

    hour: float
    low_C: float
    high_C: float
    span_h: float


@dataclass(frozen=True)
class _Row:
    """One temperature that was read, and what every room had then, (lags,) [degC]."""

    reading: int
    value_C: float
    rooms_C: Array


def prior(kind: str, lag_h: float | None = None, offset_K: float | None = None) -> CalibratedPlace:
    """What is believed of a place before any reading: what the maker told [h], [K], else its kind.

    Raises InputError for a kind that is not known, or a heated room, which has its setpoint.
    Source: OWN_JUDGEMENT (Site.resolved).
    """
    one_of("kind", kind, ("open yard", "covered", "unheated room"))
    site = place.Site(kind, lag_h=lag_h, offset_K=offset_K)
    at = site.resolved()
    if not site.is_room:
        return CalibratedPlace(None, None, at.offset_K, at.offset_sd_K)
    return CalibratedPlace(at.lag_h, at.lag_spread, at.offset_K, at.offset_sd_K)


def fit_room(
    outdoor_C: Array,
    readings: Sequence[tuple[float, float] | MinMax],
    before: CalibratedPlace,
) -> CalibratedPlace | Unknown:
    """The place after readings of its air; Unknown, with how many more, under two usable ones.

    For each of 60 lags the room is run through the weather; the offset is then linear and
    comes by least squares with its prior as a ridge. The likelihood over the lags times
    their prior is the posterior. A max-min reading is two rows: the lowest and the highest
    that each of the 60 rooms had in its span, so that hours and lag are found together.

    outdoor_C : (hours,) [degC] without gaps, three days before the first reading or more
    readings : hour from the first row, and temperature [degC]; or a MinMax
    before : `prior(kind)`; without a lag only the offset is learned

    Readings further than 4 K from all the others together are left out, the worst first.
    Source: Gaussian conditioning on a grid; OWN_JUDGEMENT for the spread of a reading.
    """
    rooms = _rooms(outdoor_C, before)
    rows = [row for k, one in enumerate(readings) for row in _rows_of(k, one, rooms)]
    while (used := len({row.reading for row in rows})) >= LEAST_READINGS:
        calibrated, miss = _fitted(rows, used, before)
        worst = int(np.argmax(np.abs(miss)))
        if abs(miss[worst]) <= CONTRADICTS_K:
            return calibrated
        rows = [row for row in rows if row.reading != rows[worst].reading]
    return too_few(used)


def too_few(used: int) -> Unknown:
    """What is said while a place has taught nothing, `used` being the readings that count.

    Source: OWN_JUDGEMENT, two readings being the least that part lag from offset.
    """
    more = LEAST_READINGS - used
    return Unknown(
        Message("how_a_place_follows"),
        Message("too_few_readings" if used else "no_readings", {"readings": used}),
        Message("get_readings", {"readings": more}),
    )


def _rows_of(number: int, reading: tuple[float, float] | MinMax, rooms: Array) -> list[_Row]:
    """The rows of one reading; none where the record does not hold the hours it speaks of."""
    last = len(rooms) - 1
    if not isinstance(reading, MinMax):
        hour, value = reading
        if not SPIN_UP_H <= hour <= last:
            return []
        return [_Row(number, value, _at(rooms, hour))]
    begin = reading.hour - reading.span_h
    if begin < SPIN_UP_H or reading.hour > last:
        return []
    inside = rooms[int(np.ceil(begin)) : int(np.floor(reading.hour)) + 1]
    spanned = np.vstack((_at(rooms, begin), inside, _at(rooms, reading.hour)))
    return [
        _Row(number, reading.low_C, spanned.min(axis=0)),
        _Row(number, reading.high_C, spanned.max(axis=0)),
    ]


def _at(rooms: Array, hour: float) -> Array:
    """Every room at an hour between two rows, (lags,) [degC]."""
    low = min(int(hour), len(rooms) - 2)
    found: Array = rooms[low] + (hour - low) * (rooms[low + 1] - rooms[low])
    return found


def _fitted(
    rows: Sequence[_Row], used: int, before: CalibratedPlace
) -> tuple[CalibratedPlace, Array]:
    """The posterior, and what each row lies off the likeliest room (rows,) [K]."""
    over = np.array([row.value_C - row.rooms_C for row in rows])
    tight, loose = before.offset_sd_K**-2, ROOM_READING_SD_K**-2
    precision = tight + len(rows) * loose
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
        CalibratedPlace(lag_h, spread, mean, max(sd, LEAST_OFFSET_SD_K), used),
        over[:, best] - np.median(over[:, best]),
    )


def _rooms(outdoor_C: Array, before: CalibratedPlace) -> Array:
    """Rooms of every lag without an offset, (hours, lags); one column where there is no lag."""
    if before.lag_h is None:
        return outdoor_C[:, None]
    outdoor = np.repeat(outdoor_C[:, None], len(LAGS_H), axis=1)
    return place.room_temperature(outdoor, LAGS_H, np.zeros(len(LAGS_H)))
