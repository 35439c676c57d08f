"""Film coefficient of a plate in wind, the old engineers' line.

Source     MCADAMS_1954: 5.7 + 3.8 v W/m2K; ISO_6946: 4 + 4 v without radiation.
Page says  5.7, 9.5, 13.3, 24.2, 36.1 at 0, 1, 2, 4.87, 8 m/s.
Status     from memory.
Tolerance  8 %, by which the published relations differ among themselves.
"""

import numpy as np
import pytest

from models.air import sky

WIND = np.array([0.0, 1.0, 2.0, 4.87, 8.0])


def test_film_follows_the_line() -> None:
    assert sky.convection(WIND) == pytest.approx([5.7, 9.5, 13.3, 24.2, 36.1], rel=0.08)


def test_film_lies_between_iso_6946_and_its_value_with_calm_air_convection() -> None:
    iso = 4.0 + 4.0 * WIND
    assert (sky.convection(WIND) >= iso).all()
    assert (sky.convection(WIND) <= iso + 2.0).all()


def test_film_never_falls_with_wind() -> None:
    wind = np.linspace(0.0, 30.0, 601)
    assert (np.diff(sky.convection(wind)) >= 0).all()
