"""Least curing days by surface temperature and strength development.

Source     DIN_1045_3 (page 10-7-3); EN_13670 through TKP 18 for the medium columns.
Page says  r 0.40 at 18 C: 2 d; 0.20 at 12 C: 7 d; 0.10 at 7 C: 15 d; 0.60 at 27 C: 1 d; medium:
           class 3 at 18 C 4 d, class 4 at 12 C 13 d, class 2 at 7 C 5 d; time under 5 C does not
           count.
Status     page for the German table; second-hand for the medium columns (one bridge).
Tolerance  exact.
"""

import math

import pytest

from models.facts.curing import EN_MEDIUM_DAYS
from models.steps import cure
from tests.published.register import din_1045_3, en_13670
from tests.published.register.din_1045_3 import din_days
from tests.published.register.en_13670 import medium_days


@pytest.mark.parametrize(("surface", "r", "days"), din_1045_3.CASES)
def test_days_of_the_german_table(surface: float, r: float, days: float) -> None:
    assert din_days(surface, r) == days


@pytest.mark.parametrize(("floor", "row"), din_1045_3.BY_R.items())
def test_every_row_of_the_german_table_at_its_edges(floor: float, row: tuple[float, ...]) -> None:
    assert tuple(din_days(floor, r) for r in (0.50, 0.30, 0.15, 0.149)) == row


@pytest.mark.parametrize(("curing_class", "surface", "days"), en_13670.CASES)
def test_days_at_medium_development(curing_class: int, surface: float, days: float) -> None:
    assert medium_days(surface, curing_class) == days


@pytest.mark.parametrize(("curing_class", "days"), en_13670.BY_CLASS.items())
def test_every_medium_row(curing_class: int, days: tuple[float, ...]) -> None:
    got = cure.curing_days(en_13670.FLOORS_C, EN_MEDIUM_DAYS[curing_class])
    assert tuple(got) == days


def test_no_day_under_5_degrees_counts() -> None:
    assert din_days(4.9, 0.40) == math.inf
    assert medium_days(4.9, 3) == math.inf
