"""Hydration of a CEM I 42.5 R from 5 to 30 C by conduction calorimetry.

Source     Zakoutsky, Tydlitat & Cerny 2012, Constr. Build. Mater., abstract.
Page says  activation energy 32.2 kJ/mol; the peak comes about 3 times earlier at 30 C than at 5 C.
Status     page (abstract).
Tolerance  "about 3": 2.8 to 3.4, the span that rounds to 3 in words.
"""

from models.concrete import maturity


def test_hydration_at_30_degrees_is_about_three_times_as_fast_as_at_5() -> None:
    warm, cold = maturity.rate([30.0, 5.0], activation_energy_kJ_mol=32.2)
    assert 2.8 <= warm / cold <= 3.4
