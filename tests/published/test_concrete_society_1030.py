"""When the next layer leaves a cold joint: from the initial set of the layer below on.

Source     CONCRETE_SOCIETY_1030, with BS 8500-1 A.9.1 and BS 8500-2.
Page says  a cold joint where the lower layer has reached its initial set, by warmth, cement and
           admixture; 30 min between layers on highways; 2 h from loading (1 h without agitating) do
           in usual warmth.
Status     page.
Tolerance  none: within those times no warning from 5 to 25 degC, the 30 min even at 35 degC; after
           twice the class's own initial set there is one.
"""

import pytest

from models.steps.opening import level
from tests.support.two_batches import warned_of


@pytest.mark.parametrize(("gap_h", "air_C"), [(0.5, 35.0), (1.0, 25.0), (2.0, 20.0), (2.0, 5.0)])
def test_within_the_hours_of_the_standards_nothing_is_said(gap_h: float, air_C: float) -> None:
    assert warned_of(gap_h, air_C) == []


@pytest.mark.parametrize(
    ("mix", "gap_h"), [("general-purpose", 9.0), ("high-early", 6.4), ("rapid-setting", 0.8)]
)
def test_at_twice_the_initial_set_of_a_mix_it_is_a_joint(mix: str, gap_h: float) -> None:
    (joint,) = warned_of(gap_h, 20.0, mix)
    assert joint.code == "cold_joint"
    chance = joint.values["chance"]
    assert isinstance(chance, float)
    assert chance > level("piece", 0.9)
