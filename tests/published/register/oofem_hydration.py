"""Hydration without loss, against the regression values of a finite-element library."""

from functools import cache

import numpy as np

from models.concrete import heat, hydration, maturity
from models.units import Array
from tests.published.register.check import Check
from tests.support import sections

DENSE_J_M3K = 2458.0 * 870.0
CURVE = {"ultimate": 0.85, "tau_h": 13.5, "beta": 0.9}
HEAT_J_M3 = 409.0 * 509e3 * 0.85
DEGREES = {2.0: 0.003218, 27.0: 0.497378, 28.0: 0.506035}  # equivalent age h: degree
HOURS = 30
# hours at 20 degC in an hour at 25: the library's curve is that of 25 degC
AT_25 = float(maturity.rate(25.0, activation_energy_kJ_mol=38.3))


def _degree(equivalent_age_h: float) -> float:
    return float(hydration.degree_of_hydration(equivalent_age_h, **CURVE))


@cache
def without_loss(heat_J_m3: float = HEAT_J_M3, hours: int = HOURS) -> heat.Histories:
    """The OOFEM cement in a section that loses nothing, from 25 degC on."""
    one = np.ones(1)
    return heat.temperature(
        heat.Column(100.0, heat_capacity_J_m3K=DENSE_J_M3K),
        sections.schedule(R_top=1e9, R_bottom=1e9, R_side=1e9),
        sections.exposure(25.0, 10.0, 10.0, hours + 1),
        heat.Kinetics(
            heat_J_m3 * one,
            CURVE["tau_h"] * AT_25 * one,
            CURVE["beta"] * one,
            38.3 * one,
            0.0 * one,
        ),
        np.array([25.0]),
        hours,
    )


def reached(through: heat.Histories) -> Array:
    """Degree of hydration at each hour, by the curve at the age that the section has then."""
    return hydration.degree_of_hydration(through.te_mean_h[:, 0] / AT_25, **CURVE)


def _at_the_degree() -> float:
    through = without_loss(400.0 * 509e3 * 0.85)
    return float(np.interp(0.639423, reached(through), through.mean_C[:, 0]))


def _curve(equivalent_age_h: float, degree: float) -> Check:
    return Check(
        "OOFEM_HYDRATION",
        f"degree of hydration at an age of {equivalent_age_h:g} h",
        "-",
        degree,
        lambda: _degree(equivalent_age_h),
        "1e-6",
        "library",
        "hydratingConcreteMat01.in and 02.in",
    )


def _temperature(hour: int, degrees: float) -> Check:
    return Check(
        "OOFEM_HYDRATION",
        f"temperature without loss after {hour} h",
        "degC",
        degrees,
        lambda: float(without_loss().mean_C[hour, 0]),
        "0.03",
        "library",
        "hydratingConcreteMat03.in, with that library's own time step",
    )


CHECKS = (
    *(_curve(age, degree) for age, degree in DEGREES.items()),
    _temperature(18, 99.109),
    _temperature(27, 103.654),
    Check(
        "OOFEM_HYDRATION",
        "degree of hydration without loss after 27 h",
        "-",
        0.80794,
        lambda: float(reached(without_loss())[27]),
        "1e-4",
        "library",
        "hydratingConcreteMat03.in",
    ),
    Check(
        "OOFEM_HYDRATION",
        "temperature at the degree 0.639423, by energy",
        "degC",
        85.94,
        _at_the_degree,
        "0.1",
        "library",
        "hydratingConcreteMat04.in",
    ),
)
