"""What is put on the weight of a panel that is tilted up.

Source     TILT_UP_INSERTS and ACI_551.
Page says  an impact allowance of 50 percent: inserts of 7500 pounds for a panel of 5000; guides
           name 1.25 to 2.0, by the engineer.
Status     page.
Tolerance  exact: printed numbers.
"""

import pytest

from models.facts.handling import DYNAMIC_FACTOR, TRAVEL_FACTOR
from models.piece.handling import bending_stress_MPa
from models.piece.shape import Shape
from models.piece.turning import turning_ways


def test_the_jerk_is_the_printed_allowance() -> None:
    assert DYNAMIC_FACTOR * 5000 == 7500
    still = bending_stress_MPa(900.0, 50.0, 2400.0)
    edge = turning_ways(Shape("panel", 1800.0, 900.0, 50.0), 2400.0)[0]
    assert edge.stress_MPa / still == pytest.approx(1.5)


def test_jerk_and_travel_lie_in_the_range_of_the_guide() -> None:
    assert 1.25 <= DYNAMIC_FACTOR <= TRAVEL_FACTOR <= 2.0
