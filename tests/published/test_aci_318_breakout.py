"""Pull that tears a cone of concrete out with a cast-in head.

Source     ACI_318_BREAKOUT, 17.6.2.2.1 and 17.6.2.4.1b as worked examples of 2025 use them.
Page says  kc 17, 3000 psi, depth 4 in: 7449 lb; kc 21, 4000 psi, 5.75 in: 18,313 lb; kc 17, 4500
           psi, 12 in: 47,405 lb; edge 8 in at depth 5.75 in: 0.978; 6 in at 12 in: 0.8; 6 in at
           14 in: 0.786. A head that is cast in has kc 24 in the place of 17.
Status     page; the factors on load and resistance are from memory and in no row here.
Tolerance  0.05 % on the printed pounds, half of the last digit on the factors of an edge.
"""

import pytest

from models.facts.inserts import BREAKOUT_PSI, CONE_REACH, EDGE_LEAST, EDGE_REST
from models.piece.inserts import breakout_kN

LB_KN, PSI_MPA, IN_MM = 4.4482216e-3, 6.894757e-3, 25.4


@pytest.mark.parametrize(
    ("kc", "psi", "inches", "pounds"),
    [(17.0, 3000.0, 4.0, 7449.0), (21.0, 4000.0, 5.75, 18313.0), (17.0, 4500.0, 12.0, 47405.0)],
)
def test_breakout_far_from_an_edge(kc: float, psi: float, inches: float, pounds: float) -> None:
    cast_in = breakout_kN(psi * PSI_MPA, inches * IN_MM) / LB_KN
    assert cast_in * kc / BREAKOUT_PSI == pytest.approx(pounds, rel=5e-4)


@pytest.mark.parametrize(
    ("edge", "inches", "factor"), [(8.0, 5.75, 0.978), (6.0, 12.0, 0.8), (6.0, 14.0, 0.786)]
)
def test_an_edge_takes_hold_away(edge: float, inches: float, factor: float) -> None:
    left = edge / (CONE_REACH * inches)
    assert EDGE_LEAST + EDGE_REST * left == pytest.approx(factor, abs=6e-4)
    far = breakout_kN(20.0, inches * IN_MM)
    near = breakout_kN(20.0, inches * IN_MM, edge * IN_MM)
    cone = (CONE_REACH * inches + edge) / (2 * CONE_REACH * inches)  # of the ground of the cone
    assert near / far == pytest.approx(factor * cone, rel=1e-3)
