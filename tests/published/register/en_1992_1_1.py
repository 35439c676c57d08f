"""Strength by age, and age by temperature."""

from collections.abc import Sequence

import numpy as np

from models.concrete import maturity, moisture_laws, strength
from models.units import GAS_J_MOLK
from tests.published.register.astm_c1074 import LOG_C, LOG_H
from tests.published.register.check import Check

LIBRARY = "test files of the open library structuralcodes"
BETA = "3.1.2(6); arithmetic on the printed formula"
ADJUSTED = "B.10; arithmetic on exp(13.65 - 4000 / (273 + T)), which is 0.9981 at 20 degC"
EN_ENERGY = 4000.0 * GAS_J_MOLK / 1e3  # kJ/mol
LIBRARY_BETA = {9.0: 0.82616683, 27.0: 0.99542297, 56.0: 1.07597078, 365.0: 1.19812463}
SHARES = {  # s: share at 1, 3, 7, 91 d
    0.20: (0.4239, 0.6630, 0.8187, 1.0932),
    0.25: (0.3420, 0.5982, 0.7788, 1.1178),
    0.38: (0.1958, 0.4580, 0.6839, 1.1844),
}
AGES_D = {  # s: age at which 10, 30, 50, 70, 90 % are reached
    0.20: (0.179, 0.568, 1.404, 3.614, 12.011),
    0.25: (0.269, 0.828, 1.967, 4.755, 13.858),
    0.38: (0.562, 1.611, 3.511, 7.450, 17.163),
}
ADJUSTED_D = {5.0: 0.4778, 10.0: 0.6161, 15.0: 0.7875, 20.0: 0.9981, 30.0: 1.566, 40.0: 2.388}

SHRUNK = {
    20.0: {0.40: 0.58, 0.60: 0.49, 0.80: 0.30, 0.90: 0.17},
    40.0: {0.60: 0.38, 0.80: 0.24},
}  # fck: permille by humidity


def ours_at(days: float, s: float) -> float:
    """Share of the 28-day strength by our curve, which is the code's at an exponent of a half."""
    share = strength.strength(
        24 * days, strength_28d_MPa=1.0, rate_constant_h=672.0 * s**2, exponent=0.5
    )
    return float(share)


def aged(temperature_C: Sequence[float], hours: Sequence[float]) -> float:
    """Equivalent age [h] of a log by our age factor with the energy of the code."""
    return float(np.sum(maturity.rate(temperature_C, activation_energy_kJ_mol=EN_ENERGY) * hours))


def _beta(days: float, s: float, share: float, tolerance: str, status: str, where: str) -> Check:
    return Check(
        "EN_1992_1_1",
        f"share of the 28-day strength at {days:g} d, s {s:.2f}",
        "-",
        share,
        lambda: ours_at(days, s),
        tolerance,
        status,
        where,
    )


def _age(share: float, s: float, days: float) -> Check:
    def ours() -> float:
        hours = strength.age_for_strength(
            share * 40.0, strength_28d_MPa=40.0, rate_constant_h=672.0 * s**2, exponent=0.5
        )
        return float(hours) / 24

    return Check(
        "EN_1992_1_1",
        f"age at {100 * share:.0f} % of the 28-day strength, s {s:.2f}",
        "d",
        days,
        ours,
        "0.2 %",
        "mathematics",
        BETA,
    )


def _adjusted(degrees: float, days: float) -> Check:
    return Check(
        "EN_1992_1_1",
        f"adjusted age of one day at {degrees:g} degC",
        "d",
        days,
        lambda: aged([degrees], [1.0]),
        "0.3 %",
        "mathematics",
        ADJUSTED,
    )


def _strain(
    fck: float, rh: float, permille: float, tolerance: str, status: str, where: str
) -> Check:
    return Check(
        "EN_1992_1_1",
        f"drying shrinkage of C{fck:g} at {100 * rh:g} % humidity",
        "permille",
        permille,
        lambda: 1e3 * float(moisture_laws.shrinkage(rh, fck + 8.0)),
        tolerance,
        status,
        where,
    )


CHECKS = (
    *(_beta(days, 0.25, share, "1e-6", "library", LIBRARY) for days, share in LIBRARY_BETA.items()),
    *(
        _beta(days, s, share, "1e-4", "mathematics", BETA)
        for s, row in SHARES.items()
        for days, share in zip((1.0, 3.0, 7.0, 91.0), row, strict=True)
    ),
    *(
        _age(share, s, days)
        for s, row in AGES_D.items()
        for share, days in zip((0.1, 0.3, 0.5, 0.7, 0.9), row, strict=True)
    ),
    *(_adjusted(degrees, days) for degrees, days in ADJUSTED_D.items()),
    Check(
        "EN_1992_1_1",
        "adjusted age of a cooling log",
        "h",
        59.382,
        lambda: aged(LOG_C, LOG_H),
        "0.3 %",
        "mathematics",
        ADJUSTED,
    ),
    _strain(30.0, 0.60, 0.432, "0.001", "page", "B.11; worked value of C660, scribd 414604439"),
    *(
        _strain(fck, rh, permille, "0.008", "from memory", "table 3.2")
        for fck, row in SHRUNK.items()
        for rh, permille in row.items()
    ),
)
