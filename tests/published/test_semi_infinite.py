"""Thick concrete that meets cold air or a warm face, against the error-function solution.

Source     Carslaw & Jaeger, semi-infinite solid; a = 0.8511e-6 m2/s, h 13.3 W/m2K, k 2 W/mK.
Page says  face step: 0.89835 at 10 mm, 0.74945 at 25, 0.52299 at 50 after 1 h; film: face 0.30988
           after 1 h, 0.54397 after 6 h.
Status     exact mathematics; the digits were computed twice.
Tolerance  1e-5 for the digits, 0.5 % for the section, the tolerance of the wall series.
"""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import erfc, erfcx

from models.concrete import heat
from tests.support import sections

DIFFUSIVITY, K, H = 2.0 / 2.35e6, 2.0, 13.3


def face_share(hours: float) -> float:
    """Share of the step that a face under a film has taken on."""
    return float(1 - erfcx(H * np.sqrt(DIFFUSIVITY * 3600 * hours) / K))


def warmed(film: float) -> heat.Histories:
    return heat.temperature(
        heat.Column(1500.0, k_W_mK=K, heat_capacity_J_m3K=2.35e6, cells=300),
        sections.schedule(R_bottom=1e9, R_side=1e9),
        sections.exposure(20.0, film, film, 10),
        sections.inert(),
        np.array([0.0]),
        6,
    )


def test_printed_digits_of_the_error_function() -> None:
    depth = np.array([0.010, 0.025, 0.050])
    got = erfc(depth / 2 / np.sqrt(0.8511e-6 * 3600))
    assert got == pytest.approx([0.89835, 0.74945, 0.52299], abs=2e-5)
    assert (face_share(1.0), face_share(6.0)) == pytest.approx((0.30988, 0.54397), abs=2e-5)


def test_face_of_thick_concrete_under_a_film() -> None:
    thick = warmed(H)
    assert thick.top_C[1, 0] / 20.0 == pytest.approx(0.30988, rel=0.005)
    assert thick.top_C[6, 0] / 20.0 == pytest.approx(0.54397, rel=0.005)


def test_heat_taken_up_by_thick_concrete_under_a_film() -> None:
    thick = warmed(H)
    for hours in (1, 3, 6):
        into, _ = quad(lambda t: H * 20.0 * (1 - face_share(t)) * 3600, 0.0, hours)
        held = thick.mean_C[hours, 0] * 1.5 * 2.35e6
        assert held == pytest.approx(into, rel=0.005)


def test_heat_taken_up_after_a_step_of_the_face_itself() -> None:
    thick = warmed(1e4)  # a film this strong holds the face at the air
    into = 2 * K * 20.0 * np.sqrt(6 * 3600 / np.pi / DIFFUSIVITY)
    assert thick.mean_C[6, 0] * 1.5 * 2.35e6 == pytest.approx(into, rel=0.005)
