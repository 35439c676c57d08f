"""Both maturity functions: temperature-time factor and equivalent age."""

import numpy as np

from models.concrete import maturity
from models.units import GAS_J_MOLK
from tests.published.register.check import Check

# readings (h, C): (0, 18) (6, 24) (12, 28) (24, 22) (36, 15) (48, 9) (60, 4) (72, -2)
LOG_H = (6.0, 6.0, 12.0, 12.0, 12.0, 12.0, 12.0)
LOG_C = (21.0, 26.0, 25.0, 18.5, 12.0, 6.5, 1.0)
DEFAULT_Q = 5000.0 * GAS_J_MOLK / 1e3  # Q = 5000 K, the default of the practice
FUNCTION = "exp(E / R (1 / Tr - 1 / T)), arithmetic on it; the energies are named beside"
LOG = "a log of our own, summed by hand"
TEMPERATURES_C = (5.0, 10.0, 20.0, 30.0, 40.0)
FACTORS = (  # kJ/mol, reference C, factors at those temperatures
    (33.5, 20.0, (0.4765, 0.6154, 1.0, 1.574, 2.406)),
    (40.0, 20.0, (0.4127, 0.5601, 1.0, 1.718, 2.852)),
    (45.0, 20.0, (0.3695, 0.5210, 1.0, 1.839, 3.252)),
    (DEFAULT_Q, 23.0, (0.3354, 0.4606, 0.8413, 1.4768, 2.5006)),
)


def _factor_sum(quantity: str, published: float, days: float, degrees: float, where: str) -> Check:
    return Check(
        "ASTM_C1074",
        quantity,
        "degC h",
        published,
        lambda: float(maturity.temperature_time_factor([degrees], 24 * days, datum_C=-11.0)[-1]),
        "1e-9",
        "page",
        where,
    )


def _log_sum(datum_C: float, published: float) -> Check:
    return Check(
        "ASTM_C1074",
        f"temperature-time factor of a cooling log over {datum_C:g} degC",
        "degC h",
        published,
        lambda: float(
            maturity.temperature_time_factor(LOG_C, np.array(LOG_H), datum_C=datum_C)[-1]
        ),
        "1e-9",
        "mathematics",
        LOG,
    )


def _log_age(energy: float, reference_C: float, hours: float) -> Check:
    return Check(
        "ASTM_C1074",
        f"equivalent age of a cooling log, {energy:.1f} kJ/mol at {reference_C:g} degC",
        "h",
        hours,
        lambda: float(
            np.dot(
                LOG_H,
                maturity.rate(LOG_C, activation_energy_kJ_mol=energy, reference_C=reference_C),
            )
        ),
        "0.1 %",
        "mathematics",
        LOG,
    )


def _factor(energy: float, reference_C: float, degrees: float, factor: float) -> Check:
    return Check(
        "ASTM_C1074",
        f"age factor at {degrees:g} degC, {energy:.1f} kJ/mol at {reference_C:g} degC",
        "-",
        factor,
        lambda: float(
            maturity.rate(degrees, activation_energy_kJ_mol=energy, reference_C=reference_C)
        ),
        "0.1 %",
        "mathematics",
        FUNCTION,
    )


CHECKS = (
    _factor_sum(
        "temperature-time factor of 28 d at 15 degC over -11 degC",
        728.0 * 24,
        28.0,
        15.0,
        "civinnovate.com/?p=18387: 28 x 26 = 728 degC d",
    ),
    _factor_sum(
        "temperature-time factor of 28 d at 18 degC over -11 degC",
        19_488.0,
        28.0,
        18.0,
        "civilmint.com/maturity-of-concrete: 28 x 24 x 29",
    ),
    _log_sum(-10.0, 1758.0),
    _log_sum(0.0, 1038.0),
    _log_age(33.5, 20.0, 59.453),
    _log_age(40.0, 20.0, 58.367),
    _log_age(DEFAULT_Q, 23.0, 48.927),
    *(
        _factor(energy, reference, degrees, factor)
        for energy, reference, row in FACTORS
        for degrees, factor in zip(TEMPERATURES_C, row, strict=True)
        if factor != 1.0
    ),
)
