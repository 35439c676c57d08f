"""The coldest corner of a cooling panel against the product of one-dimensional responses.

Source     product rule for equal-face problems without source, Carslaw & Jaeger; Incropera 5.8.
Page says  corner = face of the wall x face of the half space x face of the half space.
Status     exact mathematics for a panel much longer than thick.
Tolerance  of a step of 20 K: never over 0.3 K warmer (the unsafe side), at most 1.5 K colder; the
           section's edge is a fin and its corner a stated bound, so this is what the bound is
           worth.
"""

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import erfcx

from models.concrete import heat
from tests.support import sections

K, A = 2.0, 2.0 / 2.35e6


def wall_face(thickness_m: float, film: float, hours: float) -> float:
    biot, fourier = film * thickness_m / 2 / K, A * 3600 * hours / (thickness_m / 2) ** 2
    z = np.array(
        [
            brentq(lambda x: x * np.sin(x) - biot * np.cos(x), n * np.pi + 1e-12, (n + 0.5) * np.pi)
            for n in range(40)
        ]
    )
    return float(
        (4 * np.sin(z) * np.cos(z) / (2 * z + np.sin(2 * z)) * np.exp(-(z**2) * fourier)).sum()
    )


@pytest.mark.parametrize(
    ("thickness", "film", "side"),
    [(50.0, 13.3, 13.3), (50.0, 8.0, 8.0), (100.0, 13.3, 13.3), (50.0, 13.3, 4.0)],
)
def test_coldest_place_is_near_the_corner_and_on_the_safe_side(
    thickness: float, film: float, side: float
) -> None:
    panel = heat.temperature(
        heat.Column(thickness, k_W_mK=K, heat_capacity_J_m3K=2.35e6),
        sections.schedule(R_side=1 / side - 1 / film),
        sections.exposure(0.0, film, film, 13),
        sections.inert(),
        np.array([20.0]),
        12,
    )
    for hours in (1, 2, 4, 8):
        half_space = float(erfcx(side * np.sqrt(A * 3600 * hours) / K))
        corner = 20.0 * wall_face(thickness / 1e3, film, hours) * half_space**2
        assert corner - 1.5 <= panel.coldest_C[hours, 0] <= corner + 0.3
