"""Water that a concrete holds by its water/cement ratio, against a published isotherm.

Source     XI_1994.
Page says  W = C k Vm h / ((1 - k h) (1 + (C - 1) k h)), C exp(855 / T), Vm by w/c 0.85 + 0.45 w/c,
           n by w/c 0.33 + 2.2 w/c, k ((1 - 1 / n) C - 1) / (C - 1), for w/c 0.3 to 0.7.
Status     page; its 2.5 + 1.5 / t is read as 2.5 + 15 / t, which meets its own 5.5 at 5 d.
Tolerance  12 % of what w/c moves, of the water between 80 and 100 % of humidity a gram of cement.
"""

import numpy as np
import pytest

from models.concrete import moisture_laws

AGE_D, T_K = 28.0, 293.15


def held(h: float, water_cement: float) -> float:
    """Water a gram of cement of type 1 holds [g]."""
    C = np.exp(855 / T_K)
    Vm = (0.068 - 0.22 / AGE_D) * (0.85 + 0.45 * water_cement) * 0.9
    n = (2.5 + 15 / AGE_D) * (0.33 + 2.2 * water_cement) * 1.1
    k = ((1 - 1 / n) * C - 1) / (C - 1)
    return float(C * k * Vm * h / ((1 - k * h) * (1 + (C - 1) * k * h)))


@pytest.mark.parametrize("water_cement", [0.4, 0.45, 0.55, 0.6, 0.65, 0.7])
def test_what_the_capillaries_hold_grows_with_the_water(water_cement: float) -> None:
    def given_off(wc: float) -> float:
        wet, dry = moisture_laws.moisture_pct([1.0, 0.8], wc)
        return float(wet - dry)

    ours = given_off(water_cement) / given_off(0.5)
    published = (held(1.0, water_cement) - held(0.8, water_cement)) / (
        held(1.0, 0.5) - held(0.8, 0.5)
    )
    assert ours == pytest.approx(published, rel=0.12)
    assert (ours > 1) == (water_cement > 0.5)
