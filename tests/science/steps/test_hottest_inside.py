"""The limit against delayed ettringite is of the hottest place, not of the mean (D11)."""

from types import SimpleNamespace
from typing import cast

import numpy as np
import pytest

from models.steps.opening import Trajectory


def solved(thick_m: float, film_low: float) -> tuple[float, float, float]:
    """Mean, face and hottest place [degC] of a slab at its warmest, cell by cell: 20 degC air, a
    film of 12 W/m2K over it; 330 kg/m3 of cement set free 380 kJ/kg within some 14 h."""
    cells, step_s = 30, 10.0
    dx, capacity, k = thick_m / cells, 2350.0 * 1000.0, 2.0
    T = np.full(cells, 20.0)
    warmest = (20.0, 20.0, 20.0)
    gone = 0.0
    for n in range(1, int(40 * 3600 / step_s)):
        t = n * step_s
        degree = float(np.exp(-((14.0 * 3600 / t) ** 0.9)))
        heat = 330.0 * 380e3 * (degree - gone) / step_s
        gone = degree
        flow = np.zeros(cells + 1)
        flow[1:-1] = k * (T[:-1] - T[1:]) / dx
        flow[0] = -(T[0] - 20.0) / (1 / 12.0 + dx / 2 / k)
        flow[-1] = (T[-1] - 20.0) / (1 / film_low + dx / 2 / k)
        T = T + step_s * (heat - np.diff(flow) / dx) / capacity
        if T.max() > warmest[2]:
            face = 20.0 + (T[0] - 20.0) / (1 + 12.0 * dx / 2 / k)
            warmest = (float(T.mean()), float(face), float(T.max()))
    return warmest


@pytest.mark.parametrize("thick_m", [0.15, 0.4])
@pytest.mark.parametrize("film_low", [12.0, 1e-3])
def test_hottest_place_of_a_slab_that_is_warm_inside(thick_m: float, film_low: float) -> None:
    mean, face, hottest = solved(thick_m, film_low)
    through = SimpleNamespace(mean_C=np.array([[mean]]), top_C=np.array([[face]]))
    told = Trajectory.hottest_C.__get__(cast(Trajectory, through))
    assert hottest > mean + 0.3
    assert float(told[0, 0]) == pytest.approx(hottest, abs=0.2 * (hottest - mean))
