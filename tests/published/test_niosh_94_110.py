"""What one person lifts with little risk, by the revised lifting equation.

Source     NIOSH_94_110.
Page says  23 kg; 25/H, 1 - 0.003 |V - 75|, 0.82 + 4.5/D with H, V, D in cm; the same as 51 lb,
           10/H, 1 - 0.0075 |V - 30|, 0.82 + 1.8/D in inches.
Status     page.
Tolerance  3 % between both systems, which round 51 lb, 10 in and the constants; else 0.1 %.
"""

import pytest

from models.facts.handling import FARTHEST_CM, LIFT_KG, NIOSH_KG
from models.piece.handling import recommended_kg

POUND_KG, INCH_CM = 0.45359237, 2.54


def in_pounds(out: float, up: float, raised: float) -> float:
    """The printed form in inches and pounds."""
    return 51 * 10 / out * (1 - 0.0075 * abs(up - 30)) * (0.82 + 1.8 / raised)


@pytest.mark.parametrize(
    ("out", "up", "raised"), [(10.0, 30.0, 10.0), (15.0, 20.0, 20.0), (23.0, 15.0, 48.0)]
)
def test_both_printed_forms_give_the_same_lift(out: float, up: float, raised: float) -> None:
    ours = recommended_kg(out * INCH_CM, up * INCH_CM, raised * INCH_CM)
    assert ours == pytest.approx(in_pounds(out, up, raised) * POUND_KG, rel=0.03)


def test_each_multiplier_as_printed() -> None:
    assert recommended_kg(25.0) == pytest.approx(NIOSH_KG)
    assert recommended_kg(50.0) == pytest.approx(NIOSH_KG / 2)
    assert recommended_kg(25.0, 175.0) == pytest.approx(NIOSH_KG * 0.7)
    assert recommended_kg(25.0, 75.0, 100.0) == pytest.approx(NIOSH_KG * (0.82 + 0.045))
    assert recommended_kg(FARTHEST_CM + 0.1) == 0.0


def test_nobody_is_sent_to_lift_more_than_the_filter_allows() -> None:
    assert recommended_kg(25.0) <= LIFT_KG
