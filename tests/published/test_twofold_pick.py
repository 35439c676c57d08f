"""Where two points hold a bar so that it bends least.

Source     PICK_POINTS.
Page says  two points of a bar of even weight are 0.207 L from its ends where hogging over them is
           as much as sagging between them; the moment there, 0.02145 w L2, follows from it.
Status     page.
Tolerance  0.0005 of L, as printed; 0.1 % of the moment, which is arithmetic.
"""

import numpy as np
import pytest

from models.facts.handling import FIFTH_MOMENT, FIFTH_POINT
from models.piece.shape import Shape
from models.piece.turning import turning_ways


def worst(a: float) -> float:
    """Of hogging and sagging, over w L2."""
    return max(a**2 / 2, abs(1 / 8 - a / 2))


def test_the_points_are_where_the_page_has_them_and_nowhere_bends_less() -> None:
    places = np.linspace(0.0, 0.5, 50_001)
    best = float(places[np.argmin([worst(a) for a in places])])
    assert pytest.approx(0.207, abs=0.0005) == FIFTH_POINT
    assert best == pytest.approx(FIFTH_POINT, abs=1e-4)
    assert worst(best) == pytest.approx(FIFTH_MOMENT, rel=1e-3)


def test_a_top_held_there_bends_less_than_a_fifth_of_what_it_does_by_its_ends() -> None:
    by = {one.key: one.stress_MPa for one in turning_ways(Shape("panel", 1800, 900, 50), 2400.0)}
    assert by["ends"] / by["fifth_points"] == pytest.approx(0.125 / worst(0.2071), rel=1e-3)
