"""The one quantile of members: by rank, so that it says what the next draw will do."""

from collections.abc import Sequence

import numpy as np

from models.units import Array


def quantiles(values: Array, fractions: Sequence[float], weight: Array | None = None) -> Array:
    """Quantiles along the last axis [unit of the values], one row a fraction: (fractions, ...).

    One more draw stays under it with chance `fraction`: the k-th of n draws is the quantile
    k / (n + 1) of the next one, n being the effective number.

    values : (..., members) [any unit]; fractions : 0 to 1; weight : (members,) dimensionless, not
    negative, not all zero, or none where all count alike
    Source: definition of the order statistics of a sample; conservative at ties.
    """
    members = values.shape[-1]
    if weight is None or np.ptp(weight) == 0:
        wanted = np.ceil(np.asarray(fractions) * (members + 1) - 1e-9).astype(int) - 1
        ordered = np.sort(values, axis=-1)
        return np.moveaxis(ordered[..., np.clip(wanted, 0, members - 1)], -1, 0)
    order = np.argsort(values, axis=-1, kind="stable")
    total = np.cumsum(weight[order], axis=-1)
    whole = total[..., -1:]
    more = 1 + np.sum(weight**2) / whole**2
    found = []
    for fraction in fractions:
        place = (total < fraction * more * whole - 1e-12).sum(axis=-1, keepdims=True)
        at = np.take_along_axis(order, np.minimum(place, members - 1), axis=-1)
        found.append(np.take_along_axis(values, at, axis=-1)[..., 0])
    return np.stack(found)


def quantile(values: Array, weight: Array, fraction: float) -> float:
    """One quantile of weighted members [unit of the values].

    values, weight : (members,) [any unit], dimensionless; fraction : 0 to 1
    Source: `quantiles`.
    """
    return float(quantiles(values, (fraction,), weight)[0])
