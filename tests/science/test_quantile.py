"""Quantiles of members that stand for shares: against exact distributions and against rules."""

from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.quantile import hour_at, quantile, quantiles

FRACTIONS = (0.1, 0.5, 0.9, 0.95)


@pytest.mark.parametrize("fraction", FRACTIONS)
@pytest.mark.parametrize("members", [64, 256])
def test_even_points_of_a_lognormal_give_its_quantile(members: int, fraction: float) -> None:
    normal = NormalDist(np.log(40.0), 0.4)
    hours = np.exp([normal.inv_cdf((k + 0.5) / members) for k in range(members)])
    weight = np.full(members, 1 / members)
    want = np.exp(normal.inv_cdf(fraction))
    assert quantile(hours, weight, fraction) == pytest.approx(want, rel=0.004)
    assert hour_at(hours, weight, fraction) == pytest.approx(want, rel=0.02)


def test_two_members_of_half_the_weight_are_one() -> None:
    values = np.array([3.0, 1.0, 7.0, 5.0])
    split, halves = np.repeat(values, 2), np.full(8, 1 / 8)
    for fraction in (0.3, 0.5, 0.7):
        whole = quantiles(values, (fraction,), np.array([0.2, 0.3, 0.1, 0.4]))
        twice = quantiles(split, (fraction,), np.repeat([0.1, 0.15, 0.05, 0.2], 2))
        assert abs(whole[0] - twice[0]) < 0.6
    assert quantile(split, halves, 0.5) == pytest.approx(4.0)


def test_rows_are_taken_one_by_one() -> None:
    rows = np.random.default_rng(1).normal(size=(5, 64))
    weight = np.random.default_rng(2).random(64)
    for how in (None, weight):
        got = quantiles(rows, FRACTIONS, how)
        want = np.array([quantiles(row, FRACTIONS, how) for row in rows]).T
        np.testing.assert_allclose(got, want)


def test_an_infinite_next_member_makes_the_quantile_infinite() -> None:
    hours = np.concatenate((np.arange(1.0, 57.0), np.full(8, np.inf)))
    weight = np.full(64, 1 / 64)
    assert quantile(hours, weight, 0.9) == np.inf
    assert np.isfinite(quantile(hours, weight, 0.85))
    assert np.isinf(hour_at(hours, weight, 0.99))


def test_an_hour_that_all_share_is_told_to_the_digit() -> None:
    for hour in (0.0, 24.0, 168.0, 672.0):
        for members in (64, 256):
            assert hour_at(np.full(members, hour), np.full(members, 1 / members), 0.9) == hour


hours = st.lists(st.floats(0.0, 900.0), min_size=64, max_size=64)


@given(hours, st.integers(0, 63), st.floats(0.0, 500.0), st.sampled_from(FRACTIONS))
def test_a_member_that_comes_later_or_never_makes_no_hour_earlier(
    told: list[float], which: int, later_h: float, fraction: float
) -> None:
    before, weight = np.array(told), np.full(64, 1 / 64)
    late, never = before.copy(), before.copy()
    late[which] += later_h
    never[which] = np.inf
    at = hour_at(before, weight, fraction)
    assert hour_at(late, weight, fraction) >= at - 1e-6
    assert hour_at(never, weight, fraction) >= hour_at(late, weight, fraction) - 1e-6
    assert at <= before.max() + 1e-6


def test_the_hour_grows_without_a_step_as_more_members_never_come() -> None:
    weight = np.full(256, 1 / 256)
    base = 40.0 + np.arange(256.0) / 16
    at = [
        hour_at(np.where(np.arange(256) >= 256 - never, np.inf, base), weight, 0.9)
        for never in range(24)
    ]
    last = int(np.isfinite(at).sum())
    assert last > 12, "so many may never come without taking the hour away"
    assert max(np.diff(at[:last])) < 0.15 * at[0]
    assert np.isinf(at[-1])
