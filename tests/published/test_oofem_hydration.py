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

from models.concrete import hydration
from tests.published.register import oofem_hydration
from tests.published.register.oofem_hydration import DENSE_J_M3K, HEAT_J_M3, reached, without_loss


def test_degree_of_hydration_at_2_27_28_hours() -> None:
    got = hydration.degree_of_hydration(
        list(oofem_hydration.DEGREES), ultimate=0.85, tau_h=13.5, beta=0.9
    )
    assert got == pytest.approx(list(oofem_hydration.DEGREES.values()), abs=1e-6)


def test_temperature_without_loss_at_18_and_27_hours() -> None:
    through = without_loss(HEAT_J_M3, 30)
    assert through.mean_C[18, 0] == pytest.approx(99.109, abs=0.03)
    assert through.mean_C[27, 0] == pytest.approx(103.654, abs=0.03)


def test_degree_reached_without_loss_at_27_hours() -> None:
    assert reached(without_loss())[27] == pytest.approx(0.80794, abs=1e-4)


def test_section_without_loss_meets_the_energy_of_its_own_degree() -> None:
    heat_J_m3 = 400.0 * 509e3
    through = without_loss(heat_J_m3 * 0.85, 200)
    degree = reached(through)
    balance = heat_J_m3 * degree / DENSE_J_M3K
    hours = [12, 24, 48, 200]
    assert through.mean_C[hours, 0] - 25.0 == pytest.approx(balance[hours], rel=1e-3)
    assert np.interp(0.639423, degree, through.mean_C[:, 0]) == pytest.approx(85.94, abs=0.1)
