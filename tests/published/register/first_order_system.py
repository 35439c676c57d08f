"""An unheated room that answers the day smaller and later."""

from functools import cache

import numpy as np

from models.air import place
from tests.published.register.check import Check

W = 2 * np.pi / 24
HOURS = 24 * 24
ROWS = (  # lag h, ratio, delay h
    (1.0, 0.97, 1.0),
    (2.0, 0.89, 1.8),
    (3.0, 0.79, 2.5),
    (4.0, 0.69, 3.1),
    (6.0, 0.54, 3.8),
    (8.0, 0.43, 4.3),
    (12.0, 0.30, 4.8),
    (18.0, 0.21, 5.2),
    (24.0, 0.16, 5.4),
    (36.0, 0.11, 5.6),
    (48.0, 0.08, 5.7),
)


@cache
def _response(lag_h: float) -> tuple[float, float]:
    """Ratio and delay [h] of the room's last two days to a daily sine outdoors."""
    outdoor = np.sin(W * np.arange(HOURS))[:, None]
    room = place.room_temperature(outdoor, np.array([lag_h]), np.array([0.0]))[:, 0]
    t = np.arange(HOURS - 48, HOURS)
    a, b = np.linalg.lstsq(np.column_stack((np.sin(W * t), np.cos(W * t))), room[t], rcond=None)[0]
    return float(np.hypot(a, b)), float(np.arctan2(-b, a) / W)


def _rows(lag_h: float, ratio: float, delay_h: float) -> tuple[Check, Check]:
    where = "daily sine through a room of that lag time"
    return (
        Check(
            "FIRST_ORDER_SYSTEM",
            f"share of the day, lag {lag_h:g} h",
            "-",
            ratio,
            lambda: _response(lag_h)[0],
            "0.01",
            "mathematics",
            where,
        ),
        Check(
            "FIRST_ORDER_SYSTEM",
            f"delay of the day, lag {lag_h:g} h",
            "h",
            delay_h,
            lambda: _response(lag_h)[1],
            "0.1",
            "mathematics",
            where,
        ),
    )


CHECKS = tuple(check for row in ROWS for check in _rows(*row))
