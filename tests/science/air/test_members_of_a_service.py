"""Drawn members follow the service's own, or the spread it tells, and never take it for certainty.

The forecasts are the record of Newark, 2013, with errors of the published first-order kind laid
on it: the truth is known.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from types import ModuleType

import numpy as np
import pytest

from models.air import members
from models.air.ensemble import Ensemble
from models.air.series import HOUR, AirSeries
from models.facts.forecast import FORETOLD_C, HOURLY_MEMORY, LEAD_H, LEAD_SD_K, WIDER_FACTOR
from models.simulation import conditioning

BEGIN = datetime(2013, 4, 5, 6, tzinfo=UTC)
PAST_H, HOURS, REACH_H = 48, 264, 216  # the members end a day before the forecast does
Draw = Callable[..., AirSeries]


def errors(seed: int, count: int, hours: int = HOURS - PAST_H, phi: float = 0.94) -> np.ndarray:
    """Unit first-order errors, (hours, count)."""
    white = np.random.default_rng(seed).standard_normal((hours, count))
    out = white.copy()
    for h in range(1, hours):
        out[h] = phi * out[h - 1] + np.sqrt(1 - phi**2) * white[h]
    return out


def sd_at(lead: np.ndarray) -> np.ndarray:
    sd: np.ndarray = np.interp(lead, LEAD_H, LEAD_SD_K)
    return sd


@pytest.fixture(scope="module")
def newark(record_2013: ModuleType) -> AirSeries:
    series: AirSeries = record_2013.series_2013("EWR", BEGIN, BEGIN + (HOURS - 1) * HOUR, 0.3)
    whole, _ = series.bridged()
    assert np.isfinite(whole.air_C).all()
    assert np.isfinite(whole.dew_point_C).all()
    return replace(whole, issued_at=BEGIN + PAST_H * HOUR)


@pytest.fixture(scope="module")
def with_members(newark: AirSeries) -> Draw:
    def made(
        count: int = 31, scale: float = 1.0, warm_K: float = 0.0, seed: int = 3, early: float = 0.3
    ) -> AirSeries:
        lead = np.arange(HOURS - PAST_H)
        off = np.full((HOURS, count), np.nan)
        spread = scale * sd_at(lead) * np.interp(lead, (0, 12), (early, 1.0))
        off[PAST_H:] = spread[:, None] * errors(seed, count) + warm_K
        off[PAST_H + REACH_H - 24 :] = np.nan
        return replace(
            newark,
            ensemble=Ensemble(
                newark.air_C[:, None] + off,
                np.minimum(newark.dew_point_C[:, None], newark.air_C[:, None]) + off - 0.5,
                newark.wind_m_s[:, None] + 0 * off,
                newark.rain_mm[:, None] * (1 + 0.5 * np.sign(off - warm_K)),
                np.where(np.isnan(off), np.nan, 0.8),
            ),
        )

    return made


def test_one_seed_gives_the_same_members_and_another_seed_others(with_members: Draw) -> None:
    air = with_members()
    one, again, other = (members.draw(air, 64, seed) for seed in (5, 5, 6))
    for name in ("air_C", "dew_point_C", "wind_m_s", "cloud_fraction", "rain_mm"):
        np.testing.assert_array_equal(getattr(one, name), getattr(again, name))
    assert (one.air_C != other.air_C).any()


@pytest.mark.parametrize(("served", "drawn"), [(31, 64), (51, 32), (20, 256), (40, 40)])
def test_every_served_member_is_followed_equally_often(
    with_members: Draw, served: int, drawn: int
) -> None:
    """By the rain, which is taken over as it was served."""
    air = with_members(served)
    assert air.ensemble is not None
    told = replace(
        air.ensemble,
        rain_mm=np.where(np.isnan(air.ensemble.air_C), np.nan, np.arange(float(served))),
    )
    rain = members.draw(replace(air, ensemble=told), drawn, 4).rain_mm[PAST_H + 30]
    times = np.bincount(rain.astype(int), minlength=served)
    assert times.sum() == drawn
    assert times.max() - times.min() <= 1


def test_the_drawn_spread_is_the_served_one_widened_with_the_yards_own(with_members: Draw) -> None:
    """Section 6.4: 1.3 times the spread, and 0.7 K for the site."""
    air = with_members(51, scale=1.0)
    assert air.ensemble is not None
    drawn = members.draw(air, 2000, 1)
    for lead in (48, 96, 150):
        row = PAST_H + lead
        served = air.ensemble.air_C[row].std(ddof=1)
        assert drawn.air_C[row].std() == pytest.approx(np.hypot(1.3 * served, 0.7), rel=0.1)
        assert drawn.error_sd_K[row] == pytest.approx(1.3 * served)


def test_members_stand_about_the_forecast_for_two_days_and_then_about_their_own_mean(
    with_members: Draw, newark: AirSeries
) -> None:
    drawn = members.draw(with_members(51, warm_K=3.0), 1000, 1)
    off = drawn.air_C.mean(axis=1) - newark.air_C
    assert np.abs(off[: PAST_H + 48]).max() < 0.3
    assert off[PAST_H + 84] == pytest.approx(1.5, abs=0.6)
    assert off[PAST_H + 150] == pytest.approx(3.0, abs=0.8)


@pytest.mark.parametrize("what", ["table", "told", "members", "stale members", "short"])
def test_nothing_jumps_where_past_forecast_and_mean_day_meet(
    with_members: Draw, newark: AirSeries, what: str
) -> None:
    told = replace(newark, spread_K=np.where(np.arange(HOURS) < 200, 1.0, np.nan))
    air = {
        "table": newark,
        "told": told,
        "members": with_members(),
        "stale members": with_members(early=1.0),
        "short": newark.between(BEGIN, BEGIN + 95 * HOUR),
    }[what]
    longer, known = members.extended(air, HOURS + 96)
    drawn = members.draw(longer, 512, 2, known)
    step = np.sqrt((np.diff(drawn.air_C - longer.air_C[:, None], axis=0) ** 2).mean(axis=1))
    usual = 0.37 * drawn.error_sd_K[1:]  # sqrt(2 (1 - 0.94)) = 0.35 of a first-order error
    assert (step < 1.3 * usual + 0.1).all(), np.argmax(step / usual)


def test_members_that_disagree_make_the_observed_past_no_less_sure(
    with_members: Draw, newark: AirSeries
) -> None:
    drawn = members.draw(with_members(31, early=1.5), 2000, 1)
    off = (drawn.air_C - newark.air_C[:, None])[:PAST_H]
    np.testing.assert_allclose(off.std(axis=1), np.hypot(0.5, 0.7), rtol=0.06)


def test_when_the_members_end_the_table_takes_over(with_members: Draw, newark: AirSeries) -> None:
    air = with_members(31, scale=0.4)
    assert air.ensemble is not None
    ended = np.where(np.arange(HOURS)[:, None] < PAST_H + 60, air.ensemble.air_C, np.nan)
    sd = members.draw(replace(air, ensemble=Ensemble(ended)), 64, 1).error_sd_K
    table = members.draw(newark, 64, 1).error_sd_K
    # members so narrow are not believed under the table, and those that ended say nothing
    np.testing.assert_allclose(sd[PAST_H:], table[PAST_H:], rtol=0.01)


@pytest.mark.parametrize("members_served", [1, 7])
def test_a_handful_of_members_says_nothing_of_the_doubt(
    with_members: Draw, newark: AirSeries, members_served: int
) -> None:
    few = with_members(members_served)
    got, plain = members.draw(few, 64, 1), members.draw(newark, 64, 1)
    np.testing.assert_array_equal(got.air_C, plain.air_C)


def test_members_without_a_value_are_as_none(with_members: Draw, newark: AirSeries) -> None:
    full = with_members(31)
    assert full.ensemble is not None
    air = np.full_like(full.ensemble.air_C, np.nan)
    got = members.draw(replace(newark, ensemble=Ensemble(air)), 64, 1)
    np.testing.assert_array_equal(got.air_C, members.draw(newark, 64, 1).air_C)
    air[:, :9] = full.ensemble.air_C[:, :9]  # nine speak, twenty-two are silent
    nine = members.draw(replace(newark, ensemble=Ensemble(air)), 64, 1)
    assert np.isfinite(nine.air_C).all()
    assert (nine.air_C != got.air_C).any()


def test_members_that_agree_wholly_are_not_taken_for_certainty(newark: AirSeries) -> None:
    same = Ensemble(np.repeat(newark.air_C[:, None], 31, axis=1))
    drawn = members.draw(replace(newark, ensemble=same), 1000, 1)
    lead = np.arange(HOURS - PAST_H)
    got = (drawn.air_C - newark.air_C[:, None])[PAST_H:].std(axis=1)
    assert (got > 0.9 * np.hypot(np.maximum(0.6, 0.5 * sd_at(lead)), 0.7)).all()


def test_a_member_that_ends_early_or_has_holes_leaves_no_hole(with_members: Draw) -> None:
    air = with_members(12)
    assert air.ensemble is not None
    column = air.ensemble.air_C.copy()
    column[PAST_H + 60 :, 0] = np.nan
    column[PAST_H + 30 : PAST_H + 36, 1:5] = np.nan
    column[: PAST_H + 20, 6] = np.nan
    holed = replace(air, ensemble=replace(air.ensemble, air_C=column))
    drawn, whole = members.draw(holed, 120, 1), members.draw(air, 120, 1)
    assert np.isfinite(drawn.air_C).all()
    ratio = drawn.error_sd_K / whole.error_sd_K
    assert 0.7 < ratio.min() <= ratio.max() < 1.3


def test_a_told_spread_goes_before_the_table(newark: AirSeries) -> None:
    told = replace(newark, spread_K=np.where(np.arange(HOURS) % 6 == 0, 2.5, np.nan))
    drawn = members.draw(told, 2000, 1)
    row = PAST_H + 6
    assert drawn.error_sd_K[row] == pytest.approx(1.3 * 2.5, rel=0.1)
    assert drawn.air_C[row].std() == pytest.approx(np.hypot(1.3 * 2.5, 0.7), rel=0.1)
    assert (drawn.error_sd_K[:PAST_H] == 0.5).all()
    sure = members.draw(replace(newark, spread_K=np.zeros(HOURS)), 64, 1).error_sd_K[PAST_H:]
    lead, warmth = np.arange(HOURS - PAST_H), newark.air_C[PAST_H:]
    table = sd_at(lead) * np.interp(warmth, FORETOLD_C, WIDER_FACTOR)
    assert (sure >= table - 1e-12).all()


def test_an_older_run_has_a_wider_band(newark: AirSeries) -> None:
    older = replace(newark, issued_at=newark.issued_at - timedelta(hours=24))
    ahead = slice(PAST_H, None)
    young, old = (members.draw(air, 64, 1).error_sd_K[ahead] for air in (newark, older))
    assert (old >= young).all()
    assert old[0] > young[0]


def test_the_spread_never_falls_with_the_lead(newark: AirSeries) -> None:
    alike = replace(newark, air_C=np.full(HOURS, 3.0), dew_point_C=np.full(HOURS, 0.0))
    longer, known = members.extended(alike, 28 * 24)
    sd = members.draw(longer, 16, 1, known).error_sd_K
    assert (np.diff(sd) >= 0).all()


@pytest.mark.parametrize("factor", [0.7, 1.0, 1.6])
def test_what_kept_forecasts_taught_scales_the_spread(with_members: Draw, factor: float) -> None:
    air = with_members(31)
    scaled = replace(air, spread_factor=np.where(np.arange(HOURS) < PAST_H, 1.0, factor))
    sd = [members.draw(one, 64, 1).error_sd_K for one in (air, scaled)]
    np.testing.assert_allclose(sd[1][PAST_H:], factor * sd[0][PAST_H:])


def test_dew_point_never_passes_the_air_and_wind_cloud_rain_stay_possible(
    with_members: Draw,
) -> None:
    drawn = members.draw(with_members(31, scale=2.0), 200, 1)
    assert (drawn.dew_point_C <= drawn.air_C).all()
    assert ((drawn.cloud_fraction >= 0) & (drawn.cloud_fraction <= 1)).all()
    assert (drawn.wind_m_s >= 0).all()


def test_wind_cloud_and_rain_are_those_of_the_members_and_keep_their_mean(
    with_members: Draw,
) -> None:
    air = with_members(31)
    assert air.ensemble is not None
    drawn = members.draw(air, 31 * 20, 1)
    ahead = slice(PAST_H, PAST_H + REACH_H - 30)
    assert drawn.cloud_fraction[ahead].mean() == pytest.approx(0.8, abs=0.02)
    np.testing.assert_allclose(
        drawn.rain_mm[ahead].mean(axis=1), air.ensemble.rain_mm[ahead].mean(axis=1)
    )
    np.testing.assert_allclose(
        drawn.wind_m_s[ahead].mean(axis=1), air.ensemble.wind_m_s[ahead].mean(axis=1), rtol=0.05
    )


def test_the_yards_own_wind_is_not_that_of_the_member(
    with_members: Draw, newark: AirSeries
) -> None:
    drawn = members.draw(with_members(31), 620, 1)
    windy = np.flatnonzero(newark.wind_m_s[PAST_H : PAST_H + 150] > 2) + PAST_H
    ratio = drawn.wind_m_s[windy] / newark.wind_m_s[windy][:, None]
    assert np.log(ratio).std() == pytest.approx(0.3 * 0.35, rel=0.05)


def test_a_reading_still_pulls_members_that_a_service_served(with_members: Draw) -> None:
    drawn = members.draw(with_members(31), 2048, 1)
    row = PAST_H + 30
    value = float(drawn.air_C[row].mean()) - 2.0
    trust = conditioning.Trust(drawn.error_sd_K, HOURLY_MEMORY, 0.7, 0.5)
    read = conditioning.series([(row - 1.0, value), (float(row), value)])
    shift, left = conditioning.moved(drawn.air_C, read, trust, 6)
    moved = drawn.air_C + shift + conditioning.carried(read, left, len(shift), 16.0, 7)
    assert moved[row].mean() == pytest.approx(value, abs=0.8)
    assert moved[row].std() < 0.7 * drawn.air_C[row].std()


def test_members_drawn_of_a_narrow_ensemble_hold_what_came(
    record_2013: ModuleType,
) -> None:
    """A service whose members err as much as its forecast, but show three quarters of it."""
    inside = []
    for k in range(40):
        begin = BEGIN + k * 6 * 24 * HOUR
        series, _ = record_2013.series_2013("EWR", begin, begin + 240 * HOUR, 0.3).bridged()
        if not (np.isfinite(series.air_C).all() and np.isfinite(series.dew_point_C).all()):
            continue
        lead = np.arange(float(series.hours))
        off = sd_at(lead)[:, None] * errors(100 + k, 32, series.hours)
        told = series.air_C + off[:, 0]  # the forecast misses what came by one such error
        near = told[:, None] + off[:, 1:] / 1.3
        near += (series.air_C + off[:, 0] - near.mean(axis=1))[:, None]
        forecast = replace(
            series,
            air_C=told,
            dew_point_C=np.minimum(series.dew_point_C, told),
            issued_at=begin,
            ensemble=Ensemble(near),
        )
        drawn = members.draw(forecast, 128, k).air_C
        low, high = np.quantile(drawn[12:], (0.1, 0.9), axis=1)
        inside.append(((series.air_C[12:] >= low) & (series.air_C[12:] <= high)).mean())
    assert len(inside) > 20
    assert 0.76 < np.mean(inside) < 0.90  # 80 %, and a little more for the yard's own 0.7 K
