"""Strength against equivalent age: our curve, the standards', flexure, added water."""

import numpy as np
from numpy.typing import ArrayLike

from models.concrete import _strength_kernel
from models.facts.fresh import WATER_CEMENT_BASE
from models.facts.handling import RUPTURE
from models.units import Array, within

AGE_28_H = 672.0


def strength(
    equivalent_age_h: ArrayLike,
    *,
    strength_28d_MPa: ArrayLike,
    rate_constant_h: ArrayLike,
    exponent: ArrayLike,
    dormant_h: ArrayLike = 0.0,
) -> Array:
    """Compressive strength at an equivalent age [MPa]; 0 until the dormant time has passed.

    S = S28 exp[ (ts / (672 - t0))^a - (ts / (te - t0))^a ]. With a = 0.5, t0 = 0 and
    ts = 672 s^2 it is the curve of EN 1992-1-1.

    equivalent_age_h : any shape [h] at 20 degC, 0 or more
    strength_28d_MPa : broadcastable [MPa], 0.1 to 300
    rate_constant_h : broadcastable [h], 0.01 to 1000
    exponent : broadcastable, dimensionless, 0.2 to 2
    dormant_h : broadcastable [h], 0 to 100

    Raises InputError outside the ranges.
    Source: FHP_1977 three-parameter form; EN_1992_1_1 for the special case.

    >>> float(strength(672.0, strength_28d_MPa=30.0, rate_constant_h=42.0, exponent=0.5))
    30.0
    """
    te = within("equivalent_age_h", equivalent_age_h, 0.0, 1e7, "h")
    S28 = within("strength_28d_MPa", strength_28d_MPa, 0.1, 300.0, "MPa")
    ts = within("rate_constant_h", rate_constant_h, 0.01, 1000.0, "h")
    a = within("exponent", exponent, 0.2, 2.0)
    t0 = within("dormant_h", dormant_h, 0.0, 100.0, "h")
    shape = np.broadcast_shapes(te.shape, S28.shape, ts.shape, a.shape, t0.shape)
    members = shape[-1] if shape else 1
    alike = max(S28.ndim, ts.ndim, a.ndim, t0.ndim) < 2  # one curve a member throughout

    def rows(values: Array, of: tuple[int, ...]) -> Array:
        return np.ascontiguousarray(np.broadcast_to(values, of)).reshape(-1, members)

    of = (members,) if alike else shape
    ages = rows(te, shape)
    S = np.empty_like(ages)
    curve = rows(S28, of), rows(ts, of), rows(a, of), rows(t0, of)
    _strength_kernel.gain(AGE_28_H, ages, *curve, S)
    return S.reshape(shape)


def age_for_strength(
    strength_MPa: ArrayLike,
    *,
    strength_28d_MPa: ArrayLike,
    rate_constant_h: ArrayLike,
    exponent: ArrayLike,
    dormant_h: ArrayLike = 0.0,
) -> Array:
    """Equivalent age at which a strength is reached [h]; infinite above the final strength.

    The inverse of `strength`.

    strength_MPa : any shape [MPa], 0 to 300
    strength_28d_MPa, rate_constant_h, exponent, dormant_h : as for strength, [MPa], [h], -, [h]

    Raises InputError outside the ranges.
    Source: FHP_1977, inverted.
    """
    S = within("strength_MPa", strength_MPa, 0.0, 300.0, "MPa")
    S28 = within("strength_28d_MPa", strength_28d_MPa, 0.1, 300.0, "MPa")
    ts = within("rate_constant_h", rate_constant_h, 0.01, 1000.0, "h")
    a = within("exponent", exponent, 0.2, 2.0)
    t0 = within("dormant_h", dormant_h, 0.0, 100.0, "h")
    with np.errstate(divide="ignore"):
        distance = (ts / (AGE_28_H - t0)) ** a - np.log(S / S28)
    reachable = distance > 0
    age = ts / np.where(reachable, distance, 1.0) ** (1 / a)
    return np.where(reachable, age + t0, np.inf)


def hydrated(age_h: Array, tau_h: Array, beta: Array) -> Array:
    """Degree of hydration over its last one, dimensionless, (n,).

    age_h, tau_h : (n,) [h], tau over 0; beta : (n,), over 0. A mix whose set comes very late has a
    tau that no measured cement has, so that no range is asked.

    Source: SCHINDLER_FOLLIARD_2005.
    """
    share: Array = np.exp(-((tau_h / np.maximum(age_h, _strength_kernel.YOUNGEST_H)) ** beta))
    return share


def strength_from_set(
    equivalent_age_h: Array,
    latest_h: float,
    *,
    strength_28d_MPa: Array,
    rate_constant_h: Array,
    exponent: Array,
    dormant_h: Array,
    day_one_h: Array,
    begins: Array,
    tau_h: Array,
    beta: Array,
) -> Array:
    """Compressive strength of members at an equivalent age [MPa]: as `strength` from day one on;
    until then it follows the degree of hydration, from the one at which it begins.

    S(day one) (alpha - alpha_0) / (alpha_1 - alpha_0), alpha = exp(-(tau / te)^beta).

    equivalent_age_h : (..., members) [h] at 20 degC, 0 or more; over latest_h [h] it is that
    strength_28d_MPa, rate_constant_h, exponent, dormant_h : (members,) as for strength
    day_one_h : (members,) [h], 0 or more
    begins : (members,), dimensionless, alpha_0, 0 to less than that of day one
    tau_h, beta : (members,) [h], dimensionless, both over 0

    Source: FHP_1977; BYFORS_1980 for the straight line; SCHINDLER_2003 for where it begins.
    """
    ages = np.ascontiguousarray(equivalent_age_h).reshape(-1, len(day_one_h))
    S = np.empty_like(ages)
    curve = strength_28d_MPa, rate_constant_h, exponent, dormant_h
    of_day_one = day_one_h, begins, tau_h, beta
    _strength_kernel.gain_from_set((AGE_28_H, latest_h), ages, *curve, *of_day_one, S)
    return S.reshape(equivalent_age_h.shape)


def first_day_age(
    share: Array,
    *,
    day_one_h: Array,
    begins: Array,
    tau_h: Array,
    beta: Array,
) -> Array:
    """Equivalent age at which a share of the strength of day one is there [h].

    Of that of day one; the inverse in `strength_from_set`; share : (n,), dimensionless, 0 to 1

    Source: BYFORS_1980, inverted.
    """
    whole = hydrated(day_one_h, tau_h, beta)
    reached = begins + share * (whole - begins)
    age_h: Array = tau_h / (-np.log(np.maximum(reached, 1e-12))) ** (1 / beta)
    return age_h


def flexural(strength_MPa: ArrayLike) -> Array:
    """Modulus of rupture [MPa]: 0.62 sqrt(fc).

    strength_MPa : any shape [MPa], 0 to 300

    Raises InputError outside the range.
    Source: ACI_318.
    """
    return RUPTURE * np.sqrt(within("strength_MPa", strength_MPa, 0.0, 300.0, "MPa"))


def strength_for_flexure(flexural_MPa: ArrayLike) -> Array:
    """Compressive strength that goes with a modulus of rupture [MPa]; inverse of `flexural`.

    flexural_MPa : any shape [MPa], 0 to 20

    Raises InputError outside the range.
    Source: ACI_318, inverted.
    """
    return (within("flexural_MPa", flexural_MPa, 0.0, 20.0, "MPa") / RUPTURE) ** 2


def added_water_factor(water_cement: ArrayLike, added_water_cement: ArrayLike) -> Array:
    """Fraction of strength left after more water than the label asks, dimensionless.

    Abrams: S ~ B^-(w/c) with B = 14 on w/c by mass, so the factor is 14^-(added w/c).

    water_cement : broadcastable, dimensionless, 0.2 to 0.9 (range check only)
    added_water_cement : broadcastable, dimensionless, 0 to 1000

    Raises InputError outside the ranges.
    Source: Abrams 1918; YEH_1998 for the base, OWN_JUDGEMENT for its use on bags.
    """
    within("water_cement", water_cement, 0.2, 0.9)
    extra = within("added_water_cement", added_water_cement, 0.0, 1e3)
    return np.power(WATER_CEMENT_BASE, -extra)
