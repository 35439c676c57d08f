"""Equivalent age with an activation energy that rises under 20 C.

Source     FHP_1977: E = 33.5 kJ/mol from 20 C on, 33.5 + 1.47 (20 - T) below.
Page says  factors by temperature as tabled in the facts (computed from the formula), from 0 C up;
           under freezing ours fades to nothing at -10 C (CONCRETE_PRODUCER).
Status     from memory; the page of the formula was not found.
Tolerance  1e-3 relative, the digits printed.
"""

import numpy as np
import pytest

from models.concrete import maturity
from tests.published.register.astm_c1074 import LOG_C, LOG_H
from tests.published.register.fhp_1977 import FACTORS


def test_age_factors_fall_steeply_in_the_cold() -> None:
    got = maturity.rate([*FACTORS, 20.0], activation_energy_kJ_mol=33.5, rise_kJ_mol_K=1.47)
    assert got == pytest.approx([*FACTORS.values(), 1.0], rel=1.2e-3)


def test_three_days_that_cool_to_frost_count_53_8_hours() -> None:
    pace = maturity.rate(LOG_C, activation_energy_kJ_mol=33.5, rise_kJ_mol_K=1.47)
    assert float(np.dot(pace, LOG_H)) == pytest.approx(53.822, rel=1e-3)
