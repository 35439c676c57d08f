"""Starts of the frost season asked on forecasts with measured errors, judged from outside.

Twelve fixed ones; tests/bench/frost_judge.py prints the figures of hundreds. What is judged by,
and that it is nothing of the program, stands in tests/support/frost_pours.py.
"""

import pytest

from tests.support.frost_pours import Verdict, Way, judged, starts

STARTS = 12
SEED = 3


@pytest.fixture(scope="module")
def verdicts() -> list[Verdict]:
    return [judged(pour) for pour in starts(STARTS, SEED)]


def test_some_were_cleared_and_the_judge_sees_frost_where_nothing_is_done(
    verdicts: list[Verdict],
) -> None:
    assert sum(one.chosen is not None for one in verdicts) >= 3
    bare = [one.pour.poured(Way("", None)) for one in verdicts]
    assert sum(one.froze() for one in bare) >= 3


def test_at_most_one_of_the_cleared_pours_froze_here_or_in_a_colder_yard(
    verdicts: list[Verdict],
) -> None:
    assert sum(one.came.froze() for one in verdicts if one.came is not None) <= 1
    assert sum(one.colder.froze() for one in verdicts if one.colder is not None) <= 1


def test_of_the_safe_starts_more_than_a_third_were_cleared(verdicts: list[Verdict]) -> None:
    safe = [one for one in verdicts if one.safe]
    assert len(safe) >= 4
    assert 3 * sum(one.chosen is not None for one in safe) > len(safe)
