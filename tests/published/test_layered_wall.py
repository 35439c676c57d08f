"""Steady heat flow through film, cover, concrete, board and film.

Source     resistances in series (Fourier's law).
Page says  20 / -5 C: 1/13.3 + 0.05 + 0.05/2.0 + 0.018/0.13 + 1/13.3 = 0.36384 m2K/W, 68.712 W/m2;
           between the five 14.834, 11.398, 9.680, 0.166 C.
Status     exact mathematics.
Tolerance  1e-3, the digits printed.
"""

import numpy as np
import pytest

from models.concrete import heat
from models.facts.materials import Material
from tests.support import sections

BOARD = Material(0.13, 680.0, 1700.0, ())


def test_temperatures_between_the_layers() -> None:
    hours = 300
    same = sections.exposure(-5.0, 13.3, 13.3, hours + 1)
    over = heat.Exposure(
        0.0,
        same.film_top,
        same.film_low,
        same.film_top,
        np.full_like(same.air_C, 20.0),
        same.air_C,
        same.vapour_hPa,
    )
    wall = heat.temperature(
        heat.Column(50.0, 18.0, BOARD, k_W_mK=2.0),
        sections.schedule(R_top=0.05, R_side=1e9, board=True),
        over,
        sections.inert(),
        np.array([20.0]),
        hours,
    )
    flow = 25.0 / (1 / 13.3 + 0.05 + 0.05 / 2.0 + 0.018 / 0.13 + 1 / 13.3)
    assert flow == pytest.approx(68.712, abs=1e-3)
    assert wall.top_C[-1, 0] == pytest.approx(11.398, abs=1e-3)
    assert wall.coldest_C[-1, 0] == pytest.approx(9.680, abs=1e-3)
    assert wall.mean_C[-1, 0] == pytest.approx((11.398 + 9.680) / 2, abs=1e-3)
    outside_of_cover = 20.0 - flow / 13.3
    assert outside_of_cover == pytest.approx(14.834, abs=1e-3)
    assert wall.top_C[-1, 0] == pytest.approx(outside_of_cover - 0.05 * flow, abs=1e-3)


def test_wall_without_its_board_lets_the_flow_of_the_bare_layers_through() -> None:
    hours = 300
    same = sections.exposure(-5.0, 13.3, 13.3, hours + 1)
    over = heat.Exposure(
        0.0,
        same.film_top,
        same.film_low,
        same.film_top,
        np.full_like(same.air_C, 20.0),
        same.air_C,
        same.vapour_hPa,
    )
    wall = heat.temperature(
        heat.Column(50.0, 18.0, BOARD, k_W_mK=2.0),
        sections.schedule(R_top=0.05, R_side=1e9, board=False),
        over,
        sections.inert(),
        np.array([20.0]),
        hours,
    )
    flow = 25.0 / (1 / 13.3 + 0.05 + 0.05 / 2.0 + 1 / 13.3)
    assert wall.top_C[-1, 0] == pytest.approx(20.0 - flow * (1 / 13.3 + 0.05), abs=1e-3)
    assert wall.coldest_C[-1, 0] == pytest.approx(-5.0 + flow / 13.3, abs=1e-3)
