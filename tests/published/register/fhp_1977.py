"""Equivalent age with an activation energy that rises under 20 degC."""

import numpy as np

from models.concrete import maturity
from tests.published.register.astm_c1074 import LOG_C, LOG_H
from tests.published.register.check import Check

FACTORS = {  # at 20 C it is 1 by definition
    0.0: 0.1511,
    5.0: 0.2925,
    10.0: 0.4974,
    15.0: 0.7476,
    25.0: 1.259,
    30.0: 1.574,
    40.0: 2.406,
}
FORMULA = "33.5 kJ/mol, and 1.47 kJ/mol more a kelvin under 20 degC"


def _factor(degrees: float, factor: float) -> Check:
    return Check(
        "FHP_1977",
        f"age factor at {degrees:g} degC",
        "-",
        factor,
        lambda: float(maturity.rate(degrees, activation_energy_kJ_mol=33.5, rise_kJ_mol_K=1.47)),
        "0.12 %",
        "from memory",
        FORMULA,
    )


def _log_age() -> float:
    pace = maturity.rate(LOG_C, activation_energy_kJ_mol=33.5, rise_kJ_mol_K=1.47)
    return float(np.dot(pace, LOG_H))


CHECKS = (
    *(_factor(degrees, factor) for degrees, factor in FACTORS.items()),
    Check(
        "FHP_1977",
        "equivalent age of three days that cool to frost",
        "h",
        53.822,
        _log_age,
        "0.1 %",
        "from memory",
        FORMULA,
    ),
)
