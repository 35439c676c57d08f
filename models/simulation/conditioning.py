"""How readings of one quantity move the members, so that a colder one never makes a thing earlier.

Three rules hold for every member, whatever was read:

- its change is a sum of what each reading missed it by, with weights that are never negative:
  of two readings that differ in value only, the colder leaves every hour as cold or colder;
- one reading alone may cool a member and never warms it; two that agree may warm it;
- near what was expected a reading is weighed against the doubt of the forecast (Gaussian
  conditioning); far from it the reading counts whole, since heaters fail and blankets blow off.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from models.draws import in_blocks
from models.facts.instruments import ALIKE_H, SHARED
from models.facts.rooms import LASTS_SPREAD
from models.quantile import quantiles
from models.rng import Seed
from models.steps.opening import between
from models.units import Array, Mask

USUAL, RARE = 1.2, 2.4  # of the doubt: weighed up to here, believed whole from there, OWN_JUDGEMENT
# of the doubt: a member so far from what was read is moved whole, OWN_JUDGEMENT
FROM_OUTCAST, OUTCAST = 3.0, 5.0
APART_H, SUPPORT_H = 0.5, 24.0  # two readings support each other from this far to that far apart
MANY = 4  # readings of a day that may warm a member although each of them is low
NEIGHBOURS = 6  # among how many readings on either side support is looked for
MOST_BINS = 240
LOW_TAIL = 0.1
CONTRADICTS = 4.0  # of the doubt: from here on reading and forecast disagree
AGREES = 2.0  # of the doubt: up to here a second reading takes the side of the forecast
NEAR = 0.35  # of what the other missed by: up to here a second reading takes its side
SETTLES_H = 12.0


@dataclass(frozen=True)
class Series:
    """Readings of one quantity, in the order of time: row (n,) broken rows, value (n,).

    span_h : (n,) 0 for a reading at its row, else the hours before `ends` in which it was the
    lowest or the highest, nobody knows when; `row` is then where that is predicted
    """

    row: Array
    value: Array
    span_h: Array
    ends: Array

    def only(self, which: Mask) -> "Series":
        return Series(self.row[which], self.value[which], self.span_h[which], self.ends[which])

    def __len__(self) -> int:
        return len(self.row)


@dataclass(frozen=True)
class Trust:
    """What is known of the quantity before it was read.

    sd : (rows,) of its error at each row, remembered by `memory` from row to row
    common_sd : of the error that all rows share; reading_sd : of one reading
    All in the unit of the quantity; memory dimensionless, 0 to 1.
    """

    sd: Array
    memory: float
    common_sd: float
    reading_sd: float


Extreme = tuple[float, float, float, float]  # row where predicted, value, span [h], row of its end


def series(points: list[tuple[float, float]], extremes: Sequence[Extreme] = ()) -> Series:
    """Readings in order, the same one once, those of one hour as their mean.

    points : (row, value); where an instrument pushed for weeks the bins are wider than an hour,
    so that there are 240 at the most
    """
    ordered = np.array(sorted(set(points))).reshape(-1, 2)
    width = 1.0
    while len(ordered) and len(np.unique(np.floor(ordered[:, 0] / width))) > MOST_BINS:
        width *= 2.0
    _, which = np.unique(np.floor(ordered[:, 0] / width), return_inverse=True)
    count = np.bincount(which)
    binned = [np.bincount(which, column) / count for column in ordered.T]
    others = np.array(sorted(set(extremes))).reshape(-1, 4).T
    timed = np.array([*binned, np.zeros(len(count)), binned[0]])
    columns = np.concatenate((timed, others), axis=1)
    return Series(*columns[:, np.argsort(columns[0], kind="stable")])


def doubt(read: Series, trust: Trust) -> Array:
    """Standard deviation of a reading about the forecast of it, (n,)."""
    sd = between(trust.sd, read.row)
    return np.sqrt(sd**2 + trust.common_sd**2 + trust.reading_sd**2)


def noise(read: Series, trust: Trust, rows: int, members: int, seed: Seed) -> Array:
    """Error of each reading for each member, (n, members): the same whatever else was read."""
    drawn = in_blocks(seed, rows + 2, members)
    shared, own = drawn[0], drawn[1:][np.floor(read.row).astype(int)]
    error: Array = trust.reading_sd * (np.sqrt(SHARED) * shared + np.sqrt(1 - SHARED) * own)
    return error


def gain(read: Series, trust: Trust) -> Array:
    """Weight of each reading at each row, (rows, n), none negative.

    The error remembers itself from row to row and has a part that is the same everywhere. Readings
    that come thick count as few, since the error of an instrument stays alike.

    Source: Gaussian conditioning with a first-order autoregressive error (ZHENG_2025).
    """
    row = np.arange(float(len(trust.sd)))
    sd = between(trust.sd, read.row)
    apart = np.abs(read.row[:, None] - read.row)
    alike = np.exp(-apart / ALIKE_H).sum(axis=1)
    inner = np.outer(sd, sd) * trust.memory**apart + trust.common_sd**2
    inner += np.diag(trust.reading_sd**2 * alike)
    far = np.abs(row[:, None] - read.row)
    outer = np.outer(trust.sd, sd) * trust.memory**far + trust.common_sd**2
    weight: Array = np.maximum(np.linalg.solve(inner, outer.T).T, 0.0)
    return weight


def supported(read: Series, missed: Array, under: Array, may_warm: Mask) -> Array:
    """What each reading missed a member by, as far as it counts, (n, members).

    Warmer: only as far as a second reading bears it out. Colder: one reading alone only as far as
    it lies under what was predicted on the whole, so that one that agrees moves nobody.

    missed : (n, members) reading less member; under : (n,) reading less the mean of all
    may_warm : (n,) readings that may warm a member

    Source: OWN_JUDGEMENT (two that agree outweigh the forecast, one warm one does not).
    """
    warmer = np.where(may_warm[:, None], np.maximum(missed, 0.0), 0.0)
    borne = np.zeros_like(warmer)
    alone = np.ones((len(read), 1), dtype=bool)
    for k in range(1, min(NEIGHBOURS, len(read) - 1) + 1):
        apart = (read.row[k:] - read.row[:-k])[:, None]
        one = (apart >= APART_H) & (apart <= SUPPORT_H)
        borne[k:] = np.maximum(borne[k:], warmer[:-k] * one)
        borne[:-k] = np.maximum(borne[:-k], warmer[k:] * one)
        alone[k:] &= ~one
        alone[:-k] &= ~one
    colder = np.where(alone, np.maximum(missed, np.minimum(under, 0.0)[:, None]), missed)
    return np.where(missed > 0, np.minimum(warmer, borne), colder)


def moved(values: Array, read: Series, trust: Trust, seed: Seed) -> tuple[Array, Array]:
    """Change of the members by readings near what was expected, and what is left over.

    values : (rows, members); returns (rows, members) and (n, members): what each reading still
    lies apart, as far as it is believed whole, to be carried to the hours about it

    Source: conditional simulation (Matheron's rule), cut off at 1.5 of the doubt.
    """
    predicted = between(values, read.row)
    sd, middle = doubt(read, trust), predicted.mean(axis=1)
    may_warm = read.value >= quantiles(predicted, (LOW_TAIL,))[0]
    may_warm |= (np.abs(read.row[:, None] - read.row) <= SUPPORT_H).sum(axis=1) >= MANY
    error = noise(read, trust, len(values), values.shape[1], seed)

    def missed(value: Array) -> Array:
        return supported(read, value[:, None] + error - predicted, value - middle, may_warm)

    whole = missed(read.value)
    near = missed(middle + np.clip(read.value - middle, -USUAL * sd, USUAL * sd))
    usual = np.where(
        whole < 0, np.minimum(np.maximum(near, whole), 0.0), np.clip(near, 0.0, np.abs(whole))
    )
    weight = gain(read, trust)
    reached = np.minimum(between(weight, read.row).sum(axis=1), 1.0)[:, None]
    beyond = whole - reached * usual
    left = np.where(whole < 0, np.minimum(beyond, 0.0), np.maximum(beyond, 0.0))
    under = read.value - middle
    borne = supported(read, under[:, None], under, may_warm)
    of_all = np.where(borne * left > 0, _rarity(np.abs(borne) / sd[:, None], USUAL, RARE), 0.0)
    of_one = _rarity(np.abs(whole) / sd[:, None], FROM_OUTCAST, OUTCAST)
    fraction = np.maximum(of_all, of_one)
    return weight @ usual, fraction * left


def _rarity(apart: Array, from_sd: float, to_sd: float) -> Array:
    return np.clip((apart - from_sd) / (to_sd - from_sd), 0.0, 1.0)


def carried(read: Series, left: Array, rows: int, lasts_h: float, seed: Seed) -> Array:
    """What is left at the readings carried to all rows, (rows, members); it fades with time.

    Between two readings a row follows both, at a reading that reading alone. How long it lasts
    differs from member to member, since nobody knows what it came from.

    left : (n, members); lasts_h : hours in which it fades to 1 / e, over 0
    Source: interpolation of a first-order autoregressive error without noise.
    """
    members = left.shape[1]
    if not left.any():
        return np.zeros((rows, members))
    z = in_blocks(seed, 1, members)[0]
    pace = 1 / (lasts_h * np.exp(LASTS_SPREAD * z))
    row = np.arange(float(rows))
    after = np.searchsorted(read.row, row, side="right")
    low, high = np.maximum(after - 1, 0), np.minimum(after, len(read) - 1)
    since, until = np.abs(row - read.row[low])[:, None], np.abs(read.row[high] - row)[:, None]
    between = ((after > 0) & (after < len(read)))[:, None]
    both = np.where(between, since + until, 1.0)
    closed = -np.expm1(-2 * pace * both)
    first, second = np.exp(-pace * since), np.exp(-pace * until)
    follows = np.where(between, first * -np.expm1(-2 * pace * until) / closed, first)
    meets = np.where(between, second * -np.expm1(-2 * pace * since) / closed, second)
    follows[after == 0] = 0.0
    meets[after == len(read)] = 0.0
    spread: Array = follows * left[low] + meets * left[high]
    return spread


def disagree(read: Series, values: Array, trust: Trust) -> tuple[Mask, Mask]:
    """Readings that contradict what was predicted, and those of them that a second one settles.

    A second reading settles it by taking either side within half a day; each (n,).

    Source: OWN_JUDGEMENT for the limits.
    """
    sd, missed = doubt(read, trust), read.value - between(values, read.row).mean(axis=1)
    odd = np.abs(missed) > CONTRADICTS * sd
    apart = np.abs(read.row[:, None] - read.row)
    other = (apart >= APART_H) & (apart <= SETTLES_H)
    with_forecast = np.abs(missed) <= AGREES * sd
    near = np.maximum(NEAR * np.abs(missed), CONTRADICTS * trust.reading_sd)
    with_reading = np.abs(missed[:, None] - missed) <= near[:, None]
    settled = (other & (with_forecast | with_reading)).any(axis=1)
    return odd, odd & settled
