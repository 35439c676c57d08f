"""Degree of hydration, and where it ends."""

import numpy as np
from numpy.typing import ArrayLike

from models.facts.composition import MILLS
from models.units import Array, within


def degree_of_hydration(
    equivalent_age_h: ArrayLike, *, ultimate: ArrayLike, tau_h: ArrayLike, beta: ArrayLike
) -> Array:
    """Degree of hydration, dimensionless: alpha_u exp(-(tau / te)^beta).

    equivalent_age_h : any shape [h], 0 or more
    ultimate : broadcastable, dimensionless, above 0 to 1
    tau_h : broadcastable [h], 0.1 to 300
    beta : broadcastable, dimensionless, 0.1 to 5

    Raises InputError outside the ranges.
    Source: SCHINDLER_FOLLIARD_2005; FHP_1977.

    >>> float(degree_of_hydration(27.0, ultimate=0.85, tau_h=13.5, beta=0.9).round(6))
    0.497378
    """
    te = within("equivalent_age_h", equivalent_age_h, 0.0, 1e7, "h")
    u = within("ultimate", ultimate, 1e-6, 1.0)
    tau = within("tau_h", tau_h, 0.1, 300.0, "h")
    b = within("beta", beta, 0.1, 5.0)
    power = np.exp(b * np.log(tau / np.maximum(te, 1e-9)))  # faster than a power of numpy's
    return np.where(te > 0, u * np.exp(-power), 0.0)


def ultimate_degree(water_cement: ArrayLike) -> Array:
    """Ultimate degree of hydration of Portland cement, dimensionless.

    1.031 w/c / (0.194 + w/c).

    water_cement : any shape, dimensionless, 0.2 to 1.0

    Raises InputError outside the range.
    Source: MILLS_1966.

    >>> float(ultimate_degree(0.5).round(4))
    0.7428
    """
    wc = within("water_cement", water_cement, 0.2, 1.0)
    most, half = MILLS
    return np.minimum(most * wc / (half + wc), 1.0)
