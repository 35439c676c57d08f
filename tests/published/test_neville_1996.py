"""Rain taken up by a dry face.

Source     NEVILLE_1996, HALL_1989, CASTRO_2011.
Page says  typical sorptivity 0.09 mm/min^0.5 at w/c 0.4 and 0.17 at 0.6; what is taken up grows
           with the root of time; specimens kept at 80 % take up less than those at 50 %, down to
           a sixth.
Status     page (Neville quoted on a page, the abstract of Castro).
Tolerance  half of the last digit for the sorptivity; 12 % for three hours through our cells, since
           diffusion takes a little more inwards meanwhile.
"""

import numpy as np
import pytest

from models.concrete import moisture_laws
from tests.published.register.neville_1996 import SORPTIVITY, soaked_kg_m2


@pytest.mark.parametrize(("water_cement", "printed"), SORPTIVITY.items())
def test_a_printed_sorptivity(water_cement: float, printed: float) -> None:
    assert float(moisture_laws.sorptivity(water_cement)) == pytest.approx(printed, abs=0.005)


@pytest.mark.parametrize(("water_cement", "printed"), SORPTIVITY.items())
@pytest.mark.parametrize("hours", [1, 3, 6])
def test_water_taken_up_grows_with_the_root_of_time(
    water_cement: float, printed: float, hours: int
) -> None:
    by_hand = printed * np.sqrt(60.0 * hours)
    assert soaked_kg_m2(water_cement, hours) == pytest.approx(by_hand, rel=0.12)


def test_damp_concrete_takes_up_less_than_dry() -> None:
    at = [soaked_kg_m2(0.5, 6, rh) for rh in (0.50, 0.65, 0.80, 0.95)]
    assert at == sorted(at, reverse=True)
    assert 1.1 < at[0] / at[2] < 6.0
