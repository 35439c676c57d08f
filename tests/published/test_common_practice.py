"""What the trade takes for granted about ordinary and rapid mixes.

Source     COMMON_PRACTICE.
Page says  ordinary bagged mixes leave ample working time while rapid ones need it watched; some
           mixes cure in a few hours, most in days; a stripped piece stands with air around it for
           a few hours to a day before it is sanded; working time halves for each 20 F.
Status     common practice.
Tolerance  in words: ample is 2 h or more, watched is under 45 min; a few hours is under 6, days 1
           to 5.
"""

import numpy as np
import pytest

from models.concrete import belief, setting, strength
from models.concrete.mixture import Mixture
from models.facts.cements import CLASSES
from models.gates import sand
from service.published import common_practice

ORDINARY = [kind for kind in CLASSES if kind != "rapid-setting"]


def hours_to(kind: str, megapascal: float) -> float:
    mix = belief.draw(Mixture(kind), 512, 11)
    return float(
        np.median(
            strength.age_for_strength(
                megapascal / mix.batch, strength_28d_MPa=mix.strength_28d_MPa,
                rate_constant_h=mix.rate_constant_h, exponent=mix.exponent,
                dormant_h=mix.dormant_h,
            )
        )
    )  # fmt: skip


def test_ordinary_mixes_leave_ample_time_and_rapid_ones_do_not() -> None:
    for kind in ORDINARY:
        assert CLASSES[kind].initial_set_h >= 2.0
    assert CLASSES["rapid-setting"].initial_set_h < 0.75


def test_some_mixes_cure_in_hours_and_most_in_days() -> None:
    assert hours_to("rapid-setting", 10.0) < 6.0
    for kind in ORDINARY:
        assert 12.0 <= hours_to(kind, 10.0) <= 120.0


def test_sanding_waits_a_few_hours_to_a_day_after_stripping() -> None:
    assert 2.0 <= sand.AIR_BEFORE_SANDING_H <= 24.0


@pytest.mark.parametrize(("label_min", "label_F", "mix_F", "minutes"), common_practice.ROWS)
def test_working_time_in_heat(
    label_min: float, label_F: float, mix_F: float, minutes: float
) -> None:
    def celsius(f: float) -> float:
        return (f - 32) * 5 / 9

    got = setting.working_time_min(celsius(mix_F), label_min=label_min, label_C=celsius(label_F))
    assert float(got) == pytest.approx(minutes, rel=0.02)
