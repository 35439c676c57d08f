"""How old a forecast is, and when it no longer counts."""

from datetime import UTC, datetime, timedelta

import pytest

from service.weather import choose

NOW = datetime(2026, 10, 14, 18, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)


@pytest.mark.parametrize(
    ("age_h", "grade"),
    [
        (0.0, "fresh"),
        (5.99, "fresh"),
        (6.0, "ageing"),
        (23.99, "ageing"),
        (24.0, "stale"),
        (71.99, "stale"),
        (72.0, "none"),
        (900.0, "none"),
        (-0.05, "fresh"),
        (-0.5, "none"),
    ],
)
def test_a_forecast_grows_old(age_h: float, grade: str) -> None:
    assert choose.grade(NOW - age_h * HOUR, NOW) == grade
