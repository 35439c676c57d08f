"""Error of forecast temperatures by lead, by frost, and from one night to the next.

Source     CITY_FORECASTS_2021, about 57,000 overnight lows at each lead.
Page says  sd of the low 1.63, 1.70, 1.79 and 1.86 K at 12, 24, 36 and 48 h; foretold under -5 degC
           2.25, 2.37, 2.47 and 2.60; from -5 to 5 degC 1.74, 1.81, 1.90 and 1.98. The errors of one
           night and the next go together by 0.5 to 0.66. Beyond a forecast the mean of 7 days
           spreads 3.5 K about the mean day, of 14 days 3.1 K (OWN_MEASURED_2013).
Status     open data.
Tolerance  the draws without the site's 0.7 K: 4 % at the leads, 8 % in frost, where the class is
           one value; the correlation within its band; 10 % for the means of days.
"""

from datetime import UTC, datetime

import numpy as np
import pytest

from models.air import members
from models.air.members import SITE_SD_K, extended
from models.air.series import AirSeries

START = datetime(2025, 1, 1, tzinfo=UTC)
LEADS = (12, 24, 36, 48)


def drawn(air_C: float, hours: int = 240) -> members.AirMembers:
    same = np.ones(hours)
    record = AirSeries(
        START,
        air_C * same,
        (air_C - 5) * same,
        2 * same,
        0 * same,
        0.5 * same,
        np.nan * same,
        START,
        "a record",
    )
    longer, known = extended(record, hours + 400)
    return members.draw(longer, 4000, 7, known)


@pytest.mark.parametrize(
    ("air_C", "sd_K", "within"),
    [
        (10.0, (1.63, 1.70, 1.79, 1.86), 0.04),
        (0.0, (1.74, 1.81, 1.90, 1.98), 0.04),
        (-10.0, (2.25, 2.37, 2.47, 2.60), 0.08),
    ],
)
def test_members_spread_as_forecasts_missed(
    air_C: float, sd_K: tuple[float, ...], within: float
) -> None:
    error = drawn(air_C).air_C - air_C
    for lead, sd in zip(LEADS, sd_K, strict=True):
        assert np.sqrt(error[lead].var() - SITE_SD_K**2) == pytest.approx(sd, rel=within)


def test_the_next_night_is_missed_alike() -> None:
    error = drawn(10.0).air_C
    for lead in (12, 24):
        both = np.cov(error[lead], error[lead + 24])
        without_site = both[0, 1] - SITE_SD_K**2
        alike = without_site / np.sqrt((both[0, 0] - SITE_SD_K**2) * (both[1, 1] - SITE_SD_K**2))
        assert 0.5 <= alike <= 0.66


@pytest.mark.parametrize(("days", "sd_K"), [(7, 3.5), (14, 3.1)])
def test_a_week_beyond_the_forecast_may_be_a_cold_one(days: int, sd_K: float) -> None:
    error = drawn(10.0).air_C[300 : 300 + 24 * days] - 10.0
    assert error.mean(axis=0).std() == pytest.approx(sd_K, rel=0.1)
