"""Where the rate formulas for the pressure of fresh concrete hold.

Source     ACI_347_PRESSURE, as its editor retells it.
Page says  one formula under 7 ft/h and up to 14 ft; the other over 14 ft, and from 7 to 15 ft/h; a
           slump of 10 in is outside, since 7 in is the most: then w h without coefficients.
Status     page.
Tolerance  exact: which rule is taken; the rounded metric limits lie within 2 % of the printed
           ones.
"""

import pytest

from models.facts.formwork import (
    ACI_HEIGHT_M,
    ACI_RATE_M_H,
    ACI_SECOND_RATE_M_H,
    ACI_SLUMP_MM,
)
from models.mould.pressure import Placing, aci_347_kPa, pressure_of
from models.piece.quantities import fluid_pressure_kPa

FOOT_M = 0.3048


def test_the_limits_are_those_of_the_page() -> None:
    assert pytest.approx(7 * FOOT_M, rel=0.02) == ACI_RATE_M_H
    assert pytest.approx(14 * FOOT_M, rel=0.02) == ACI_HEIGHT_M
    assert pytest.approx(15 * FOOT_M, rel=0.02) == ACI_SECOND_RATE_M_H
    assert pytest.approx(7 * 25.4, rel=0.02) == ACI_SLUMP_MM


def test_ten_inches_of_slump_press_with_the_full_head() -> None:
    stiff = Placing(placing_h=3.0, concrete_C=20.0, slump_mm=150.0, shaken=False)
    flowing = Placing(placing_h=3.0, concrete_C=20.0, slump_mm=254.0, shaken=False)
    head = float(fluid_pressure_kPa(4.0))
    assert pressure_of(4.0, flowing).most_kPa == head
    assert pressure_of(4.0, flowing).rule == "full_head"
    assert pressure_of(4.0, stiff).most_kPa < head


def test_beyond_fifteen_feet_an_hour_no_formula_holds() -> None:
    fast = aci_347_kPa(4.0, 16 * FOOT_M, 20.0, 2320.0)
    assert fast == pytest.approx(float(fluid_pressure_kPa(4.0, 2320.0)))
    assert aci_347_kPa(4.0, 14 * FOOT_M, 20.0, 2320.0) < fast
