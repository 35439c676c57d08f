"""Dew point, humidity and wet face against PsychroLib (ASHRAE Fundamentals).

Source     PyPI psychrolib 2.5, an independent implementation of ASHRAE Fundamentals chapter 1.
Page says  nothing: the library is asked by the test.
Status     library.
Tolerance  dew point 0.05 K above 0 C, where both are over water; humidity 0.003; wet bulb 0.15 K,
           of which 0.5 % is the psychrometric coefficient.
"""

import numpy as np
import psychrolib
import pytest

from models.air import psychrometrics
from tests.published.register.psychrolib import wet_face_C

psychrolib.SetUnitSystem(psychrolib.SI)


def test_dew_points_agree_from_minus_20_to_45_degrees() -> None:
    compared = 0
    for air in np.arange(-20.0, 45.1, 2.5):
        for rh in np.linspace(0.10, 1.0, 19):
            theirs = psychrolib.GetTDewPointFromRelHum(float(air), float(rh))
            if theirs > 0:
                compared += 1
                assert float(psychrometrics.dew_point(air, rh)) == pytest.approx(theirs, abs=0.05)
    assert compared > 150


def test_humidity_from_dew_point_agrees() -> None:
    for air, dew in ((5.0, 1.0), (20.0, 9.26), (25.0, 12.0), (35.0, 30.0)):
        theirs = psychrolib.GetRelHumFromTDewPoint(air, dew)
        assert float(psychrometrics.rh_fraction(air, dew)) == pytest.approx(theirs, abs=0.003)


@pytest.mark.parametrize(
    ("air", "rh"), [(5.0, 0.60), (20.0, 0.50), (25.0, 0.90), (30.0, 0.40), (35.0, 0.25)]
)
def test_bare_wet_face_without_sun_or_sky_settles_at_the_wet_bulb(air: float, rh: float) -> None:
    theirs = psychrolib.GetTWetBulbFromRelHum(air, rh, 101325.0)
    assert wet_face_C(air, 100 * rh) == pytest.approx(theirs, abs=0.15)
