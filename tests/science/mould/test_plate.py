"""A wall as a plate, against an energy method that shares nothing with Levy's series."""

import numpy as np
import pytest

from models.mould.plate import Load, bent
from models.units import Array

TERMS = 13


def ritz(length: float, height: float, load: Load, foot: str, top: str, nu: float) -> float:
    """Largest bow of a plate of stiffness 1, its ends simply held: polynomials both ways, the least
    energy. Free edges are free by themselves."""
    legendre = np.polynomial.legendre
    at, weight = legendre.leggauss(60)

    def basis(factor: list[float], points: Array) -> tuple[Array, ...]:
        rows = []
        for k in range(TERMS):
            whole = legendre.legmul([0.0] * k + [1.0], legendre.poly2leg(factor))
            rows.append([legendre.legval(points, legendre.legder(whole, d)) for d in (0, 1, 2)])
        return tuple(np.array([row[d] for row in rows]) for d in (0, 1, 2))

    across = [1.0, 0.0, -1.0]
    up = {"simple": [1.0, 1.0], "clamped": [1.0, 2.0, 1.0]}[foot]
    if top == "simple":
        up = list(np.polynomial.polynomial.polymul(up, [1.0, -1.0]))
    X, Y = basis(across, at), basis(up, at)
    sx, sy = 2 / length, 2 / height

    def product(F: tuple[Array, ...], i: int, j: int, scale: float) -> Array:
        return (F[i] * weight) @ F[j].T * scale ** (i + j - 1)

    x = {(i, j): product(X, i, j, sx) for i in range(3) for j in range(3)}
    y = {(i, j): product(Y, i, j, sy) for i in range(3) for j in range(3)}
    K = np.kron(x[2, 2], y[0, 0]) + np.kron(x[0, 0], y[2, 2])
    K = K + nu * (np.kron(x[2, 0], y[0, 2]) + np.kron(x[0, 2], y[2, 0]))
    K = K + 2 * (1 - nu) * np.kron(x[1, 1], y[1, 1])
    fine, fine_weight = legendre.leggauss(600)
    q = load.at(height * (fine + 1) / 2) / 1e3
    pushed = basis(up, fine)[0] @ (fine_weight * q) / sy
    along = X[0] @ weight / sx
    c = np.linalg.solve(K, np.kron(along, pushed))
    look = np.linspace(-1, 1, 201)
    shape = basis(across, np.array([0.0]))[0][:, 0]
    w = np.kron(shape, basis(up, look)[0].T).reshape(len(look), -1) @ c
    return float(np.abs(w).max())


WALLS = [
    (700.0, 600.0, Load(0.0, 600.0, 0.0235, 1e9)),
    (700.0, 600.0, Load(0.0, 150.0, 0.0235, 1e9)),  # the lowest lift
    (450.0, 600.0, Load(480.0, 600.0, 0.0235, 1e9)),  # the highest
    (450.0, 600.0, Load(500.0, 600.0, 0.0235, 1e9)),
    (300.0, 1800.0, Load(0.0, 1800.0, 0.0235, 30.0)),  # no more than so much
    (1400.0, 150.0, Load(0.0, 150.0, 0.0235, 1e9)),
]


@pytest.mark.parametrize(("length", "height", "load"), WALLS)
@pytest.mark.parametrize("foot", ["simple", "clamped"])
@pytest.mark.parametrize("top", ["free", "simple"])
def test_bow_is_that_of_the_least_energy(
    length: float, height: float, load: Load, foot: str, top: str
) -> None:
    wanted = ritz(length, height, load, foot, top, 0.3)
    assert bent(length, height, load, foot, top, 0.3).most == pytest.approx(wanted, rel=0.02)


def test_a_shallower_lift_never_bows_a_wall_more() -> None:
    def most(fresh: float) -> float:
        loads = (Load(0.0, fresh, 0.0235, 1e9), Load(600.0 - fresh, 600.0, 0.0235, 1e9))
        return max(bent(450.0, 600.0, load, "simple", "free", 0.3).most for load in loads)

    bows = [most(fresh) for fresh in np.arange(40.0, 600.0, 20.0)]
    assert all(a <= b * 1.001 for a, b in zip(bows, bows[1:], strict=False))
