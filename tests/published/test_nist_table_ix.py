"""Age factors printed beside measured activation energies.

Source     NIST_BENTZ_TABLE_IX (NIST, J. Am. Ceram. Soc.); NIST ACS 2005, ciks.cbt.nist.gov
           ACS2005/node6.
Page says  38.2 kJ/mol: 15 to 25 C is 0.585, 35 to 25 C is 1.65; 45.5 kJ/mol: 40 C runs 3.3 times
           20 C.
Status     page.
Tolerance  half a unit of the last printed digit: 0.0008 (0.5858 prints as 0.586), 0.005, 0.05.
"""

import pytest

from models.concrete import maturity


def test_a_day_at_15_degrees_counts_0585_days_at_25() -> None:
    got = maturity.rate(15.0, activation_energy_kJ_mol=38.2, reference_C=25.0)
    assert float(got) == pytest.approx(0.585, abs=0.001)


def test_a_day_at_35_degrees_counts_165_days_at_25() -> None:
    got = maturity.rate(35.0, activation_energy_kJ_mol=38.2, reference_C=25.0)
    assert float(got) == pytest.approx(1.65, abs=0.005)


def test_rate_at_40_degrees_is_33_times_the_rate_at_20() -> None:
    got = maturity.rate(40.0, activation_energy_kJ_mol=45.5, reference_C=20.0)
    assert float(got) == pytest.approx(3.3, abs=0.05)


def test_mean_of_the_six_measured_energies_is_382() -> None:
    measured = (39.3, 41.3, 36.9, 36.5, 40.0, 35.3)
    factors = [
        float(maturity.rate(15.0, activation_energy_kJ_mol=Ea, reference_C=25.0)) for Ea in measured
    ]
    mean = float(maturity.rate(15.0, activation_energy_kJ_mol=38.2, reference_C=25.0))
    assert min(factors) < mean < max(factors)
    assert sum(factors) / 6 == pytest.approx(mean, rel=0.005)
