"""Withdrawal of a screw from particleboard: its edge against its face, and against solid wood.

Source     MCNATT_SCREWS, a survey of tests; the formula is that of WOOD_HANDBOOK.
Page says  the edge holds 75 to 80 % of the face; in all cases a board holds considerably less than
           solid wood as dense.
Status     page for both; the formula itself is from memory, and no page of it was found.
Tolerance  the page's range; less than 0.9 for considerably less.
"""

import pytest

from models.mould.screws import particleboard_N, wood_N


@pytest.mark.parametrize(("D", "L"), [(4.0, 34.0), (4.0, 20.0), (5.0, 50.0)])
@pytest.mark.parametrize("density", [600.0, 700.0])
def test_an_edge_holds_three_quarters_of_a_face_and_less_than_wood(
    D: float, L: float, density: float
) -> None:
    edge = particleboard_N(D, L, density)
    assert 0.75 <= edge / particleboard_N(D, L, density, edge=False) <= 0.80
    assert edge < 0.9 * wood_N(D, L, density)
