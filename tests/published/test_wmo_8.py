"""Saturation pressure and dew point over water by the constants of the WMO guide.

Source     WMO_8 annex 4.B: 6.112 hPa, 17.62, 243.12 C; Bolton 1980 in an open library's test files.
Page says  constants; Bolton: e 22 hPa is a dew point of 19.0291 C, 25 C with dew point 12 C is
           44.248 %, saturation at 25 C is 31.674 hPa; the table is arithmetic on the WMO constants.
Status     page for the constants and Bolton's digits.
Tolerance  0.006 C for the table (two decimals); 0.05 C, 0.2 % and 0.3 % for Bolton, whose constants
           differ (all three Magnus sets agree within 0.031 C).
"""

import pytest

from models.air import psychrometrics

HUMIDITY = [30, 40, 50, 60, 70, 80, 85, 90, 95]
TABLE = {
    5.0: [-11.17, -7.50, -4.58, -2.13, -0.02, 1.83, 2.69, 3.50, 4.27],
    10.0: [-6.81, -3.00, 0.04, 2.58, 4.78, 6.71, 7.59, 8.43, 9.24],
    15.0: [-2.46, 1.49, 4.65, 7.29, 9.57, 11.58, 12.50, 13.37, 14.20],
    20.0: [1.88, 5.98, 9.26, 12.00, 14.36, 16.44, 17.40, 18.31, 19.17],
    25.0: [6.21, 10.46, 13.85, 16.69, 19.15, 21.31, 22.30, 23.24, 24.14],
    30.0: [10.53, 14.93, 18.44, 21.39, 23.93, 26.17, 27.20, 28.18, 29.11],
    35.0: [14.84, 19.38, 23.02, 26.07, 28.71, 31.03, 32.10, 33.11, 34.08],
}


@pytest.mark.parametrize("air", TABLE)
def test_dew_point_table(air: float) -> None:
    got = psychrometrics.dew_point(air, [rh / 100 for rh in HUMIDITY])
    assert got == pytest.approx(TABLE[air], abs=0.006)


def test_saturation_pressure_from_0_to_35_degrees() -> None:
    got = psychrometrics.saturation_pressure([0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0])
    printed = [6.112, 8.717, 12.260, 17.017, 23.326, 31.601, 42.337, 56.128]
    assert got == pytest.approx(printed, abs=6e-4)


def test_digits_of_bolton() -> None:
    at_22_hPa = 22.0 / float(psychrometrics.saturation_pressure(30.0))
    assert float(psychrometrics.dew_point(30.0, at_22_hPa)) == pytest.approx(19.0291, abs=0.05)
    assert 100 * float(psychrometrics.rh_fraction(25.0, 12.0)) == pytest.approx(44.248, abs=0.2)
    assert float(psychrometrics.saturation_pressure(25.0)) == pytest.approx(31.674, rel=0.003)


def test_humidity_at_which_a_piece_at_air_temperature_is_3_k_over_the_dew_point() -> None:
    air = [5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0]
    got = psychrometrics.rh_fraction(air, [t - 3 for t in air])
    assert 100 * got == pytest.approx([81.0, 81.6, 82.3, 82.9, 83.5, 84.0, 84.5], abs=0.06)


@pytest.mark.parametrize(("air", "spread"), [(5.0, 2.31), (20.0, 2.60), (35.0, 2.90)])
def test_at_85_per_cent_the_three_kelvin_rule_is_the_stricter_one(
    air: float, spread: float
) -> None:
    assert air - float(psychrometrics.dew_point(air, 0.85)) == pytest.approx(spread, abs=0.006)
    assert spread < 3.0
