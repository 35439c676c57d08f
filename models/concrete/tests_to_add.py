"""Which tests a maker should add, where a curve or a rate asks for more."""

import numpy as np

from models.concrete.fit import LEAST_SPAN_K, LEAST_TEMPERATURES
from models.units import Array

LEAST_AGES = 4
LEAST_AGE_FACTOR = 8.0
SAME_AGE = 1.1  # ages within 10 % are one age
AGES_TO_TEST_H = (12.0, 24.0, 48.0, 72.0, 168.0, 336.0, 672.0)  # at 20 degC
TEMPERATURES_TO_TEST_C = (8.0, 23.0, 40.0)


def different_ages(ages_h: Array) -> list[float]:
    """Different ages [h], those within 10 % of the first of them once.

    ages_h : (n,) [h], any order
    Source: OWN_JUDGEMENT.
    """
    out: list[float] = []
    for age in np.sort(ages_h):
        if not out or age > SAME_AGE * out[-1]:
            out.append(float(age))
    return out


def ages_to_add(ages_h: Array, pace: float) -> list[float]:
    """Ages [h] that a curve asks for besides, rising; none when it has them.

    ages_h : (n,) [h]; pace : dimensionless, of the temperature against 20 degC
    Source: OWN_JUDGEMENT.
    """
    ages = different_ages(ages_h)
    tries = [age / pace for age in AGES_TO_TEST_H]
    add: list[float] = []
    while len(ages) < LEAST_AGES or max(ages) < LEAST_AGE_FACTOR * min(ages):
        far = [min(abs(np.log(one / age)) for age in ages) for one in tries]
        add.append(_rounded(tries[int(np.argmax(far))]))
        ages.append(add[-1])
    return sorted(add)


def _rounded(age_h: float) -> float:
    return float(round(age_h)) if age_h < 48.0 else 24.0 * round(age_h / 24.0)


def temperatures_to_add(tested_C: list[float]) -> list[float]:
    """Usual ones [degC] that lie farthest from what was tested, until there are enough.

    tested_C : [degC]
    Source: ASTM_C1074 (three temperatures).
    """
    have, add = list(tested_C), []
    while len(have) < LEAST_TEMPERATURES or np.ptp(have) < LEAST_SPAN_K:
        far = [min(abs(T - one) for one in have) for T in TEMPERATURES_TO_TEST_C]
        add.append(TEMPERATURES_TO_TEST_C[int(np.argmax(far))])
        have.append(add[-1])
    return sorted(add)
