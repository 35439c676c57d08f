"""Error of forecast temperatures by lead, by frost, and from one night to the next.

Source     CITY_FORECASTS_2021, about 57,000 overnight lows at each lead.
Page says  sd of the low 1.63, 1.70, 1.79 and 1.86 K at 12, 24, 36 and 48 h, foretold 0.31 to 0.34 K
           too cold; by season and by what was foretold 1.34 to 2.60 K, all in
           tests/data/measured/forecast_error_by_lead.csv. The errors of one night and the next go
           together by 0.5 to 0.66. Beyond what is known, the mean day of the ten days before misses
           single hours by 4.4 to 5.0 K (OWN_MEASURED_2013).
Status     open data.
Tolerance  the band of 80 % holds 78 to 84 % of the nights of each lead, season and range; the
           draws without the site's 0.7 K within 8 % of the root mean square error of a class, which
           is not one temperature; the correlation within its band; beyond what is known 78 to 84 %
           of hours and of means of 14 days, up to 85 % of means of 7 days.
"""

import csv
from datetime import UTC, datetime
from functools import cache
from statistics import NormalDist

import numpy as np
import pytest
from scipy.special import ndtr

from models.air import members
from models.air.members import extended
from models.air.series import HOUR, AirSeries
from models.air.spread import lead_sd
from models.facts.forecast import SITE_SD_K
from models.units import Array
from tests.replays.record_2013 import STATIONS, series_2013
from tests.support.measured_mix import MEASURED

START = datetime(2025, 1, 1, tzinfo=UTC)
LEADS = (12, 24, 36, 48)
FORECAST_H = 240
BEGIN, END = datetime(2013, 1, 1, 6, tzinfo=UTC), datetime(2013, 12, 30, tzinfo=UTC)
UNDER, ABOUT = "forecast < -5 C", "forecast -5..5 C"


def drawn(
    air_C: Array, issued_at: datetime, beyond_h: int, members_asked: int, seed: int = 7
) -> members.AirMembers:
    same = np.ones(len(air_C))
    record = AirSeries(
        START,
        air_C,
        air_C - 5,
        2 * same,
        0 * same,
        0.5 * same,
        np.nan * same,
        issued_at,
        "a record",
    )
    longer, known = extended(record, len(air_C) + beyond_h)
    return members.draw(longer, members_asked, seed, known)


@cache
def steady(air_C: float) -> members.AirMembers:
    """A forecast of ten days of one temperature, and 400 h beyond it."""
    return drawn(np.full(FORECAST_H, air_C), START, 400, 4000)


@pytest.mark.parametrize(
    ("air_C", "error_K"),
    [
        (18.0, (1.37, 1.42, 1.48, 1.52)),
        (0.0, (1.79, 1.84, 1.94, 2.01)),
        (-10.0, (2.36, 2.45, 2.53, 2.65)),
    ],
)
def test_members_spread_as_forecasts_missed(air_C: float, error_K: tuple[float, ...]) -> None:
    error = steady(air_C).air_C - air_C
    for lead, sd in zip(LEADS, error_K, strict=True):
        assert np.sqrt(error[lead].var() - SITE_SD_K**2) == pytest.approx(sd, rel=0.08)


@cache
def nights() -> dict[tuple[str, str], dict[int, tuple[int, float, float]]]:
    """Count, bias [K] and sd [K] of forecast lows by lead [h], of each season and range."""
    found: dict[tuple[str, str], dict[int, tuple[int, float, float]]] = {}
    with (MEASURED / "forecast_error_by_lead.csv").open(newline="") as file:
        for row in csv.DictReader(file):
            if row["kind"] == "low":
                of_class = found.setdefault((row["season"], row["forecast_range"]), {})
                told = int(row["n"]), float(row["bias_K"]), float(row["sd_K"])
                of_class[int(row["lead_h"])] = told
    return found


def foretold(season: str, among: str) -> Array:
    """Lows that were foretold in a class [degC]: normal, through the counts under -5 and 5 degC."""
    if season == "Jun-Sep":  # has no counts by range; nights of American summers, from memory
        return np.random.default_rng(1).normal(17.5, 5.0, 4000)
    count = {kind: nights()[season, kind][24][0] for kind in ("any", UNDER, ABOUT)}
    frost, cool = count[UNDER] / count["any"], (count[UNDER] + count[ABOUT]) / count["any"]
    low, high = NormalDist().inv_cdf(frost), NormalDist().inv_cdf(cool)
    sd = 10.0 / (high - low)
    lows = np.random.default_rng(1).normal(5.0 - high * sd, sd, 40_000)
    first, end = {"any": (-60.0, 60.0), UNDER: (-60.0, -5.0), ABOUT: (-5.0, 5.0)}[among]
    return lows[(lows > first) & (lows < end)][:4000]


@pytest.mark.parametrize("lead_h", LEADS)
@pytest.mark.parametrize("of_class", list(nights()), ids="/".join)
def test_band_of_80_percent_holds_78_to_84_of_the_nights_of_each_class(
    of_class: tuple[str, str], lead_h: int
) -> None:
    _, bias_K, sd_K = nights()[of_class][lead_h]
    lows = foretold(*of_class)
    told_K = lead_sd(np.full(lows.shape, float(lead_h)), np.zeros(lows.shape, dtype=bool), lows)
    missed_K = told_K * sd_K / np.sqrt((told_K**2).mean())
    band = NormalDist().inv_cdf(0.9) * told_K
    inside = ndtr((band - bias_K) / missed_K) - ndtr((-band - bias_K) / missed_K)
    assert 0.78 <= np.mean(inside) <= 0.84


def test_the_next_night_is_missed_alike() -> None:
    error = steady(10.0).air_C
    for lead in (12, 24):
        both = np.cov(error[lead], error[lead + 24])
        without_site = both[0, 1] - SITE_SD_K**2
        alike = without_site / np.sqrt((both[0, 0] - SITE_SD_K**2) * (both[1, 1] - SITE_SD_K**2))
        assert 0.5 <= alike <= 0.66


def test_band_beyond_the_forecast_holds_the_hours_and_weeks_of_2013() -> None:
    hours: list[float] = []
    inside: dict[int, list[bool]] = {7: [], 14: []}
    for airport in STATIONS:
        whole = series_2013(airport, BEGIN, END)
        known = np.isfinite(whole.air_C)
        hour = np.arange(whole.hours)
        came_C = np.interp(hour, hour[known], whole.air_C[known])
        for first in range(0, whole.hours - FORECAST_H - 15 * 24, 48):
            seen_C = came_C[first : first + FORECAST_H]
            told = drawn(seen_C, START + FORECAST_H * HOUR, 14 * 24, 64, 1 + first).air_C
            for days, held in inside.items():
                rows = slice(FORECAST_H, FORECAST_H + 24 * days)
                low, high = np.quantile(told[rows].mean(axis=0), (0.1, 0.9))
                held.append(bool(low <= came_C[first:][rows].mean() <= high))
            low_C, high_C = np.quantile(told[FORECAST_H:][:336], (0.1, 0.9), axis=1)
            came = came_C[first + FORECAST_H :][:336]
            hours.append(float(((low_C <= came) & (came <= high_C)).mean()))
    assert 0.78 <= np.mean(hours) <= 0.84
    assert 0.78 <= np.mean(inside[14]) <= 0.84
    assert 0.78 <= np.mean(inside[7]) <= 0.85
