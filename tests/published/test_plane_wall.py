"""Cooling of a plane wall between two equal films, against the exact series.

Source     plane wall with convection, Carslaw & Jaeger; Incropera Table 5.1 for the first root.
Page says  Bi 1: first root 0.8603, coefficient 1.1191; Fo 0.5: centre 0.77253, face 0.50452,
           mean 0.68110; 50 mm, 13.3 W/m2K, 20 to 0 C: mean 9.239, 4.270, 0.912 at 1, 2, 4 h.
Status     exact mathematics, summed here to 40 terms; the textbook's first root is from memory.
Tolerance  the section: 0.5 % (asked of it); the printed digits of the series: 1e-5; panel 0.01 K.
"""

import numpy as np
import pytest
from scipy.optimize import brentq

from models.concrete import heat
from tests.support import sections

CONDUCTIVITY, CAPACITY = 2.0, 2.35e6
PRINTED = {  # (Bi, Fo): centre, face, mean
    (0.1, 0.2): (0.99400, 0.95142, 0.98065),
    (0.1, 0.5): (0.96798, 0.92178, 0.95257),
    (0.1, 1.0): (0.92239, 0.87813, 0.90759),
    (1.0, 0.2): (0.95064, 0.64339, 0.85160),
    (1.0, 0.5): (0.77253, 0.50452, 0.68110),
    (1.0, 1.0): (0.53386, 0.34818, 0.47040),
    (10.0, 0.2): (0.82925, 0.12248, 0.58326),
    (10.0, 0.5): (0.45464, 0.06433, 0.31502),
    (10.0, 1.0): (0.16382, 0.02317, 0.11350),
}


def roots(biot: float, count: int = 40) -> tuple[np.ndarray, np.ndarray]:
    """Roots of z tan z = Bi and the coefficients of the series."""
    z = np.array(
        [
            brentq(
                lambda x: x * np.sin(x) - biot * np.cos(x),
                n * np.pi + 1e-12,
                n * np.pi + np.pi / 2,
                xtol=1e-14,
            )
            for n in range(count)
        ]
    )
    return z, 4 * np.sin(z) / (2 * z + np.sin(2 * z))


def exact(biot: float, fourier: float) -> tuple[float, float, float]:
    z, C = roots(biot)
    fading = C * np.exp(-(z**2) * fourier)
    return (
        float(fading.sum()),
        float((fading * np.cos(z)).sum()),
        float((fading * np.sin(z) / z).sum()),
    )


def cooled(thickness_mm: float, film: float, hours: int) -> heat.Histories:
    """A wall of 20 C in air of 0 C; its edge is closed off, so the middle is what counts."""
    return heat.temperature(
        heat.Column(thickness_mm, k_W_mK=CONDUCTIVITY, heat_capacity_J_m3K=CAPACITY),
        sections.schedule(R_side=1e9),
        sections.exposure(0.0, film, film, hours + 1),
        sections.inert(),
        np.array([20.0]),
        hours,
    )


def test_first_root_and_coefficient_of_the_textbook() -> None:
    z, C = roots(1.0)
    assert z[0] == pytest.approx(0.8603, abs=5e-5)
    assert C[0] == pytest.approx(1.1191, abs=5e-5)


@pytest.mark.parametrize("case", PRINTED)
def test_series_gives_the_printed_digits(case: tuple[float, float]) -> None:
    assert exact(*case) == pytest.approx(PRINTED[case], abs=1.1e-5)


@pytest.mark.parametrize("biot", [0.1, 1.0, 10.0])
def test_section_follows_the_series_at_the_face_and_in_the_mean(biot: float) -> None:
    half = np.sqrt(10 * 3600.0 * CONDUCTIVITY / CAPACITY)  # ten hours are one Fourier number
    wall = cooled(2e3 * half, biot * CONDUCTIVITY / half, 10)
    for fourier, hour in ((0.2, 2), (0.5, 5), (1.0, 10)):
        _, face, mean = exact(biot, fourier)
        assert wall.mean_C[hour, 0] / 20.0 == pytest.approx(mean, rel=0.005)
        assert wall.top_C[hour, 0] / 20.0 == pytest.approx(face, rel=0.005)


def test_panel_of_50_mm_that_cools_from_20_to_0() -> None:
    panel = cooled(50.0, 13.3, 8)
    z, C = roots(13.3 * 0.025 / CONDUCTIVITY)
    assert (z[0], C[0]) == pytest.approx((0.396778, 1.026146), abs=2e-6)
    assert panel.mean_C[[1, 2, 4], 0] == pytest.approx([9.239, 4.270, 0.912], abs=0.01)
    assert panel.mean_C[8, 0] == pytest.approx(0.0416, abs=0.01)
