"""The one quantile of members, each the middle of the share it stands for."""

from collections.abc import Sequence

import numpy as np

from models._jit import kernel
from models.units import Array

DAY_H = 24.0


def quantiles(values: Array, fractions: Sequence[float], weight: Array | None = None) -> Array:
    """Quantiles along the last axis [unit of the values], one row a fraction: (fractions, ...).

    Members stand for equal shares of what may come: each for the middle of its own, with straight
    lines between two. Outside the first and the last middle their own values count; where the next
    member is infinite, so is the quantile.

    values : (..., members) [any unit]; fractions : 0 to 1; weight : (members,) dimensionless, not
    negative, not all zero, or none where all count alike
    Source: definition 5 of Hyndman & Fan 1996 (Hazen), from memory.
    """
    members = values.shape[-1]
    if weight is None or np.ptp(weight) == 0:
        ordered = np.sort(values, axis=-1)
        place = np.clip(np.asarray(fractions) * members - 0.5, 0.0, members - 1.0)
        low = np.floor(place).astype(int)
        high = np.minimum(low + 1, members - 1)
        found = _joined(ordered[..., low], ordered[..., high], place - low)
        return np.moveaxis(found, -1, 0)
    order = np.argsort(values, axis=-1, kind="stable")
    ordered, share = np.take_along_axis(values, order, axis=-1), weight[order]
    middle = (np.cumsum(share, axis=-1) - 0.5 * share) / share.sum(axis=-1, keepdims=True)
    out = []
    for fraction in fractions:
        above = (middle < fraction).sum(axis=-1, keepdims=True)
        low, high = np.maximum(above - 1, 0), np.minimum(above, members - 1)
        first, last = (np.take_along_axis(middle, at, axis=-1) for at in (low, high))
        part = np.clip((fraction - first) / np.maximum(last - first, 1e-12), 0.0, 1.0)
        below, over = (np.take_along_axis(ordered, at, axis=-1) for at in (low, high))
        out.append(_joined(below, over, part)[..., 0])
    return np.stack(out)


def _joined(low: Array, high: Array, part: Array) -> Array:
    """Straight line from low to high, the end itself where nothing of the other is meant."""
    between = np.isfinite(low) & np.isfinite(high)
    slope = np.where(between, high, 0.0) - np.where(between, low, 0.0)
    inside: Array = low + part * slope
    return np.where(between | (part <= 0), inside, high)


def quantile(values: Array, weight: Array, fraction: float) -> float:
    """One quantile of weighted members [unit of the values].

    values, weight : (members,) [any unit], dimensionless; fraction : 0 to 1
    Source: `quantiles`.
    """
    return float(quantiles(values, (fraction,), weight)[0])


def hour_at(hours: Array, weight: Array, fraction: float) -> float:
    """The hour by which a fraction of the members is there [h]; infinite where too few ever are.

    The mean of the quantiles about it, over one standard error of a fraction to either side: what
    single members stand at counts less. Means are taken of 1 / (24 h + hour), so that the hour
    grows without a step as members that never come fill those quantiles, up to that of the last
    that comes, and no member that comes later makes it earlier.

    hours : (members,) [h], those under 0 count as 0, infinite: never
    weight : (members,) sums to 1; fraction : 0 to 1
    Source: kernel quantile estimators (Parzen 1979, Sheather & Marron 1990, from memory).
    """
    return float(_hour_at(hours, weight, fraction))


@kernel
def _hour_at(hours: Array, weight: Array, fraction: float) -> float:
    """As `hour_at`: area under pace against share between the two ends, by trapezoids."""
    order = np.argsort(hours, kind="mergesort")  # stable
    share = weight[order]
    middle, so_far = np.empty_like(share), 0.0
    for k, one in enumerate(share):
        so_far += one
        middle[k] = so_far - 0.5 * one
    half = np.sqrt(fraction * (1 - fraction) * np.sum(share**2))
    pace = 1 / (DAY_H + np.maximum(hours[order], 0.0))
    knots = np.empty(len(hours) + 2)
    knots[0], count = fraction - half, 1
    for at in middle:
        if knots[0] < at < fraction + half:
            knots[count] = at
            count += 1
    knots[count] = fraction + half
    at_knots = np.interp(knots[: count + 1], middle, pace)
    area = 0.0
    for k in range(count):
        area += (knots[k + 1] - knots[k]) * (at_knots[k] + at_knots[k + 1])
    last = 0.0
    for hour in hours:
        if np.isfinite(hour):
            last = max(last, hour)
    found = 1 / max(area / (4 * half), 1e-12) - DAY_H
    return np.round(found, 11) if found <= last + 1e-6 else np.inf
