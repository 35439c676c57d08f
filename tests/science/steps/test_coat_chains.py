"""The search for a chain of coats against trying every pair of hours, on small invented records."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.planning import coat_reasons
from models.steps import coats, seal
from models.units import Array, Mask
from tests.support.thorough import some

STEP_H = 0.5


def some_hours(seed: int, rows: int = 24, members: int = 7) -> coats.Hours:
    """Conditions that come and go, waits of one to four hours, an end after three to eight."""
    random = np.random.default_rng(seed)

    def runs(share: float) -> Mask:
        out: Mask = np.repeat(random.random((rows // 4, members)) < share, 4, axis=0)
        return out

    weight = random.random(members)
    return coats.Hours(
        np.arange(rows, dtype=np.float64) * STEP_H,
        STEP_H,
        runs(0.85),
        seal.hours_holding(runs(0.9), STEP_H),
        seal.hours_holding(runs(0.95), STEP_H),
        1 + 3 * random.random((rows, members)),
        3 + 5 * random.random((rows, members)),
        random.random(rows) < 0.7,
        weight / weight.sum(),
    )


def pair_holds(hours: coats.Hours, a: int, b: int, hold: float, rain: float) -> Array:
    """Members in which a pair holds, said in plain words, one member at a time."""
    gap = (b - a) * STEP_H
    out = []
    for m in range(len(hours.weight)):
        under = (
            hours.begin[a, m]
            and hours.wait_h[a, m] <= gap <= hours.limit_h[a, m]
            and hours.steady_h[a, m] >= min(gap, hold)
            and hours.dry_h[a, m] >= min(gap, rain)
        )
        over = (
            hours.begin[b, m]
            and hours.steady_h[b, m] >= max(hold, hours.wait_h[b, m])
            and hours.dry_h[b, m] >= rain
        )
        out.append(under and over)
    return np.array(out)


@settings(max_examples=some(20, 600), deadline=None)
@given(
    seed=st.integers(0, 10_000),
    hold=st.sampled_from([0.0, 1.0, 2.0, 3.0]),
    rain=st.sampled_from([0.0, 1.0, 2.5]),
    share=st.sampled_from([0.4, 0.6, 0.8]),
)
def test_a_pair_is_found_wherever_there_is_one_and_it_is_the_earliest(
    seed: int, hold: float, rain: float, share: float
) -> None:
    hours = some_hours(seed)
    rows = len(hours.hour)
    told = coats.chains(hours, 2, hold, rain, share, np.ones_like(hours.begin))
    for a in range(rows):
        fit = [
            b
            for b in range(a + 1, rows)
            if hours.hand[b] and hours.weight[pair_holds(hours, a, b, hold, rain)].sum() >= share
        ]
        assert told.whole[a] == bool(fit)
        if fit:
            assert list(told.rows[a]) == [a, fit[0]]


@settings(max_examples=some(20, 400), deadline=None)
@given(seed=st.integers(0, 10_000), count=st.integers(1, 4), share=st.sampled_from([0.3, 0.5, 0.7]))
def test_what_is_called_whole_holds_in_the_share_that_is_told(
    seed: int, count: int, share: float
) -> None:
    hours = some_hours(seed)
    told = coats.chains(hours, count, 1.0, 1.0, share, np.ones_like(hours.begin))
    for row in np.flatnonzero(told.whole):
        rows = tuple(int(one) for one in told.rows[row])
        assert list(rows) == sorted(set(rows))
        assert all(hours.hand[one] for one in rows[1:])
        assert coats.joint(hours, rows, 1.0, 1.0) >= share - 1e-9
        assert told.chance[row] >= share - 1e-9


def test_the_compiled_search_does_as_its_plain_twin() -> None:
    compiled, plain = coats._search, coats._search.py_func  # type: ignore[attr-defined]
    for seed, count in product(range(4), (1, 2, 3)):
        hours = some_hours(seed)
        every = np.ones((count, len(hours.hour)), dtype=np.bool_)
        given_ = (hours.begin, hours, every, count, 1.0, 1.0, 0.5)
        for ours, twin in zip(compiled(*given_), plain(*given_), strict=True):
            np.testing.assert_allclose(ours, twin)


@given(rate=st.floats(0.05, 5.0), need=st.floats(0.1, 20.0))
def test_at_a_constant_rate_a_coat_is_dry_after_its_time_over_the_rate(
    rate: float, need: float
) -> None:
    got = seal.hours_until(np.full((40, 3), rate), 0.5, need)[0, 0]
    wanted = need / rate
    assert got == np.inf if wanted > 19.5 + 1e-6 else abs(got - wanted) < 1e-6


def test_a_coat_waits_out_the_hours_in_which_nothing_dries() -> None:
    rate = np.ones((41, 1))
    rate[4:13] = 0.0  # from 2 to 6 o'clock nothing dries
    got = seal.hours_until(rate, 0.5, 3.0)[:, 0]
    assert got[0] == 7.5  # two hours before it stops and as it starts again, one after 6.5
    assert np.all(np.diff(got[np.isfinite(got)]) >= -0.5 - 1e-9)  # a later coat is not dry sooner


def test_a_tenth_of_each_recoat_window_is_kept_in_hand() -> None:
    """A32: coat 2 was told at the last minute that is allowed."""
    wait, end = np.array([4.0, 4.0, 8.0, 2.0]), np.array([24.0, np.inf, 8.0, 1.0])
    kept = coats.kept_end_h(wait, end)
    np.testing.assert_allclose(kept, [22.0, np.inf, 8.0, 1.0])  # none where the window is empty


def test_a_chain_that_fits_only_at_the_end_of_its_window_is_not_planned() -> None:
    rows, same = 60, np.ones((60, 1), dtype=np.float64)
    hand = np.zeros(rows, dtype=np.bool_)
    hand[[0, 47]] = True  # 23.5 h apart
    hours = coats.Hours(
        np.arange(rows, dtype=np.float64) * STEP_H,
        STEP_H,
        same > 0,
        60 * same,
        60 * same,
        4 * same,
        24 * same,
        hand,
        np.ones(1),
    )
    inside = np.ones_like(hours.begin)
    assert coats.chains(hours, 2, 1.0, 1.0, 0.9, inside).whole[0]
    assert not coats.chains(coats.in_hand(hours), 2, 1.0, 1.0, 0.9, inside).whole[0]


@pytest.mark.parametrize(
    ("chance", "code"),
    [
        (0.97, "coats_not_sure_in_hand"),
        (0.9, "coats_not_sure_in_hand"),
        (0.89, "coats_not_sure_enough"),
    ],
)
def test_no_coat_of_a_greater_chance_is_told_that_no_plan_is_as_sure(
    chance: float, code: str
) -> None:
    """No plan is 90 % sure, the chance is 97 %: told of a coat that only lacked its reserve."""
    assert coat_reasons.not_sure(0.9, chance).code == code
