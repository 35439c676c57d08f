"""The coat plan: one clock time for each coat, in hours of the forecast that hold as a chain.

A maker needs one plan on the clock, not one for each member: a plan counts by the fraction of the
members in which every coat of it holds, from its start until the next coat covers it, or for the
hold time of the sheet where none does.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from models._jit import kernel
from models.facts.sealers import WINDOW_IN_HAND, Sheet
from models.steps import seal
from models.units import Array, Mask

ROUNDING = 1e-9  # as in seal; compiled code does not notice a change in another file
NONE = -1


class Hours(NamedTuple):
    """What decides about a coat begun at each row, (rows, members) but where said.

    begin : it may be put on; steady_h, dry_h : hours that the air holds and that no rain falls
    wait_h, limit_h : the next coat not before, not after [h]; hand (rows,) the maker's hours
    """

    hour: Array
    step_h: float
    begin: Mask
    steady_h: Array
    dry_h: Array
    wait_h: Array
    limit_h: Array
    hand: Mask
    weight: Array

    def fractions(self, mask: Mask) -> Array:
        """Fraction of the members, (rows,)."""
        return mask @ self.weight


@dataclass(frozen=True)
class Chain:
    """For every row as the first of the coats left: the rows of all, and the fraction that holds.

    rows : (rows, coats), -1 where the chain breaks; chance : (rows,) 0 where it breaks
    """

    rows: NDArray[np.int64]
    chance: Array

    @property
    def whole(self) -> Mask:
        return self.chance > 0


def hours_of(
    local: seal.LocalConditions, sheet: Sheet, ready: Mask, hand: Mask, weight: Array
) -> Hours:
    """What decides about coats on the grid of `here`; rows past the forecast are not in it.

    ready : (rows, members) whether the piece is dry and old enough, boolean

    Source: definition; conditions as in seal.
    """
    steady = np.logical_and.reduce(list(seal.conditions(local, sheet).values()))
    return Hours(
        local.hour,
        local.step_h,
        seal.may_begin(local, sheet) & ready,
        seal.hours_holding(steady, local.step_h),
        seal.hours_holding(seal.dry(local), local.step_h),
        seal.hours_until(seal.drying_rate(local, sheet), local.step_h, sheet.recoat_min_h),
        seal.latest_recoat_h(local.sunlit_C, sheet),
        hand,
        weight,
    )


def in_hand(hours: Hours) -> Hours:
    """The hours with every recoat window closed by a tenth of it early.

    Source: OWN_JUDGEMENT (facts.sealers).
    """
    return hours._replace(limit_h=kept_end_h(hours.wait_h, hours.limit_h))


def kept_end_h(ready_h: Array, last_h: Array | float) -> Array:
    """The end of a recoat window less a tenth of it [h]; one that is empty or has no end as it is.

    ready_h, last_h : its two ends [h], any shapes that go together

    Source: OWN_JUDGEMENT (facts.sealers).
    """
    end_h = np.broadcast_to(last_h, np.broadcast_shapes(np.shape(ready_h), np.shape(last_h)))
    window: Mask = np.isfinite(end_h) & (ready_h < end_h)
    length_h = np.subtract(end_h, ready_h, out=np.zeros_like(end_h), where=window)
    kept: Array = end_h - WINDOW_IN_HAND * length_h
    return kept


def as_forecast(hours: Hours) -> Hours:
    """The hours as one member sees them who takes each thing at even odds.

    Source: definition.
    """

    def even(mask: Mask) -> Mask:
        return hours.fractions(mask)[:, None] >= 0.5 - ROUNDING

    return hours._replace(
        begin=even(hours.begin),
        steady_h=seal.hours_holding(even(hours.steady_h >= 0), hours.step_h),
        dry_h=seal.hours_holding(even(hours.dry_h >= 0), hours.step_h),
        wait_h=_middle(hours.wait_h, hours.weight),
        limit_h=_middle(hours.limit_h, hours.weight),
        weight=np.ones(1),
    )


def _middle(values: Array, weight: Array) -> Array:
    """Weighted median of each row, (rows, 1)."""
    order = np.argsort(values, axis=1)
    total = np.cumsum(weight[order], axis=1)
    column = np.argmax(total >= 0.5 - ROUNDING, axis=1)[:, None]
    return np.take_along_axis(np.take_along_axis(values, order, axis=1), column, axis=1)


def chains(
    hours: Hours, coats: int, hold_h: float, rain_h: float, fraction: float, inside: Mask
) -> Chain:
    """The earliest chain of `coats` from every row that holds in `fraction` of the members.

    hold_h, rain_h : how long the air holds and no rain falls after a coat that stays bare [h]
    fraction : dimensionless, 0 to 1; inside : (rows, members) where the first of them may begin

    Source: OWN_JUDGEMENT for the search; conditions as in seal.
    """
    first = hours.begin & inside
    can = _can_follow(hours, first, coats, hold_h, rain_h, fraction)
    rows, chance = _search(first, hours, can, coats, hold_h, rain_h, fraction - ROUNDING)
    return Chain(rows, chance)


def _can_follow(
    hours: Hours, first: Mask, coats: int, hold_h: float, rain_h: float, fraction: float
) -> Mask:
    """Rows at which each coat could stand by itself with a later one in reach, (coats, rows)."""
    rows = np.arange(len(hours.hour))
    out = np.zeros((coats, len(rows)), dtype=np.bool_)
    longest = np.minimum(hours.limit_h.max(axis=1) / hours.step_h + ROUNDING, len(rows))
    reach = np.minimum(rows + longest.astype(int), len(rows) - 1)
    for k in range(coats - 1, -1, -1):
        good = first if k == 0 else hours.begin
        if k == coats - 1:
            good = good & (hours.steady_h >= np.maximum(hold_h, hours.wait_h) - ROUNDING)
            good &= hours.dry_h >= rain_h - ROUNDING
            out[k] = hours.fractions(good) >= fraction - ROUNDING
            continue
        count = np.concatenate(([0], np.cumsum(out[k + 1])))
        follows = count[reach + 1] > count[np.minimum(rows + 1, reach + 1)]
        out[k] = follows & (hours.fractions(good) >= fraction - ROUNDING)
    return out


def holding_after(hours: Hours, row: int, hold_h: float, rain_h: float, alive: Mask) -> Mask:
    """Members in which a coat at `row` has held and dried at each later row, boolean.

    hold_h, rain_h : [h]; alive : (members,) boolean, members that hold so far
    Source: definition; conditions as in seal.
    """
    gap = (np.arange(len(hours.hour)) - row)[:, None] * hours.step_h
    out: Mask = (
        alive
        & (gap > 0)
        & (gap >= hours.wait_h[row] - ROUNDING)
        & (gap <= hours.limit_h[row] + ROUNDING)
        & (hours.steady_h[row] >= np.minimum(gap, hold_h) - ROUNDING)
        & (hours.dry_h[row] >= np.minimum(gap, rain_h) - ROUNDING)
    )
    return out


def dried_since(hours: Hours, row: int) -> Mask:
    """Members in which a coat at `row` has dried at each later row, (rows, members) boolean.

    Source: definition; drying as in seal.
    """
    gap = (np.arange(len(hours.hour)) - row)[:, None] * hours.step_h
    out: Mask = (gap > 0) & (gap >= hours.wait_h[row] - ROUNDING)
    return out


def alone(hours: Hours) -> Array:
    """Fraction of the members in which one coat may go on and dries well, dimensionless.

    Source: definition; conditions as in seal.
    """
    return hours.fractions(hours.begin & (hours.steady_h >= hours.wait_h))


def joint(
    hours: Hours,
    rows: tuple[int, ...],
    hold_h: float,
    rain_h: float,
    alive: Mask | None = None,
) -> float:
    """Fraction of the members in which a plan of given rows holds, dimensionless 0 to 1.

    hold_h, rain_h : after the last coat [h]; alive : as for `holding`
    Source: definition; conditions as in seal.
    """
    return float(hours.weight[holding(hours, rows, hold_h, rain_h, alive)].sum())


def holding(
    hours: Hours,
    rows: tuple[int, ...],
    hold_h: float,
    rain_h: float,
    alive: Mask | None = None,
) -> Mask:
    """Members in which a plan of given rows holds, (members,) boolean.

    hold_h, rain_h : after the last coat [h]
    alive : (members,) in which what lies under it holds; None: in all
    Source: definition; conditions as in seal.
    """
    held: Mask = np.ones(len(hours.weight), dtype=np.bool_) if alive is None else alive
    for k, row in enumerate(rows):
        held = held & hours.begin[row]
        if k + 1 < len(rows):
            held = holding_after(hours, row, hold_h, rain_h, held)[rows[k + 1]]
    row = rows[-1]
    held = held & (hours.steady_h[row] >= np.maximum(hold_h, hours.wait_h[row]) - ROUNDING)
    held &= hours.dry_h[row] >= rain_h - ROUNDING
    return held


@kernel
def _stands(at: Hours, row: int, m: int, hold_h: float, rain_h: float) -> bool:
    """Whether a coat that stays bare holds and dries in one member."""
    need_h = max(hold_h, at.wait_h[row, m]) - ROUNDING
    return bool(at.steady_h[row, m] >= need_h and at.dry_h[row, m] >= rain_h - ROUNDING)


@kernel
def _bears(at: Hours, row: int, m: int, gap_h: float, hold_h: float, rain_h: float) -> bool:
    """Whether a coat still holds in one member when the next comes gap_h after it."""
    return bool(
        gap_h <= at.limit_h[row, m] + ROUNDING
        and at.steady_h[row, m] >= min(gap_h, hold_h) - ROUNDING
        and at.dry_h[row, m] >= min(gap_h, rain_h) - ROUNDING
    )


@kernel
def _search(
    first_ok: Mask, at: Hours, can: Mask, coats: int, hold_h: float, rain_h: float, fraction: float
) -> tuple[NDArray[np.int64], Array]:
    """From each row the earliest next coats that keep `fraction` of the members alive."""
    rows, members = at.begin.shape
    found = np.full((rows, coats), NONE, dtype=np.int64)
    chance = np.zeros(rows)
    alive = np.zeros(members, dtype=np.bool_)
    for first in range(rows):
        if not can[0, first]:
            continue
        total = 0.0
        for m in range(members):
            alive[m] = first_ok[first, m] and (coats > 1 or _stands(at, first, m, hold_h, rain_h))
            if alive[m]:
                total += at.weight[m]
        row = first
        found[first, 0] = first
        for k in range(1, coats):
            following = NONE
            for other in range(row + 1, rows):
                gap_h = (other - row) * at.step_h
                bearing = total = 0.0
                for m in range(members):
                    if alive[m] and _bears(at, row, m, gap_h, hold_h, rain_h):
                        bearing += at.weight[m]
                        dried = at.begin[other, m] and gap_h >= at.wait_h[row, m] - ROUNDING
                        if dried and (k < coats - 1 or _stands(at, other, m, hold_h, rain_h)):
                            total += at.weight[m]
                if bearing < fraction:
                    break
                if total >= fraction and at.hand[other] and can[k, other]:
                    following = other
                    break
            if following == NONE:
                total = 0.0
                break
            gap_h = (following - row) * at.step_h
            for m in range(members):
                dried = at.begin[following, m] and gap_h >= at.wait_h[row, m] - ROUNDING
                alive[m] = alive[m] and dried and _bears(at, row, m, gap_h, hold_h, rain_h)
            found[first, k] = following
            row = following
        if total >= fraction:
            chance[first] = total
    return found, chance
