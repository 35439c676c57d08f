"""Hydration and adiabatic temperature against the regression values of a finite-element library.

Source     OOFEM_HYDRATION, tests/tm/hydratingConcreteMat01.in to 04.in.
Page says  degree 0.85 exp(-(13.5 / te)^0.9): te 2, 27, 28 h: 0.003217, 0.497378, 0.506035; cement
           409 kg/m3, 509 kJ/kg, 2458 kg/m3, 870 J/kgK, 38.3 kJ/mol at 25 C, no loss, start 25 C:
           99.109 C at 18 h, 103.654 C and degree 0.80794 at 27 h; 400 kg/m3 and degree 0.639423:
           85.94 C.
Status     page.
Tolerance  1e-6 for the formula; 0.03 K and 1e-4 for the integration, since the printed values
           carry that library's own time step (exact integration gives 99.123 and 103.657); 0.1 K
           for the last.
"""

import numpy as np
import pytest

from models.concrete import heat, hydration, maturity
from tests.published.register import oofem_hydration

DENSE = 2458.0 * 870.0  # J/m3K
FROM_25_TO_20 = float(
    maturity.rate(25.0, activation_energy_kJ_mol=38.3)
)  # hours at 20 per hour at 25


def without_loss(heat_J_m3: float, hours: int) -> heat.Histories:
    one = np.ones(1)
    kinetics = heat.Kinetics(
        heat_J_m3 * one, 13.5 * FROM_25_TO_20 * one, 0.9 * one, 38.3 * one, 0.0 * one
    )
    return heat.temperature(
        heat.Column(100.0, heat_capacity_J_m3K=DENSE),
        heat.Schedule.constant(R_top=1e9, R_bottom=1e9, R_side=1e9),
        heat.Exposure.steady(25.0, 10.0, 10.0, hours + 1),
        kinetics,
        np.array([25.0]),
        hours,
    )


def test_degree_of_hydration_at_2_27_28_hours() -> None:
    got = hydration.degree_of_hydration(
        list(oofem_hydration.DEGREES), ultimate=0.85, tau_h=13.5, beta=0.9
    )
    assert got == pytest.approx(list(oofem_hydration.DEGREES.values()), abs=1e-6)


def test_temperature_without_loss_at_18_and_27_hours() -> None:
    through = without_loss(409.0 * 509e3 * 0.85, 30)
    assert through.mean_C[18, 0] == pytest.approx(99.109, abs=0.03)
    assert through.mean_C[27, 0] == pytest.approx(103.654, abs=0.03)


def test_degree_reached_without_loss_at_27_hours() -> None:
    through = without_loss(409.0 * 509e3 * 0.85, 30)
    age_25 = through.te_mean_h[27, 0] / FROM_25_TO_20
    got = hydration.degree_of_hydration(age_25, ultimate=0.85, tau_h=13.5, beta=0.9)
    assert float(got) == pytest.approx(0.80794, abs=1e-4)


def test_temperature_at_a_given_degree_by_energy() -> None:
    rise = hydration.adiabatic_rise(400.0, 509.0 * 0.639423, DENSE / 1e3)
    assert 25.0 + float(rise) == pytest.approx(85.94, abs=0.1)


def test_section_without_loss_meets_the_energy_of_its_own_degree() -> None:
    through = without_loss(400.0 * 509e3 * 0.85, 200)
    for hour in (12, 24, 48, 200):
        age_25 = through.te_mean_h[hour, 0] / FROM_25_TO_20
        degree = hydration.degree_of_hydration(age_25, ultimate=0.85, tau_h=13.5, beta=0.9)
        balance = float(hydration.adiabatic_rise(400.0, 509.0 * float(degree), DENSE / 1e3))
        assert through.mean_C[hour, 0] - 25.0 == pytest.approx(balance, rel=1e-3)
