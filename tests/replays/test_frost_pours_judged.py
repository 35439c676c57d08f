"""Starts of the frost season asked on forecasts with measured errors, judged from outside.

Twelve fixed ones; tests/bench/frost_judge.py prints the figures of hundreds. What is judged by,
and that it is nothing of the program, stands in tests/support/frost_pours.py. One test, since each
process of the suite would pour for itself.
"""

from tests.support.frost_pours import Way, judged, starts

STARTS = 12
SEED = 3


def test_cleared_pours_do_not_freeze_and_safe_ones_are_cleared() -> None:
    verdicts = [judged(pour) for pour in starts(STARTS, SEED)]
    assert sum(one.chosen is not None for one in verdicts) >= 3
    bare = [one.pour.poured(Way("", None)) for one in verdicts]
    assert sum(one.froze() for one in bare) >= 3, "the judge sees frost where nothing is done"
    assert sum(one.came.froze() for one in verdicts if one.came is not None) <= 1
    assert sum(one.colder.froze() for one in verdicts if one.colder is not None) <= 1
    safe = [one for one in verdicts if one.safe]
    assert len(safe) >= 4
    assert 3 * sum(one.chosen is not None for one in safe) > len(safe), "more than a third"
