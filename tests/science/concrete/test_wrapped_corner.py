"""Corners of pieces in their boards and covers against conduction solved in three dimensions."""

import numpy as np
import pytest
from scipy.optimize import brentq

from models.piece.shape import Shape
from tests.support.moulded_box import CONCRETE, MouldedBox
from tests.support.wrapped_corners import PANEL, PEDESTAL, STRIP_TE_H, WRAPPINGS, Wrapped

SHARE, EARLIER_H = 0.10, 2.0  # of the hours solved; told earlier than solved


def face_of_a_wall(thickness_m: float, film: float, hours: float) -> float:
    """Excess at the face as a share of the first (Carslaw & Jaeger, both faces in the same air)."""
    half = thickness_m / 2
    biot, fourier = (
        film * half / CONCRETE.k,
        CONCRETE.k / CONCRETE.capacity * 3600 * hours / half**2,
    )

    def balance(x: float) -> float:
        return float(x * np.sin(x) - biot * np.cos(x))

    z = np.array([brentq(balance, n * np.pi + 1e-9, (n + 0.5) * np.pi) for n in range(30)])
    terms = 4 * np.sin(z) * np.cos(z) / (2 * z + np.sin(2 * z)) * np.exp(-(z**2) * fourier)
    return float(terms.sum())


def test_a_bare_box_cools_as_the_product_of_three_walls() -> None:
    """The solver itself: exact for a box without boards and heat (Newman's product)."""
    box = MouldedBox(0.2, 0.3, 0.1, 0.0, board_m=0.0, heat_J_m3=0.0, placed_C=20.0)
    corner_C = box.solved(6).corner_C
    for hour in (1, 2, 4, 6):
        walls = [face_of_a_wall(of, box.film, hour) for of in (0.2, 0.3, 0.1)]
        assert corner_C[hour] == pytest.approx(20.0 * np.prod(walls), abs=0.05)


def test_cells_and_steps_of_half_the_size_change_little() -> None:
    box = Wrapped(PANEL, WRAPPINGS["foam on top"], -10.0).box
    age, finer = box.solved(8), box.solved(8, fine=2.0, step_h=1 / 20)
    assert age.least_te_h[2:] == pytest.approx(finer.least_te_h[2:], rel=0.02)


CASES = [
    *((PANEL, cover, 0.0) for cover in WRAPPINGS),
    (PANEL, "foam all round", -10.0),
    (PEDESTAL, "blanket", 0.0),
    (PEDESTAL, "foam all round", -10.0),
    (PEDESTAL, "foam hung down", -10.0),
]
FREEZING = [(PANEL, "blanket"), (PANEL, "foam on top"), (PEDESTAL, "film"), (PEDESTAL, "blanket")]


@pytest.mark.parametrize(("shape", "cover", "air_C"), CASES)
def test_hour_of_striking_is_that_of_the_corner_solved(
    shape: Shape, cover: str, air_C: float
) -> None:
    one = Wrapped(shape, WRAPPINGS[cover], air_C, 38)
    solved_h = one.solved.reaches_h(STRIP_TE_H)
    assert np.isfinite(solved_h)
    assert one.told_strip_h == pytest.approx(solved_h, rel=SHARE)
    assert one.told_strip_h > solved_h - EARLIER_H
    assert one.told.te_mean_h[24, 0] == pytest.approx(one.solved.mean_te_h[24], rel=SHARE)


@pytest.mark.parametrize(("shape", "cover"), FREEZING)
def test_hour_of_the_first_frost_is_that_of_the_corner_solved(shape: Shape, cover: str) -> None:
    one = Wrapped(shape, WRAPPINGS[cover], -10.0, 12)
    assert one.solved.freezes_h < 4.0
    assert one.told_freezes_h == pytest.approx(one.solved.freezes_h, abs=1.0)
    assert one.told_corner_C[12] == pytest.approx(one.solved.corner_C[12], abs=0.5)
