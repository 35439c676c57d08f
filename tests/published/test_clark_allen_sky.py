"""Long-wave radiation of a clear sky.

Source     ASHRAE_NIGHT_SKY, EnergyPlus Engineering Reference (Clark & Allen 1978, Walton 1983).
Page says  air 293 K, dew point 283 K, no cloud: emissivity 0.815, sky radiation 340.6 W/m2.
Status     page.
Tolerance  0.001 and 0.5 W/m2: the page rounds the emissivity first (0.81448 and 340.34 unrounded).
"""

import pytest

from models.air import sky
from models.units import STEFAN_BOLTZMANN_W_M2K4


def test_emissivity_of_the_worked_example() -> None:
    got = float(sky.sky_emissivity(283.0 - 273.15, 0.0))
    assert got == pytest.approx(0.815, abs=0.001)
    assert got == pytest.approx(0.8145, abs=0.0001)


def test_sky_radiation_of_the_worked_example() -> None:
    air = 293.0 - 273.15
    emitted = STEFAN_BOLTZMANN_W_M2K4 * 293.0**4
    loss = float(sky.net_sky_loss(air, 283.0 - 273.15, 0.0, 1.0))
    assert emitted - loss == pytest.approx(340.6, abs=0.5)


def test_clear_night_at_5_degrees_takes_62_watts_from_a_level_face() -> None:
    assert float(sky.net_sky_loss(5.0, 3.0, 0.0, 0.9)) == pytest.approx(62.0, abs=0.5)


def test_a_face_cut_off_from_below_falls_under_the_air_on_a_clear_night() -> None:
    # 3.5 K in 2 m/s and 6.2 K in still air, face and air exchanging h + hr
    loss = float(sky.net_sky_loss(5.0, 3.0, 0.0, 0.9))
    radiation = float(sky.radiative_coefficient(5.0, 0.9))
    for wind, printed in ((2.0, 3.5), (0.0, 6.2)):
        fall = loss / (float(sky.convection(wind)) + radiation)
        assert fall == pytest.approx(printed, rel=0.05)
