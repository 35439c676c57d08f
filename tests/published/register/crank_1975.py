"""Drying with a constant diffusivity: the plane sheet, bare and behind a surface film."""

import numpy as np

from models.concrete import moisture
from tests.published.register.check import Check
from tests.support import sections

D_MM2_D = 24.0  # 1 mm2/h
HALF_MM = 25.0
SHEET = ((0.25, 0.3145542331, 0.5622335418),)  # Fo, centre, mean, as printed
FILM = (  # Bi, Fo, centre, mean
    (1.0, 0.5, 0.2275, 0.3189),
    (1.0, 1.0, 0.4661, 0.5296),
    (5.0, 0.5, 0.4769, 0.6148),
    (5.0, 1.0, 0.7793, 0.8375),
    (10.0, 0.5, 0.5454, 0.6850),
    (10.0, 1.0, 0.8362, 0.8865),
)


def completed(fourier: float, biot: float, faces: int = 2) -> tuple[float, float]:
    """Share of the change that is done in the middle (or at the closed face) and in the mean."""
    a = HALF_MM * (3 - faces)  # one open face: twice the depth
    hours = int(np.ceil(fourier * a**2 / (D_MM2_D / 24)))
    one = np.ones(1)
    film_mm = 0.0 if np.isinf(biot) else a / biot
    law = moisture.Law(D_MM2_D * one, one, 0.8 * one, 0 * one, film_mm * one, one)
    dried = moisture.drying(
        2 * HALF_MM,
        law,
        sections.still_air(0.5, hours, faces=faces),
        probes=(0.5,) if faces == 2 else (1.0,),
        cells=60,
        steps_per_hour=20,
    )
    at = fourier * a**2 / (D_MM2_D / 24)
    deep, mean = (
        float((1 - np.interp(at, dried.hour, values[:, 0])) / 0.5)
        for values in (dried.probe_rh, dried.mean_rh)
    )
    return deep, mean


def _rows(biot: float, fourier: float, *wanted: float) -> tuple[Check, ...]:
    film = "bare" if np.isinf(biot) else f"Bi {biot:g}"
    status = "library" if np.isinf(biot) else "mathematics"
    return tuple(
        Check(
            "CRANK_1975",
            f"plane sheet, {film}, Fo {fourier:g}: done {place}",
            "-",
            value,
            lambda pick=pick: completed(fourier, biot)[pick],  # type: ignore[misc]
            "0.002",
            status,
            "pp. 47-48" if np.isinf(biot) else "series of the sheet with surface evaporation",
        )
        for pick, (place, value) in enumerate(
            zip(("in the middle", "in the mean"), wanted, strict=True)
        )
    )


CHECKS = (
    *(check for row in SHEET for check in _rows(np.inf, *row)),
    *(check for row in FILM for check in _rows(*row)),
)
