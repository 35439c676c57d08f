"""Compiled strength along ages, row by row: members innermost, as everywhere."""

import numpy as np

from models._jit import kernel, stage
from models.concrete._heat_stages import fast_exp
from models.units import Array

STEEP = 5.0  # ln of (rate constant / age)^a over which nothing has grown: exp(-148)
LEAST = -60.0  # ln of a share that is none
YOUNGEST_H = 1e-3  # a younger age is this
MANTISSA, ONE = np.int64(0x000FFFFFFFFFFFFF), np.int64(0x3FF0000000000000)  # of a float
ROOT_2, LN_2 = 1.4142135623730951, 0.6931471805599453


@stage
def fast_log(x: float) -> float:
    """ln(x) of a normal number over 0 to a few 1e-15, without a branch, so that loops vectorise.

    The exponent out of its bits, the rest of 0.7 to 1.4 by 2 artanh((x - 1) / (x + 1)).
    """
    bits = np.float64(x).view(np.int64)
    part = np.int64((bits & MANTISSA) | ONE).view(np.float64)
    upper = part > ROOT_2
    part = 0.5 * part if upper else part
    twos = np.float64(np.int32((bits >> 52) - 1023)) + (1.0 if upper else 0.0)
    z = (part - 1) / (part + 1)
    z2 = z * z
    series = 1 / 3 + z2 * (1 / 5 + z2 * (1 / 7 + z2 * (1 / 9 + z2 * (1 / 11 + z2 * (1 / 13)))))
    ln: float = twos * LN_2 + 2 * z * (1 + z2 * series)
    return ln


@stage
def power(ln_ratio: float, exponent: float) -> float:
    """exp(a ln x), at most exp(STEEP)."""
    grown: float = fast_exp(min(exponent * ln_ratio, STEEP))
    return grown


@stage
def grown(age_h: float, full_MPa: float, ln_rate: float, exponent: float, whole: float) -> float:
    """Strength at an age counted from the dormant time [MPa]; whole: power at the full age."""
    left = power(ln_rate - fast_log(max(age_h, 1e-9)), exponent)
    S: float = full_MPa * fast_exp(max(whole - left, LEAST))
    return S if age_h > 0 else 0.0


@stage
def hydrated(age_h: float, tau_h: float, beta: float) -> float:
    """Degree of hydration over its last one."""
    ln_ratio = fast_log(tau_h / max(age_h, YOUNGEST_H))
    share: float = fast_exp(max(-power(ln_ratio, beta), LEAST))
    return share


@kernel
def gain(
    full_age_h: float,
    age_h: Array,
    strength_28d_MPa: Array,
    rate_constant_h: Array,
    exponent: Array,
    dormant_h: Array,
    out: Array,
) -> None:
    """As strength.strength; ages and out (rows, members), the rest (rows or 1, members)."""
    rows, members = age_h.shape
    curves = strength_28d_MPa.shape[0]
    ln_rate, whole = np.empty((curves, members)), np.empty((curves, members))
    for c in range(curves):
        for m in range(members):
            ln_rate[c, m] = fast_log(rate_constant_h[c, m])
            ln_ratio = ln_rate[c, m] - fast_log(full_age_h - dormant_h[c, m])
            whole[c, m] = power(ln_ratio, exponent[c, m])
    for r in range(rows):
        c = r if curves > 1 else 0
        for m in range(members):
            age, full = age_h[r, m] - dormant_h[c, m], strength_28d_MPa[c, m]
            out[r, m] = grown(age, full, ln_rate[c, m], exponent[c, m], whole[c, m])


@kernel
def gain_from_set(
    ages_h: tuple[float, float],
    age_h: Array,
    strength_28d_MPa: Array,
    rate_constant_h: Array,
    exponent: Array,
    dormant_h: Array,
    day_one_h: Array,
    begins: Array,
    tau_h: Array,
    beta: Array,
    out: Array,
) -> None:
    """As strength.strength_from_set; ages_h the full and the last that counts, ages and out (rows,
    members), the rest (members,)."""
    full_age_h, latest_h = ages_h
    rows, members = age_h.shape
    ln_rate, whole, first = np.empty(members), np.empty(members), np.empty(members)
    for m in range(members):
        ln_rate[m] = fast_log(rate_constant_h[m])
        ln_ratio = ln_rate[m] - fast_log(full_age_h - dormant_h[m])
        whole[m] = power(ln_ratio, exponent[m])
        first[m] = hydrated(day_one_h[m], tau_h[m], beta[m]) - begins[m]
    for r in range(rows):
        young = False
        for m in range(members):
            young |= age_h[r, m] < day_one_h[m]
            age = max(min(age_h[r, m], latest_h), day_one_h[m]) - dormant_h[m]
            out[r, m] = grown(age, strength_28d_MPa[m], ln_rate[m], exponent[m], whole[m])
        if young:
            for m in range(members):
                share = (hydrated(age_h[r, m], tau_h[m], beta[m]) - begins[m]) / first[m]
                out[r, m] *= min(max(share, 0.0), 1.0) if age_h[r, m] < day_one_h[m] else 1.0


@kernel
def weaken(
    strength_MPa: Array,
    temperature_C: Array,
    loss_per_K: Array,
    as_told_C: float,
    most_K: float,
) -> None:
    """Take off (rows, members) of strength what grew warmer than as told loses by the end."""
    rows, members = strength_MPa.shape
    before, lost = strength_MPa[0].copy(), strength_MPa[0] * 0.0
    for r in range(1, rows):
        for m in range(members):
            S = strength_MPa[r, m]
            over_K = 0.5 * (temperature_C[r, m] + temperature_C[r - 1, m]) - as_told_C
            lost[m] += (S - before[m]) * loss_per_K[m] * min(max(over_K, 0.0), most_K)
            before[m] = S
            strength_MPa[r, m] = S - lost[m]
