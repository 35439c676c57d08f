"""What a wood screw may be counted on, across the grain.

Source     WOOD_SCREWS_ALLOWED; WOOD_HANDBOOK for the ultimate.
Page says  2850 G2 D pounds an inch; spruce of 0.45 and a no. 10 screw of 0.190 in: 109 lb/in.
Status     page.
Tolerance  0.5 lb/in, the page's rounding.
"""

import pytest

from models.facts.boards import OVEN_DRY
from models.facts.formwork import SCREW_COUNTED
from models.mould.screws import Screw, counted_N, wood_N

POUND_N = 4.448222


def allowed_lb_in(G: float, diameter_in: float) -> float:
    ultimate = wood_N(25.4 * diameter_in, 25.4, 1e3 * G / OVEN_DRY)
    return SCREW_COUNTED * ultimate / POUND_N


def test_spruce_and_a_number_ten() -> None:
    assert allowed_lb_in(0.45, 0.190) == pytest.approx(109.7, abs=0.6)


def test_the_edge_of_plywood_is_counted_for_less() -> None:
    screw = Screw(4.0, 50.0)
    edge = counted_N("plywood", 18.0, screw)
    assert edge is not None
    assert edge < SCREW_COUNTED * wood_N(4.0, 32.0, 600.0)
