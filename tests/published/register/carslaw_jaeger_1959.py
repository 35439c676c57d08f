"""The section against exact solutions: plane wall, thick concrete, daily wave."""

from functools import cache

import numpy as np

from models.concrete import heat
from tests.published.register.check import Check
from tests.support import sections

K_W_MK, CAPACITY = 2.0, 2.35e6
TIGHT = 1e9  # m2K/W: a closed edge or back
SERIES = "cooling between equal films, series of 40 roots"
ERROR_FUNCTION = "semi-infinite solid under a film of 13.3 W/m2K"
COMPLEX = "slab with a closed back under a daily sine, complex solution"
WALL = {  # (Bi, Fo): face, mean, as shares of the first excess
    (0.1, 0.2): (0.95142, 0.98065),
    (0.1, 0.5): (0.92178, 0.95257),
    (0.1, 1.0): (0.87813, 0.90759),
    (1.0, 0.2): (0.64339, 0.85160),
    (1.0, 0.5): (0.50452, 0.68110),
    (1.0, 1.0): (0.34818, 0.47040),
    (10.0, 0.2): (0.12248, 0.58326),
    (10.0, 0.5): (0.06433, 0.31502),
    (10.0, 1.0): (0.02317, 0.11350),
}
PANEL_C = {1: 9.239, 2: 4.270, 4: 0.912, 8: 0.0416}
THICK = {1: 0.30988, 6: 0.54397}
WAVES = (  # thickness mm, film W/m2K, then (share, lag h) of mean and face
    (100.0, 13.3, (0.53509, 3.804), (0.56448, 2.765)),
    (50.0, 13.3, (0.81343, 2.366), (0.81631, 2.095)),
    (50.0, 7.98799, (0.65885, 3.249), (0.66119, 2.978)),
)
W, DAYS, SWING_K = 2 * np.pi / 24, 10, 6.0
TEN_HOUR_HALF_M = float(np.sqrt(10 * 3600.0 * K_W_MK / CAPACITY))  # ten hours are Fo 1


@cache
def _wall(thickness_mm: float, film: float) -> heat.Histories:
    """A wall of 20 degC in air of 0 degC, its edge closed."""
    return heat.temperature(
        heat.Column(thickness_mm, k_W_mK=K_W_MK, heat_capacity_J_m3K=CAPACITY),
        sections.schedule(R_side=TIGHT),
        sections.exposure(0.0, film, film, 11),
        sections.inert(),
        np.array([20.0]),
        10,
    )


@cache
def _thick() -> heat.Histories:
    return heat.temperature(
        heat.Column(1500.0, k_W_mK=K_W_MK, heat_capacity_J_m3K=CAPACITY, cells=300),
        sections.schedule(R_bottom=TIGHT, R_side=TIGHT),
        sections.exposure(20.0, 13.3, 13.3, 10),
        sections.inert(),
        np.array([0.0]),
        6,
    )


@cache
def _wave(thickness_mm: float, film: float) -> dict[str, tuple[float, float]]:
    """Share and lag [h] of mean and face over the last two of ten days."""
    hours = 24 * DAYS
    # hourly values joined by straight lines carry sinc^2 of the sine's amplitude: given back here
    air = 20.0 + SWING_K / np.sinc(1 / 24) ** 2 * np.sin(W * np.arange(hours + 2))
    slab = heat.temperature(
        heat.Column(thickness_mm, k_W_mK=K_W_MK, heat_capacity_J_m3K=CAPACITY),
        sections.schedule(R_bottom=TIGHT, R_side=TIGHT),
        sections.exposure(air, film, film, hours + 1),
        sections.inert(),
        np.array([20.0]),
        hours,
        steps_h=(1 / 12, 1 / 12),
    )
    t = np.arange(hours - 47, hours + 1)
    base = np.column_stack((np.sin(W * t), np.cos(W * t), np.ones(48)))
    out = {}
    for place, values in (("mean", slab.mean_C), ("face", slab.top_C)):
        a, b, _ = np.linalg.lstsq(base, values[t, 0], rcond=None)[0]
        out[place] = (float(np.hypot(a, b)) / SWING_K, float(np.arctan2(-b, a) / W))
    return out


def _cooling(biot: float, fourier: float, face: float, mean: float) -> tuple[Check, Check]:
    film, thickness, hour = biot * K_W_MK / TEN_HOUR_HALF_M, 2e3 * TEN_HOUR_HALF_M, 10 * fourier
    row = round(hour)
    return (
        Check(
            "CARSLAW_JAEGER_1959",
            f"face of a cooling wall, Bi {biot:g}, Fo {fourier:g}",
            "-",
            face,
            lambda: float(_wall(thickness, film).top_C[row, 0]) / 20.0,
            "0.5 %",
            "mathematics",
            SERIES,
        ),
        Check(
            "CARSLAW_JAEGER_1959",
            f"mean of a cooling wall, Bi {biot:g}, Fo {fourier:g}",
            "-",
            mean,
            lambda: float(_wall(thickness, film).mean_C[row, 0]) / 20.0,
            "0.5 %",
            "mathematics",
            SERIES,
        ),
    )


def _panel(hour: int, degrees: float) -> Check:
    return Check(
        "CARSLAW_JAEGER_1959",
        f"mean of a 50 mm panel, 20 to 0 degC, after {hour} h",
        "degC",
        degrees,
        lambda: float(_wall(50.0, 13.3).mean_C[hour, 0]),
        "0.01",
        "mathematics",
        SERIES,
    )


def _face(hour: int, share: float) -> Check:
    return Check(
        "CARSLAW_JAEGER_1959",
        f"face of thick concrete after {hour} h, share of the step",
        "-",
        share,
        lambda: float(_thick().top_C[hour, 0]) / 20.0,
        "0.5 %",
        "mathematics",
        ERROR_FUNCTION,
    )


def _daily(
    thickness_mm: float, film: float, place: str, printed: tuple[float, float]
) -> tuple[Check, Check]:
    what = f"of the {place}, {thickness_mm:g} mm under {film:.1f} W/m2K"
    return (
        Check(
            "CARSLAW_JAEGER_1959",
            f"daily wave, share {what}",
            "-",
            printed[0],
            lambda: _wave(thickness_mm, film)[place][0],
            "0.3 %",
            "mathematics",
            COMPLEX,
        ),
        Check(
            "CARSLAW_JAEGER_1959",
            f"daily wave, lag {what}",
            "h",
            printed[1],
            lambda: _wave(thickness_mm, film)[place][1],
            "0.02",
            "mathematics",
            COMPLEX,
        ),
    )


CHECKS = (
    *(check for case, printed in WALL.items() for check in _cooling(*case, *printed)),
    *(_panel(hour, degrees) for hour, degrees in PANEL_C.items()),
    *(_face(hour, share) for hour, share in THICK.items()),
    *(
        check
        for thickness, film, mean, face in WAVES
        for place, printed in (("mean", mean), ("face", face))
        for check in _daily(thickness, film, place, printed)
    ),
)
