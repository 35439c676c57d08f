"""Steady flow through film, cover, concrete, board and film."""

from functools import cache

import numpy as np

from models.concrete import heat
from models.facts.materials import Material
from tests.published.register.check import Check
from tests.support import sections

BOARD = Material(0.13, 680.0, 1700.0, ())
LAYERS = "20 / -5 degC: 1/13.3 + 0.05 + 0.05/2.0 + 0.018/0.13 + 1/13.3 = 0.36384 m2K/W"
BARE = "20 / -5 degC: 1/13.3 + 0.05 + 0.05/2.0 + 1/13.3 = 0.22538 m2K/W"
HOURS = 300


@cache
def _wall(board: bool) -> heat.Histories:
    same = sections.exposure(-5.0, 13.3, 13.3, HOURS + 1)
    warm_over = heat.Exposure(
        0.0,
        same.film_top,
        same.film_low,
        same.film_top,
        np.full_like(same.air_C, 20.0),
        same.air_C,
        same.vapour_hPa,
    )
    return heat.temperature(
        heat.Column(50.0, 18.0, BOARD, k_W_mK=2.0),
        sections.schedule(R_top=0.05, R_side=1e9, board=board),
        warm_over,
        sections.inert(),
        np.array([20.0]),
        HOURS,
    )


def _row(face: str, board: bool, degrees: float) -> Check:
    def ours() -> float:
        wall = _wall(board)
        return float((wall.top_C if face == "top" else wall.coldest_C)[-1, 0])

    return Check(
        "FOURIER_LAYERS",
        f"{face} face of 50 mm {'on its board' if board else 'without board'}",
        "degC",
        degrees,
        ours,
        "0.001",
        "mathematics",
        LAYERS if board else BARE,
    )


CHECKS = (
    _row("top", True, 11.398),
    _row("low", True, 9.680),
    _row("top", False, 6.113),
    _row("low", False, 3.340),
)
