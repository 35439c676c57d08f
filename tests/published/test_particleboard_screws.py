"""Withdrawal of a screw from particleboard, edge and face.

Source     WOOD_HANDBOOK chapter 8.
Page says  K D^(1/2) (L - D/3)^(5/4) G^2: 2055 of the edge, 2655 of the face in pounds and inches;
           31.8 and 41.1 in newtons and millimetres.
Status     from memory; both systems are held against each other.
Tolerance  0.3 %, three figures.
"""

import pytest

from models.facts.boards import OVEN_DRY
from models.mould.screws import particleboard_N

POUND_N = 4.448222


@pytest.mark.parametrize(("edge", "K"), [(True, 2055.0), (False, 2655.0)])
@pytest.mark.parametrize(("D", "L"), [(0.164, 1.0), (0.19, 1.5)])
def test_inches_and_millimetres_agree(D: float, L: float, K: float, *, edge: bool) -> None:
    pounds = K * D**0.5 * (L - D / 3) ** 1.25 * 0.7**2
    ours = particleboard_N(25.4 * D, 25.4 * L, 700.0 / OVEN_DRY, edge=edge)
    assert ours / POUND_N == pytest.approx(pounds, rel=0.003)


def test_an_edge_holds_less_than_a_face() -> None:
    assert particleboard_N(4, 30, 680) < particleboard_N(4, 30, 680, edge=False)
