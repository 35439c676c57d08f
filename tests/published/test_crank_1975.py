"""Drying with a constant diffusivity against the series of the plane sheet.

Source     CRANK_1975, plane sheet pp. 47-48, and with surface evaporation.
Page says  share done at Fo 0.25: middle 0.3145542331, mean 0.5622335418; textbook mean at Fo 0.56
           0.80, at 0.20 0.50; half done at 0.04918 L2/D; one face at L as both at 2 L; with a film
           Bi 1, 5, 10 at Fo 0.5 and 1.
Status     library (polykin documentation for the digits and the textbook values), exact
           mathematics for the table and the film, summed again here.
Tolerance  0.002 asked of the solver with 60 cells; 0.015 with the cells and steps of a plan.
"""

import numpy as np
import pytest
from scipy.optimize import brentq

from models.concrete import moisture
from tests.published.register.crank_1975 import D_MM2_D, FILM, HALF_MM, SHEET, completed
from tests.support import sections

TABLE = (
    (0.05, 0.00313, 0.25231),
    (0.1, 0.05069, 0.35682),
    (0.5, 0.62922, 0.76395),
    (1.0, 0.89202, 0.93126),
)


def series(fourier: float, biot: float) -> tuple[float, float]:
    """Share done in the middle and in the mean: roots of z tan z = Bi, 60 terms."""
    n = np.arange(60)
    if np.isinf(biot):
        z = (n + 0.5) * np.pi
    else:
        z = np.array(
            [
                brentq(
                    lambda x: x * np.sin(x) - biot * np.cos(x),
                    k * np.pi,
                    (k + 0.5) * np.pi,
                    xtol=1e-14,
                )
                for k in n
            ]
        )
    left = 4 * np.sin(z) / (2 * z + np.sin(2 * z)) * np.exp(-(z**2) * fourier)
    return float(1 - left.sum()), float(1 - (left * np.sin(z) / z).sum())


@pytest.mark.parametrize(("fourier", "middle", "mean"), [*SHEET, *TABLE])
def test_a_bare_sheet(fourier: float, middle: float, mean: float) -> None:
    assert series(fourier, np.inf) == pytest.approx((middle, mean), abs=1e-5)
    assert completed(fourier, np.inf) == pytest.approx((middle, mean), abs=0.002)


@pytest.mark.parametrize(("biot", "fourier", "middle", "mean"), FILM)
def test_a_sheet_behind_a_film(biot: float, fourier: float, middle: float, mean: float) -> None:
    assert series(fourier, biot) == pytest.approx((middle, mean), abs=1e-4)
    assert completed(fourier, biot) == pytest.approx((middle, mean), abs=0.002)


@pytest.mark.parametrize(("fourier", "mean", "within"), [(0.56, 0.80, 0.01), (0.20, 0.50, 0.02)])
def test_values_of_the_textbook(fourier: float, mean: float, within: float) -> None:
    assert completed(fourier, np.inf)[1] == pytest.approx(mean, abs=within)


def test_half_of_the_water_is_gone_at_the_textbook_time() -> None:
    fourier = 0.04918 * 4  # on L2 there, on a2 here
    assert completed(fourier, np.inf)[1] == pytest.approx(0.5, abs=0.0025)


@pytest.mark.parametrize("fourier", [0.1, 0.25, 0.6])
def test_one_open_face_is_half_of_a_sheet_twice_as_thick(fourier: float) -> None:
    assert completed(fourier, np.inf, faces=1) == pytest.approx(series(fourier, np.inf), abs=0.002)


def test_the_grid_of_projections_is_good_enough() -> None:
    one = np.ones(1)
    law = moisture.Law(D_MM2_D * one, one, 0.8 * one, 0 * one, 0 * one, one)
    dried = moisture.drying(2 * HALF_MM, law, sections.still_air(0.5, 700), probes=(0.5,))
    for fourier in (0.1, 0.25, 0.5, 1.0):
        at = fourier * HALF_MM**2 * 24 / D_MM2_D
        ours = [
            (1 - float(np.interp(at, dried.hour, v[:, 0]))) / 0.5
            for v in (dried.probe_rh, dried.mean_rh)
        ]
        assert ours == pytest.approx(series(fourier, np.inf), abs=0.015)


def test_the_error_falls_with_the_square_of_the_cells() -> None:
    one = np.ones(1)
    law = moisture.Law(D_MM2_D * one, one, 0.8 * one, 0 * one, 0 * one, one)
    off = []
    for cells in (10, 20, 40):
        dried = moisture.drying(
            2 * HALF_MM, law, sections.still_air(0.5, 200), cells=cells, steps_per_hour=100
        )
        at = 200 / HALF_MM**2 * D_MM2_D / 24
        off.append(abs((1 - dried.mean_rh[200, 0]) / 0.5 - series(at, np.inf)[1]))
    assert off[0] / off[1] > 3.0
    assert off[1] / off[2] > 3.0
