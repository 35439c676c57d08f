"""Stated hours against measured concrete: a sample of tests/bench/outside.py, by the same code.

One test, since each process of the suite would pour for itself.
"""

from itertools import product

from models.planning.honesty import LATE, inside, late
from tests.support.outside_pours import pours
from tests.support.outside_rows import STEPS, all_held

POURS, LABELLED = 21, ("28 days", "early and 28")


def test_a_label_does_not_promise_too_early_nor_miss_more_than_half() -> None:
    rows = all_held(pours(POURS, 12), LABELLED)
    for known, step in product(LABELLED, STEPS):
        some = [row for row in rows if (row.known, row.step) == (known, step)]
        assert len(some) >= 18
        assert not late(some).outside(0.0, LATE), f"{step} with a label of {known} is late"
    assert not inside(rows).outside(0.5, 1.0)
