"""The hourly record: gaps stay visible, typed nights become hours, the tail is the mean day."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from models.air import members, series
from models.air.series import HOUR, AirSeries, from_low_high
from models.errors import InputError
from models.facts.air import HIGHEST_DEW_C
from models.facts.forecast import HOURLY_MEMORY
from models.simulation import conditioning

START = datetime(2025, 3, 1, 6, tzinfo=UTC)


def record(air: list[float] | np.ndarray, start: datetime = START) -> AirSeries:
    column = np.array(air, dtype=float)
    same = np.ones_like(column)
    return AirSeries(
        start, column, column - 3, 2 * same, 0 * same, 0.5 * same, np.nan * same, start, "made up"
    )


@pytest.mark.parametrize("gap", [1, 2, 3])
def test_gaps_up_to_three_hours_are_bridged_by_lines_and_told(gap: int) -> None:
    air = np.arange(12.0)
    air[4 : 4 + gap] = np.nan
    whole, closed = record(air).bridged()
    np.testing.assert_allclose(whole.air_C, np.arange(12.0))
    assert closed == gap


def test_gaps_of_four_hours_stay_unknown() -> None:
    air = np.arange(12.0)
    air[4:8] = np.nan
    whole, closed = record(air).bridged()
    assert np.isnan(whole.air_C[4:8]).all()
    assert closed == 0
    holes = whole.missing(START, whole.end)
    assert holes == [START + k * HOUR for k in range(4, 8)]


def test_gaps_at_the_ends_are_never_filled() -> None:
    air = np.arange(6.0)
    air[0] = air[5] = np.nan
    whole, _ = record(air).bridged()
    assert np.isnan(whole.air_C[[0, 5]]).all()


def test_hours_before_and_after_the_record_are_missing() -> None:
    some = record(np.arange(4.0))
    assert some.missing(START - 2 * HOUR, START + 5 * HOUR) == [
        START + k * HOUR for k in (-2, -1, 4, 5)
    ]
    assert some.missing(START + HOUR, START + 2 * HOUR) == []
    far = some.missing(START + 90 * HOUR, START + 92 * HOUR)
    assert len(far) == 3


def test_part_of_a_record_keeps_its_clock() -> None:
    some = record(np.arange(24.0))
    part = some.between(START + timedelta(hours=5.5), START + timedelta(hours=7.2))
    assert part.start == START + 5 * HOUR
    np.testing.assert_array_equal(part.air_C, [5.0, 6.0, 7.0, 8.0])
    assert part.hour_of(START + 5 * HOUR) == 0.0


def test_rows_off_the_hour_or_of_other_length_are_refused() -> None:
    with pytest.raises(InputError, match="hourly"):
        record(np.arange(3.0), START + timedelta(minutes=20))
    with pytest.raises(InputError) as refused:
        replace(record(np.arange(5.0)), wind_m_s=np.ones(4))
    assert refused.value.field == "wind_m_s"


def test_a_typed_night_has_its_low_before_dawn_and_its_high_after_noon() -> None:
    zone = ZoneInfo("America/New_York")
    typed = from_low_high(-4.0, 9.0, datetime(2025, 11, 3, 15, tzinfo=zone), days=3)
    local = [at.astimezone(zone).hour for at in typed.times()]
    assert typed.start.tzinfo == UTC
    assert local[0] == 0
    coldest = {local[k] for k in np.flatnonzero(typed.air_C < -4.0 + 1e-9)}
    warmest = {local[k] for k in np.flatnonzero(typed.air_C > 9.0 - 1e-9)}
    assert (coldest, warmest) == ({5}, {14})
    assert (typed.air_C >= -4.0 - 1e-9).all()
    assert (typed.air_C <= 9.0 + 1e-9).all()
    assert np.abs(np.diff(typed.air_C)).max() < 3.0
    assert (typed.dew_point_C <= typed.air_C).all()
    assert typed.hours == 96


@pytest.mark.parametrize("zone", ["Asia/Kolkata", "Asia/Kathmandu", "America/St_Johns"])
def test_a_typed_night_counts_where_the_clock_is_off_by_part_of_an_hour(zone: str) -> None:
    here = ZoneInfo(zone)
    typed = from_low_high(-4.0, 9.0, datetime(2025, 12, 3, 15, 20, tzinfo=here), days=1)
    local = [at.astimezone(here) for at in typed.times()]
    assert local[0] <= datetime(2025, 12, 3, tzinfo=here) < local[1]
    assert local[-1] >= datetime(2025, 12, 4, 23, tzinfo=here)
    coldest, warmest = np.argmin(typed.air_C), np.argmax(typed.air_C[:24])
    assert abs(local[coldest].hour + local[coldest].minute / 60 - 5) <= 0.5
    assert abs(local[warmest].hour + local[warmest].minute / 60 - 14) <= 0.5


def test_a_typed_night_keeps_to_the_clock_after_it_was_changed() -> None:
    zone = ZoneInfo("Europe/Vienna")
    typed = from_low_high(1.0, 9.0, datetime(2026, 10, 24, 18, tzinfo=zone), days=3)
    local = [at.astimezone(zone).hour for at in typed.times()]
    assert {local[k] for k in np.flatnonzero(typed.air_C > 9.0 - 1e-9)} == {14}
    assert {local[k] for k in np.flatnonzero(typed.air_C < 1.0 + 1e-9)} == {5}


def test_a_typed_night_is_told_as_people_say_it() -> None:
    typed = from_low_high((30 - 32) / 1.8, (50 - 32) / 1.8, START)
    assert typed.source == "typed by hand: night -1.1 C, day 10 C"


def test_a_typed_night_of_the_desert_is_no_steam_bath() -> None:
    typed = from_low_high(43.0, 45.0, START)
    assert typed.dew_point_C.max() <= HIGHEST_DEW_C


def test_a_typed_high_under_the_low_is_refused() -> None:
    with pytest.raises(InputError) as refused:
        from_low_high(5.0, 3.0, START)
    assert refused.value.field == "day_high_C"
    assert "5 or more" in refused.value.allowed


def test_dew_point_of_a_column_keeps_its_holes() -> None:
    got = series.dew_point_of(np.array([20.0, np.nan, 10.0]), np.array([50.0, 40.0, np.nan]))
    assert got[0] == pytest.approx(9.26, abs=0.01)
    assert np.isnan(got[1:]).all()


def test_beyond_the_record_stands_its_mean_day_with_its_own_doubt() -> None:
    clock = np.arange(72) % 24
    some = record(10 + np.where(clock == 15, 6.0, 0.0))
    longer, known = members.extended(some, 120)
    assert (known, longer.hours) == (72, 120)
    beyond = longer.air_C[72:]
    np.testing.assert_allclose(beyond[np.arange(72, 120) % 24 == 15], 16.0)
    np.testing.assert_allclose(beyond[np.arange(72, 120) % 24 != 15], 10.0)
    drawn = members.draw(longer, 2000, 3, known)
    assert drawn.air_C[119].std() == pytest.approx(np.hypot(4.0, 0.7), rel=0.10)
    assert drawn.air_C[30].std() < 0.6 * drawn.air_C[119].std()


def test_a_cold_last_hour_goes_slowly_over_into_the_mean_day() -> None:
    some = record(np.where(np.arange(240) < 228, 10.0, 2.0))
    longer, known = members.extended(some, 400)
    step = 0.8 + 0.022 * 7.2  # of the mean day, and of what fades
    assert longer.air_C[known] - 2.0 == pytest.approx(step, abs=0.01)
    assert longer.dew_point_C[known] - (2.0 - 3.0) == pytest.approx(step, abs=0.01)
    assert (longer.dew_point_C <= longer.air_C).all()
    mean_day = 9.2 + 0.8 * (np.arange(known, 400) % 24 < 12)
    np.testing.assert_allclose(longer.air_C[known + 150 :], mean_day[150:], atol=0.3)


def test_rain_keeps_its_mean_whatever_its_chance() -> None:
    some = record(np.full(240, 10.0))
    showery = replace(some, rain_mm=np.full(240, 0.6), rain_chance=np.full(240, 0.3))
    drawn = members.draw(showery, 600, 4)
    assert drawn.rain_mm.mean() == pytest.approx(0.6, rel=0.05)
    assert (drawn.rain_mm > 0).mean() == pytest.approx(0.3, abs=0.02)
    window = drawn.rain_mm[:6] > 0
    assert (window == window[0]).all()  # six hours are wet or dry together


def test_readings_pull_the_hours_about_them_and_leave_far_ones() -> None:
    some = record(np.full(240, 10.0))
    drawn = members.draw(some, 3000, 5)
    trust = conditioning.Trust(drawn.error_sd_K, HOURLY_MEMORY, 0.7, 0.5)
    read = conditioning.series([(19.0, 8.5), (20.0, 8.5), (21.0, 8.5)])
    before = drawn.air_C
    shift, left = conditioning.moved(before, read, trust, 6)
    assert np.abs(left).mean() < 0.2  # near what was expected
    after = before + shift
    assert abs(after[20].mean() - 8.6) < 0.4
    assert after[20].std() < 0.7 * before[20].std()
    assert after[22].mean() < 9.1
    assert before[200].std() == pytest.approx(after[200].std(), rel=0.06)
    # far away only the site's own offset has been learned, by a part of the miss
    assert -0.9 < after[200].mean() - 10 < -0.2
