"""Both maturity functions of ASTM C1074 by interval tables worked by hand.

Source     ASTM_C1074; worked examples civinnovate.com/?p=18387 and
           civilmint.com/maturity-of-concrete.
Page says  28 d at 15 C over a datum of -11 C: 28 x 26 = 728 C d, and not 28 x 4 = 112; 28 d at 18
           C over -11 C: 28 x 24 x 29 = 19 488 C h.
Status     page for the two sums; from memory for the functions; the log is ours, its sums by hand.
Tolerance  exact for sums; 1e-3 relative for the exponential table, which is printed to 5 digits.
"""

import numpy as np
import pytest

from models.concrete import maturity
from tests.published.register import astm_c1074

# readings (h, C): (0, 18) (6, 24) (12, 28) (24, 22) (36, 15) (48, 9) (60, 4) (72, -2)
HOURS, MEANS = np.array(astm_c1074.LOG_H), np.array(astm_c1074.LOG_C)


def test_temperature_time_factor_of_28_days_at_15_degrees() -> None:
    factor = maturity.temperature_time_factor([15.0] * 28, 24.0, datum_C=-11.0)
    assert factor[-1] / 24 == pytest.approx(728.0, abs=1e-9)
    assert factor[0] / 24 == pytest.approx(26.0, abs=1e-9)


def test_temperature_time_factor_of_full_maturity_at_18_degrees() -> None:
    factor = maturity.temperature_time_factor([18.0], 28 * 24.0, datum_C=-11.0)
    assert factor[-1] == pytest.approx(19_488.0, abs=1e-9)


def test_interval_table_over_a_datum_of_minus_10() -> None:
    # 186 + 216 + 420 + 342 + 264 + 198 + 132
    by_hand = np.cumsum([186.0, 216.0, 420.0, 342.0, 264.0, 198.0, 132.0])
    got = maturity.temperature_time_factor(MEANS, HOURS, datum_C=-10.0)
    assert got == pytest.approx(by_hand, abs=1e-9)
    assert got[-1] == pytest.approx(1758.0, abs=1e-9)


def test_interval_table_over_a_datum_of_zero_clamps_on_the_interval_mean() -> None:
    got = maturity.temperature_time_factor(MEANS, HOURS, datum_C=0.0)
    assert got[-1] == pytest.approx(1038.0, abs=1e-9)


def test_an_interval_under_the_datum_adds_nothing() -> None:
    got = maturity.temperature_time_factor([-4.0, 5.0], 10.0, datum_C=0.0)
    assert got == pytest.approx([0.0, 50.0], abs=1e-9)


@pytest.mark.parametrize(
    ("energy", "reference", "expected_h"),
    [
        (33.5, 20.0, 59.453),
        (40.0, 20.0, 58.367),
        (astm_c1074.DEFAULT_Q, 23.0, 48.927),
    ],
)
def test_equivalent_age_of_the_interval_table(
    energy: float, reference: float, expected_h: float
) -> None:
    pace = maturity.rate(MEANS, activation_energy_kJ_mol=energy, reference_C=reference)
    assert float(np.dot(pace, HOURS)) == pytest.approx(expected_h, rel=1e-3)


@pytest.mark.parametrize(("energy", "reference", "factors"), astm_c1074.FACTORS)
def test_age_factors_at_5_10_20_30_40_degrees(
    energy: float, reference: float, factors: tuple[float, ...]
) -> None:
    got = maturity.rate(
        astm_c1074.TEMPERATURES_C, activation_energy_kJ_mol=energy, reference_C=reference
    )
    assert got == pytest.approx(factors, rel=1e-3)
