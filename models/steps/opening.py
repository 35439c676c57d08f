"""The shape of every criterion: what the members went through, and when each lets a step open."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from models._jit import kernel
from models.facts.frost import FROST_NEAR_C, SOAKED_MPA
from models.message import Message, Sentence
from models.quantile import hour_at, quantile, quantiles
from models.results import Need
from models.units import Array, Mask

Harm = Literal["blemish", "piece", "person"]


@dataclass(frozen=True)
class Trajectory:
    """What every member goes through, hourly from placing, coarser where it was looked at for a
    year: hour (rows,), others (rows, members).

    strength_MPa at the slowest place, strength_mean_MPa of the section, both if it did not freeze
    te_*_h equivalent age [h at 20 degC]; *_C [degC]; rh 0 to 1; wind [m/s]; rain [mm/h]
    initial_set_h, final_set_h (members,) in equivalent age
    harm chance that ice has harmed it while young, 0 to 1, never falling; frost_depth (members,)
    how deep it would, share of the thickness; soaked_h (members,) when water from outside came [h]
    weight (members,) sums to 1; forecast_rows: rows on weather, later ones on its mean day
    """

    hour: Array
    weight: Array
    strength_MPa: Array
    strength_mean_MPa: Array
    te_mean_h: Array
    te_cold_h: Array
    mean_C: Array
    top_C: Array
    coldest_C: Array
    air_C: Array
    dew_point_C: Array
    rh: Array
    wind_m_s: Array
    rain_mm: Array
    initial_set_h: Array
    final_set_h: Array
    harm: Array
    frost_depth: Array
    named_28d_MPa: float
    specified_28d_MPa: float
    forecast_rows: int
    sun_W_m2: Array | None = None  # on the face that gets most of it
    sunlit_K: Array | None = None  # by how much that face is warmer than top_C, bare
    soaked_h: Array | None = None  # not told: it is kept dry

    @property
    def members(self) -> int:
        return len(self.weight)

    @property
    def hottest_C(self) -> Array:
        """Hottest place inside at each row [degC], (rows, members).

        Heat that is set free evenly lies in a parabola, whose top is half as far over the mean as
        the mean is over the face: in the middle of two like faces, or at one that loses nothing.
        """
        inside: Array = self.mean_C + 0.5 * np.maximum(self.mean_C - self.top_C, 0.0)
        return inside

    @property
    def harm_chance(self) -> Array:
        """Chance that ice ever harms each member while it is young, (members,), 0 to 1."""
        ever: Array = self.harm[-1]
        return ever

    @property
    def frozen_h(self) -> Array:
        """Hour at which half of that chance is reached [h], (members,); infinite: there is none."""
        half = self.first(self.harm, np.maximum(0.5 * self.harm_chance, 1e-12))
        return np.where(self.harm_chance > 0, half, np.inf)

    def harmed_by(self, hour: float) -> Array:
        """Chance that ice has harmed each member by the last whole hour, (members,), 0 to 1.

        hour : from placing [h]; within an hour nobody knows when it froze, so that it still may
        """
        whole: Array = self.harm[int(np.clip(np.floor(hour), 0, len(self.harm) - 1))]
        return whole

    def frost_need_MPa(self, dry_MPa: float) -> Array:
        """Strength at which each member bears a frost [MPa], (members,): as the code asks of what
        is kept dry [MPa], more for what water reaches from outside before it bears one wet, where
        the air of that time comes near to freezing."""
        if self.soaked_h is None:
            return np.full(self.members, dry_MPa)
        wet_MPa = max(dry_MPa, SOAKED_MPA)
        bears_h = self.first(self.strength_MPa, wet_MPa)
        near = (self.air_C <= FROST_NEAR_C) & (self.hour[:, None] < bears_h)
        return np.where((self.soaked_h < bears_h) & near.any(axis=0), wet_MPa, dry_MPa)

    def told_frost_need_MPa(self, dry_MPa: float) -> float:
        """That of most members [MPa], of two halves the greater."""
        need_MPa = self.frost_need_MPa(dry_MPa)
        most_MPa = need_MPa.max()
        of_most = float((need_MPa == most_MPa) @ self.weight)
        return float(most_MPa if of_most >= 0.5 - 1e-9 else need_MPa.min())

    def set_h(self, kind: str) -> Array:
        """Equivalent age of the set of a kind of observation [h], (members,)."""
        return self.initial_set_h if kind == "initial-set" else self.final_set_h

    def quantile(self, values: Array, fraction: float) -> float:
        """One quantile of (members,) values [unit of the values]; fraction : 0 to 1."""
        return quantile(values, self.weight, fraction)

    def hour_by(self, hours: Array, fraction: float) -> float:
        """The hour by which a fraction of the members is there, of (members,) hours [h]."""
        return hour_at(hours, self.weight, fraction)

    def band(self, values: Array) -> tuple[float, float, float]:
        """10, 50 and 90 % of (members,) values [unit of the values]."""
        low, middle, high = quantiles(values, (0.1, 0.5, 0.9), self.weight).tolist()
        return low, middle, high

    def at(self, values: Array, hour: float) -> Array:
        """Values of the members at an hour from placing, (members,)."""
        now: Array = between(values, np.array([self.row_at(hour)]))[0]
        return now

    def row_at(self, hour: float) -> float:
        """The broken row of an hour from placing [h], of those that there are."""
        hour = float(np.clip(hour, 0.0, self.hour[-1]))
        if hour <= len(self.hour) - 1 and self.hour[int(np.ceil(hour))] == np.ceil(hour):
            return hour
        return float(np.interp(hour, self.hour, np.arange(float(len(self.hour)))))

    def first(self, values: Array, need: float | Array) -> Array:
        """Hour at which each member's value first reaches its need; infinite: not in the course."""
        wanted = np.broadcast_to(np.asarray(need, dtype=np.float64), values.shape[1:])
        return _first_hour(np.ascontiguousarray(values), np.ascontiguousarray(wanted), self.hour)


@kernel
def _first_hour(values: Array, need: Array, hour: Array) -> Array:
    """Hour at which each member reaches its need, straight on from the row before, (members,)."""
    rows, members = values.shape
    found = np.full(members, np.inf)
    left = members
    for r in range(rows):
        for m in range(members):
            if found[m] == np.inf and values[r, m] >= need[m]:
                found[m] = hour[r]
                left -= 1
                if r > 0:
                    upper, lower = values[r, m], values[r - 1, m]
                    fraction = (need[m] - lower) / (upper - lower if upper > lower else 1.0)
                    fraction = min(max(fraction, 0.0), 1.0)
                    found[m] = hour[r] - (1 - fraction) * (hour[r] - hour[r - 1])
        if left == 0:
            break
    return found


@dataclass(frozen=True)
class Condition:
    """What a step asks for beside the number it shows: told first where it opens last.

    opens_h : (members,) hours from placing [h], infinite: not within the trajectory
    says : `comes`, the instant at which it opens, is put to its values
    """

    says: Message
    opens_h: Array


@dataclass(frozen=True)
class StepOpening:
    """When a step opens and closes: by member, or as one chance an hour where it comes and goes.

    opens_h, closes_h : (members,) hours from placing, infinite: not within the trajectory
    chance : (rows,) fraction of members that hold at each hour, instead of opens_h
    shown : (rows, members) history of the quantity of the need, in its unit
    conditions : what it asks for beside that quantity
    number_h : (members,) [h] when that quantity is there, None: when `shown` reaches the need
    """

    step: str
    need: Need
    opens_h: Array
    sources: tuple[str, ...]
    cautions: tuple[Message, ...] = ()
    closes_h: Array | None = None
    chance: Array | None = None
    shown: Array | None = None
    conditions: tuple[Condition, ...] = ()
    number_h: Array | None = None
    also: tuple[Message, ...] = ()  # what else it needs, said after the number
    note: Sentence = ()
    missed: Message | None = None
    last_h: float | None = None  # one end for all members, as a recoat maximum
    by_check: bool = False  # the hand decides: the window is told from even odds on
    waits_for: str = ""  # the step that has no hour yet
    after: str = ""  # the step that must be marked done first
    never: Message | None = None  # why no hour is sure, in place of the usual words
    harm: Harm | None = None  # where more is at stake than with every such step


P90 = 0.9  # probability of the hour that is called so

LEAST_LEVEL: dict[Harm, float] = {"blemish": 0.0, "piece": 0.95, "person": 0.95}


def level(harm: Harm, confidence: float) -> float:
    """Chance that a step asks for before it opens, by the harm of opening early, dimensionless.

    A blemish or an idle mould: the shop's own confidence, 0.8 to 0.99. The piece lost, or a person
    hurt: 19 in 20 at least. What hurts people asks besides for a strength that holds its factor
    of safety already, so that the level is a chance of that strength and no odds of an accident.

    Source: OWN_JUDGEMENT.

    >>> level("blemish", 0.9), level("person", 0.9), level("piece", 0.99)
    (0.9, 0.95, 0.99)
    """
    return max(confidence, LEAST_LEVEL[harm])


@dataclass(frozen=True)
class Span:
    """Hours from placing: at even odds, at 90 %, at the confidence asked, the last at that
    confidence, and likely gone; infinite: not in the trajectory."""

    p50: float
    p90: float
    safe: float
    latest: float
    gone: float


NO_HOUR = Span(np.inf, np.inf, np.inf, np.inf, np.inf)


def between(values: Array, rows: Array) -> Array:
    """Hourly values at broken rows by straight lines [unit of the values], (wanted, ...).

    values : (rows, ...) [any unit]; rows : (wanted,) dimensionless, 0 to the last row

    Source: definition of linear interpolation.
    """
    low = np.clip(rows.astype(int), 0, max(len(values) - 2, 0))
    high = np.minimum(low + 1, len(values) - 1)
    part = (rows - low).reshape(-1, *(1,) * (values.ndim - 1))
    found: Array = values[low] * (1 - part) + values[high] * part
    return found


def run_about(good: Mask, row: int) -> tuple[int, int]:
    """First and last row of the good rows about one that is good, dimensionless.

    good : (rows,) boolean
    Source: definition.
    """
    behind, ahead = np.flatnonzero(~good[:row]), np.flatnonzero(~good[row:])
    begin = int(behind[-1]) + 1 if len(behind) else 0
    return begin, row + int(ahead[0]) - 1 if len(ahead) else len(good) - 1


def last_row(hour: Array, at_h: float) -> int:
    """The last row that is not after an hour, the first where none is; dimensionless.

    hour : (rows,) [h], rising; at_h : [h]
    Source: definition.
    """
    return max(int(np.searchsorted(hour, at_h, side="right")) - 1, 0)


def lasts_h(hour: Array) -> Array:
    """How long the stretch before each row is, an hour before the first [h], (rows, 1).

    hour : (rows,) [h], rising
    Source: definition.
    """
    stretch: Array = np.diff(hour, prepend=hour[0] - 1.0)[:, None]
    return stretch


def added_up(rate: Array, hour: Array | None = None) -> Array:
    """Integral of a rate over its rows, 0 at the first [unit of the rate x h], (rows, members).

    rate : (rows, members) [any unit]; hour : (rows,) [h], not told: a row is one
    Source: definition of the trapezoidal rule.
    """
    middle = 0.5 * (rate[1:] + rate[:-1])
    if hour is not None:
        middle = middle * np.diff(hour)[:, None]
    return np.concatenate((np.zeros_like(rate[:1]), np.cumsum(middle, axis=0)))


def before(values: Array, hour: Array, hours: float) -> Array:
    """Values so many hours before each row, the first where there is none [unit of the values].

    values : (rows, members) [any unit]; hour : (rows,) [h]; hours : [h]
    Source: definition of linear interpolation.
    """
    return between(values, np.interp(hour - hours, hour, np.arange(float(len(hour)))))


GLOVES = Message("gloves")
DUST = Message("dust")
NO_PRY = Message("no_pry")
