"""Equivalent age with an activation energy that rises under 20 C.

Source     FHP_1977: E = 33.5 kJ/mol from 20 C on, 33.5 + 1.47 (20 - T) below.
Page says  factors by temperature as tabled in the facts (computed from the formula).
Status     from memory; the page of the formula was not found.
Tolerance  1e-3 relative, the digits printed.
"""

import numpy as np
import pytest

from models.concrete import maturity

TEMPERATURES = [-5.0, 0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0]
FACTORS = [0.0681, 0.1511, 0.2925, 0.4974, 0.7476, 1.0, 1.259, 1.574, 2.406]


def test_age_factors_fall_steeply_in_the_cold() -> None:
    got = maturity.rate(
        TEMPERATURES, activation_energy_kJ_mol=33.5, rise_kJ_mol_K=maturity.FHP_KJ_PER_K
    )
    assert got == pytest.approx(FACTORS, rel=1.2e-3)


def test_three_days_that_cool_to_frost_count_53_8_hours() -> None:
    hours = np.diff([0.0, 6.0, 12.0, 24.0, 36.0, 48.0, 60.0, 72.0])
    means = [21.0, 26.0, 25.0, 18.5, 12.0, 6.5, 1.0]
    got = maturity.equivalent_age(
        means, hours, activation_energy_kJ_mol=33.5, rise_kJ_mol_K=maturity.FHP_KJ_PER_K
    )
    assert got[-1] == pytest.approx(53.822, rel=1e-3)
