"""Stress at the edge of a round hole in a thin plate that bends, over that far from it.

Source     PETERSON_HOLE.
Page says  (5 + 3 nu) / (3 + nu): 1.79 at nu 0.3, 5/3 at nu 0.
Status     from memory; held against the plate equation solved here: a ring of thirty radii with the
           moments of simple bending at its rim, in constant and cos 2 theta parts.
Tolerance  1 %: the ring ends at thirty radii.
"""

import numpy as np
import pytest

from models.facts.handling import OPENING_CORNER, POISSON

RIM = 30.0  # in radii of the hole


def solved(nu: float) -> float:
    """Hoop moment at the hole's edge over the moment M of the plate, bent one way only.

    Biharmonic w = f0(r) + f2(r) cos 2 theta: f0 of {r^2, ln r, r^2 ln r}, f2 of {r^2, r^4,
    r^-2, 1};
    free edge at r 1 (no radial moment, no Kirchhoff shear), the moments of bending at the rim.
    """

    def bent(part: str, power: float, n: int, r: float) -> tuple[float, float, float]:
        """Radial and hoop moment and edge shear of one term, for a stiffness of one."""
        if part == "log":
            f, d1, d2, d3 = np.log(r), 1 / r, -1 / r**2, 2 / r**3
        else:
            f, d1 = r**power, power * r ** (power - 1)
            d2 = power * (power - 1) * r ** (power - 2)
            d3 = power * (power - 1) * (power - 2) * r ** (power - 3)
        around = d1 / r - n**2 * f / r**2
        radial, hoop = -(d2 + nu * around), -(around + nu * d2)
        lap_slope = d3 + d2 / r - d1 / r**2 - n**2 * d1 / r**2 + 2 * n**2 * f / r**3
        twist = (1 - nu) * n**2 * (d1 / r**2 - f / r**3)  # 1/r d(Mrt)/dtheta of the edge
        return radial, hoop, -lap_slope + twist

    even = [("power", 2.0), ("log", 0.0)]
    double = [("power", p) for p in (2.0, 4.0, -2.0, 0.0)]
    A = np.array([[bent(*term, 0, r)[0] for term in even] for r in (1.0, RIM)])
    a = np.linalg.solve(A, [0.0, 0.5])
    B = np.array(
        [
            [bent(*term, 2, r)[k] for term in double]
            for r, k in ((1.0, 0), (1.0, 2), (RIM, 0), (RIM, 1))
        ]
    )
    b = np.linalg.solve(B, [0.0, 0.0, 0.5, -0.5])
    constant = sum(c * bent(*term, 0, 1.0)[1] for c, term in zip(a, even, strict=True))
    turning = sum(c * bent(*term, 2, 1.0)[1] for c, term in zip(b, double, strict=True))
    return float(constant - turning)  # at theta 90 degrees


@pytest.mark.parametrize("nu", [0.0, 0.2, 0.3])
def test_the_edge_of_a_hole_in_bending(nu: float) -> None:
    assert solved(nu) == pytest.approx((5 + 3 * nu) / (3 + nu), rel=0.01)


def test_concrete_has_that_of_its_own_poisson_number() -> None:
    assert solved(POISSON) == pytest.approx(OPENING_CORNER, rel=0.01)
