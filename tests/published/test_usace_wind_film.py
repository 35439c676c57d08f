"""Film coefficient of a face in wind.

Source     USACE ETL 1110-2-365 annex A, eqs A-2 and A-3 (after ASHRAE 1977).
Page says  0.165 + 0.0513 V (V mph to 10.9), 0.1132 V^0.8 above, Btu/(day in2 F): 13.44 W/m2K at
           2 m/s, 38.8 at 8 m/s.
Status     page.
Tolerance  2 % at 2 m/s, 8 % at 8 m/s, where the published relations part.
"""

import pytest

from models.air import sky

W_M2K = 34.07  # of one Btu/(day in2 F)


def test_film_at_2_metres_per_second() -> None:
    page = W_M2K * (0.165 + 0.0513 * 2.0 / 0.44704)
    assert page == pytest.approx(13.44, abs=0.01)
    assert float(sky.convection(2.0)) == pytest.approx(13.44, rel=0.02)


def test_film_at_8_metres_per_second() -> None:
    page = W_M2K * 0.1132 * (8.0 / 0.44704) ** 0.8
    assert page == pytest.approx(38.8, abs=0.1)
    assert float(sky.convection(8.0)) == pytest.approx(38.8, rel=0.08)


def test_film_in_still_air() -> None:
    assert float(sky.convection(0.0)) == pytest.approx(5.62, rel=0.02)
