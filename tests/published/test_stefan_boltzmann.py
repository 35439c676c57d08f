"""Linear coefficient of long-wave exchange.

Source     Stefan-Boltzmann law, constant of CODATA 2018.
Page says  4.16, 4.63, 5.14 W/m2K at 0, 10, 20 C and emissivity 0.9.
Status     exact mathematics.
Tolerance  0.005, the digits printed.
"""

import pytest

from models.air import sky


def test_coefficient_at_0_10_20_degrees() -> None:
    got = sky.radiative_coefficient([0.0, 10.0, 20.0], 0.9)
    assert got == pytest.approx([4.16, 4.63, 5.14], abs=0.005)


def test_coefficient_is_the_slope_of_the_fourth_power() -> None:
    sigma, low, high = 5.670374419e-8, 283.15 - 0.5, 283.15 + 0.5
    slope = 0.9 * sigma * (high**4 - low**4)
    assert float(sky.radiative_coefficient(10.0, 0.9)) == pytest.approx(slope, rel=1e-5)
