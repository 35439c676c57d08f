"""An unheated room behind its walls: first-order response to a daily wave.

Source     first-order system, any textbook: ratio 1 / sqrt(1 + (w tau)^2), lag atan(w tau) / w.
Page says  lag time 1, 2, 4, 8, 24 h: ratio 0.97, 0.89, 0.69, 0.43, 0.16; delay 1.0, 1.8, 3.1, 4.3,
           5.4 h.
Status     exact mathematics.
Tolerance  0.01 and 0.1 h: the row is printed to those digits and air joined by hourly straight
           lines carries 0.6 % less of the wave.
"""

import numpy as np
import pytest

from models.air import place
from tests.published.register.first_order_system import ROWS

W = 2 * np.pi / 24


def response(lag_h: float) -> tuple[float, float]:
    hours = 24 * 24
    outdoor = np.sin(W * np.arange(hours))[:, None]
    room = place.room_temperature(outdoor, np.array([lag_h]), np.array([0.0]))[:, 0]
    t = np.arange(hours - 48, hours)
    a, b = np.linalg.lstsq(np.column_stack((np.sin(W * t), np.cos(W * t))), room[t], rcond=None)[0]
    return float(np.hypot(a, b)), float(np.arctan2(-b, a) / W)


@pytest.mark.parametrize(("lag_h", "ratio", "delay"), ROWS)
def test_room_answers_the_day_smaller_and_later(lag_h: float, ratio: float, delay: float) -> None:
    got_ratio, got_delay = response(lag_h)
    assert got_ratio == pytest.approx(ratio, abs=0.01)
    assert got_delay == pytest.approx(delay, abs=0.1)


def test_a_room_without_lag_is_outdoors() -> None:
    outdoor = 10 * np.sin(W * np.arange(96))[:, None]
    room = place.room_temperature(outdoor, np.array([1e-3]), np.array([0.0]))
    middle = 0.5 * (outdoor[1:] + outdoor[:-1])
    np.testing.assert_allclose(room[1:], middle, atol=1e-9)  # an hourly step of linear air


def test_room_in_steady_air_settles_at_air_plus_offset() -> None:
    outdoor = np.concatenate((np.full((24, 1), 0.0), np.full((200, 1), 10.0)))
    room = place.room_temperature(outdoor, np.array([8.0]), np.array([3.0]))[:, 0]
    assert room[-1] == pytest.approx(13.0, abs=1e-6)
    # a step of 10 K reaches 1 - 1/e of itself one lag after its middle (the ramp of one hour)
    assert room[23 + 8] + (room[23 + 9] - room[23 + 8]) / 2 == pytest.approx(
        3.0 + 10.0 * (1 - np.exp(-1)), abs=0.05
    )
