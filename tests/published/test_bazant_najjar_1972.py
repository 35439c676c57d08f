"""Time factors of drying against the diffusion law itself, solved in the test.

Source     BAZANT_NAJJAR_1972 with CEB-FIP values: D1 28.8 mm2/d (fck 30), 0.05, 0.80, n 15; Q/R
           2700 K.
Page says  pore humidity from 1.00 in air of 0.50: the point at 20 % of the thickness reaches 0.90,
           0.85, 0.80, 0.75 at time factors 0.147, 0.367, 0.877, 1.78; on time 10 C 1.30, 25 C
           0.80, 30 C 0.69 of that at 18 C.
Status     page for the law's parameters; the factors were computed for the facts, and are again
           here.
Tolerance  2 % for factors, 0.01 for the temperature ratios; days to two digits.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from models.facts.moisture import TIME_FACTOR
from models.gates import dry
from service.published import bazant_najjar_1972


@pytest.fixture(scope="module")
def reached() -> dict[float, float]:
    """Time factor at which the probe (0.6 a from the middle) falls to a target."""
    cells = 160
    x = (np.arange(cells) + 0.5) / cells

    def diffusivity(h: np.ndarray) -> np.ndarray:
        return 0.05 + 0.95 / (1 + ((1 - h) / 0.20) ** 15)

    def change(_: float, h: np.ndarray) -> np.ndarray:
        D = diffusivity(h)
        between = 2 * D[1:] * D[:-1] / (D[1:] + D[:-1])
        flux = np.zeros(cells + 1)
        flux[1:-1] = between * (h[1:] - h[:-1]) * cells
        # the face is at 0.50 at once: the integral of D over the last half cell carries the flux
        steps = np.linspace(0.50, h[-1], 65)
        flux[-1] = -np.trapezoid(diffusivity(steps), steps) * 2 * cells
        return (flux[1:] - flux[:-1]) * cells

    run = solve_ivp(
        change, (0, 2.2), np.ones(cells), method="LSODA", lband=1, uband=1, rtol=1e-7, atol=1e-9,
        dense_output=True,
    )  # fmt: skip
    t = np.linspace(0.0, 2.2, 22001)
    probe = np.array([np.interp(0.6, x, h) for h in run.sol(t).T])
    return {h: float(t[np.argmax(probe <= h)]) for h in (0.95, 0.90, 0.85, 0.80, 0.75)}


@pytest.mark.parametrize("target", [0.95, 0.90, 0.85, 0.80, 0.75])
def test_time_factor_is_that_of_the_law(reached: dict[float, float], target: float) -> None:
    assert TIME_FACTOR[target] == pytest.approx(reached[target], rel=0.02)


@pytest.mark.parametrize(("section", "faces", "row"), bazant_najjar_1972.DAYS)
def test_days_at_the_probe(section: float, faces: int, row: tuple[float, ...]) -> None:
    for target, days in zip(bazant_najjar_1972.HUMIDITY, row, strict=True):
        assert dry.drying_days(section, target, faces) == pytest.approx(days, rel=0.04)


def test_one_open_face_dries_like_twice_the_thickness_with_two() -> None:
    for target in TIME_FACTOR:
        one, two = dry.drying_days(40.0, target, 1), dry.drying_days(80.0, target, 2)
        assert one == pytest.approx(two, rel=1e-12)


@pytest.mark.parametrize(("degrees", "factor"), bazant_najjar_1972.TIME_RATIO.items())
def test_drying_time_by_temperature(degrees: float, factor: float) -> None:
    got = dry.drying_days(50.0, 0.85, air_C=degrees) / dry.drying_days(50.0, 0.85, air_C=18.0)
    assert got == pytest.approx(factor, abs=0.01)
