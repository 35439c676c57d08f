"""A wall as a plate: held along both ends, by its foot, and at its rim or not (Levy)."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from models.facts.boards import BOARD_POISSON
from models.units import Array

MODES = tuple(range(1, 24, 2))
POINTS = 41
FINE = 400  # points at which a load is looked at
EDGES = ("simple", "clamped", "free")


@dataclass(frozen=True)
class Load:
    """What presses a wall, growing with the depth under the top of the mix, to a most.

    foot_mm, top_mm : heights over the wall's foot between which the mix is fresh [mm]; its top may
        stand over that of the wall
    kPa_mm : growth with depth [kPa/mm]; most_kPa : no more than so much
    """

    foot_mm: float
    top_mm: float
    kPa_mm: float
    most_kPa: float

    def at(self, y_mm: Array) -> Array:
        """Pressure at heights over the wall's foot [kPa], of their shape [mm]."""
        deep = np.clip(self.top_mm - y_mm, 0.0, self.top_mm - self.foot_mm)
        fresh = y_mm >= self.foot_mm
        return np.where(fresh, np.minimum(self.kPa_mm * deep, self.most_kPa), 0.0)

    def force_N_mm(self, height_mm: float) -> float:
        """On a mm of the length of a wall of that height [N/mm]. Source: the pressure, summed."""
        y = np.linspace(self.foot_mm, min(self.top_mm, height_mm), 401)
        return float(np.trapezoid(self.at(y), y)) / 1e3

    def tips_N(self, height_mm: float) -> float:
        """Moment about its foot on a mm of its length [N]. Source: the pressure, summed."""
        y = np.linspace(self.foot_mm, min(self.top_mm, height_mm), 401)
        return float(np.trapezoid(self.at(y) * y, y)) / 1e3


@dataclass(frozen=True)
class Bent:
    """A plate of stiffness 1 N mm under its load, on its middle line.

    y_mm : heights over its foot [mm]; bow : its bow there times its stiffness [N mm2];
    moment_N : the largest bending moment anywhere on it [N mm/mm]
    """

    y_mm: Array
    bow: Array
    moment_N: float

    @property
    def most(self) -> float:
        """Largest bow times stiffness [N mm2]."""
        return float(np.abs(self.bow).max())


@lru_cache(maxsize=512)
def bent(
    length_mm: float,
    height_mm: float,
    load: Load,
    foot: str = "simple",
    top: str = "free",
    nu: float = BOARD_POISSON,
) -> Bent:
    """Bow and moment of a plate whose ends are simply held, by Levy's series.

    Each mode sin(m pi x / length) obeys w'''' - 2 a2 w'' + a4 w = q over the height, collocated at
    Chebyshev points, with two conditions at the foot and two at the top. A load that begins with a
    jump is taken by its Legendre series, so that its sum and its moments are kept.

    length_mm, height_mm : [mm], above 0; foot, top : simple | clamped | free
    Source: TIMOSHENKO_PLATES; ROARK_11_4 of four held sides.
    """
    points, D1 = _chebyshev(POINTS)
    y = height_mm * (points + 1) / 2  # from the foot up
    D1 = D1 * 2 / height_mm
    D2 = D1 @ D1
    D4 = D2 @ D2
    q = _seen(POINTS) @ load.at(height_mm * (_fine()[0] + 1) / 2) / 1e3  # N/mm2
    w, across, along, twist = (np.zeros(POINTS) for _ in range(4))
    eye = np.eye(POINTS)
    for m in MODES:
        a = m * np.pi / length_mm
        A = D4 - 2 * a**2 * D2 + a**4 * eye
        b = 4 / (m * np.pi) * q
        rows = ((0, 1, foot, 0), (-1, -2, top, -1))
        for first, second, edge, at in rows:
            shear = D2 @ D1 - (2 - nu) * a**2 * D1
            pair = {
                "simple": (eye, D2),
                "clamped": (eye, D1),
                "free": (D2 - nu * a**2 * eye, shear),
            }[edge]
            A[first], A[second] = pair[0][at], pair[1][at]
            b[first] = b[second] = 0.0
        scale = np.abs(A).max(axis=1)
        f = np.linalg.solve(A / scale[:, None], b / scale)
        middle = np.sin(m * np.pi / 2)
        w += f * middle
        across += (D2 @ f - nu * a**2 * f) * middle  # over the height
        along += (a**2 * f - nu * (D2 @ f)) * middle
        twist += (1 - nu) * a * (D1 @ f)  # where its ends are held
    # both bend and twist at one point is no more than their sum
    moment = max(float(np.abs(one).max()) for one in (across, along, twist))
    return Bent(y, w, moment)


def strip_bow(span_mm: float, pressure_kPa: float) -> float:
    """Bow of a strip held at both ends under an even pressure, times its stiffness [N mm2].

    5 p L^4 / 384, for a strip of 1 mm; a plate that bears both ways bows less.
    span_mm : [mm]; pressure_kPa : [kPa]
    Source: beam theory.
    """
    return 5 * pressure_kPa / 1e3 * span_mm**4 / 384


def three_spans_bow(span_mm: float, pressure_kPa: float) -> float:
    """The same of the end span of a strip over three spans [N mm2]: p L^4 / 145.25.

    span_mm : [mm]; pressure_kPa : [kPa]
    Source: FORMWORK_PEURIFOY; beam theory.
    """
    return pressure_kPa / 1e3 * span_mm**4 / 145.25


@lru_cache(maxsize=2)
def _chebyshev(n: int) -> tuple[Array, Array]:
    """Points from -1 to 1 and the matrix that differentiates there.

    Source: Trefethen, Spectral Methods in MATLAB, from memory.
    """
    k = np.arange(n)
    x = -np.cos(np.pi * k / (n - 1))
    c = np.where((k == 0) | (k == n - 1), 2.0, 1.0) * (-1.0) ** k
    apart = x[:, None] - x[None, :]
    D = (c[:, None] / c[None, :]) / (apart + np.eye(n))
    return x, D - np.diag(D.sum(axis=1))


@lru_cache(maxsize=1)
def _fine() -> tuple[Array, Array]:
    """Where a load is looked at, -1 to 1, and the weights."""
    x, weight = np.polynomial.legendre.leggauss(FINE)
    return x, weight


@lru_cache(maxsize=2)
def _seen(n: int) -> Array:
    """From the fine points to the collocation points, through the series.

    Four points are taken by the conditions at the edges; the series is as short as those that are
    left can tell it.
    Source: mathematics.
    """
    x, weight = _fine()
    terms = n - 4
    series = np.polynomial.legendre.legvander(x, terms - 1) * weight[:, None]
    series *= (2 * np.arange(terms) + 1) / 2
    return np.polynomial.legendre.legvander(_chebyshev(n)[0], terms - 1) @ series.T
