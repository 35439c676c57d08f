"""Stated hours against measured concrete: a sample of tests/bench/outside.py, by the same code."""

import pytest

from tests.support.outside_pours import pours
from tests.support.outside_rows import LATE, STEPS, Row, all_held, inside, late

POURS, LABELLED = 21, ("28 days", "early and 28")


@pytest.fixture(scope="module")
def rows() -> list[Row]:
    return all_held(pours(POURS, 12), LABELLED)


@pytest.mark.parametrize("step", STEPS)
@pytest.mark.parametrize("known", LABELLED)
def test_a_label_does_not_promise_too_early(rows: list[Row], known: str, step: str) -> None:
    some = [row for row in rows if (row.known, row.step) == (known, step)]
    assert len(some) >= 18
    assert not late(some).outside(0.0, LATE)


def test_no_more_than_half_of_what_came_lies_outside_its_band(rows: list[Row]) -> None:
    assert not inside(rows).outside(0.5, 1.0)
