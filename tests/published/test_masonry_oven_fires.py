"""First fires: how hot and how long, one a day, each hotter than the last.

Source     EN_1992_1_2 4.5.1 and DTU_DS_411 for the moisture; COMMON_PRACTICE of masonry ovens.
Page says  Spalling is unlikely under 3 % of moisture by mass, its risk limited between 3 and 4 %;
           ovens take five to seven daily fires, 50 degC hotter each day, from 60 to 250 degC.
Status     common practice.
Tolerance  exact for the temperatures but the first step, 40 K instead of 50; the rules of moisture
           exact.
"""

import numpy as np
import pytest

from models.facts.after import FIRE_AGE_D, FIRE_APART_H, FIRE_STAGES
from models.facts.moisture import SPALLING_MOST_PCT, SPALLING_PCT
from tests.support.fires import fire


def test_five_to_seven_fires_go_up_by_fifty_degrees_a_day() -> None:
    hottest = [most_C for _, most_C in FIRE_STAGES]
    assert 5 <= len(hottest) <= 7
    assert (hottest[0], hottest[-1]) == (60.0, 250.0)
    steps = [b - a for a, b in zip(hottest, hottest[1:], strict=False)]
    assert steps == pytest.approx([40.0, 50.0, 50.0, 50.0])
    assert FIRE_APART_H == 24.0


def test_no_fire_is_lit_on_moisture_that_may_spall() -> None:
    """The first fire and each later one, of a hearth that is six days old and one that has dried:
    wherever one may be lit it is at most 4 % moist, and 28 days old."""
    assert (SPALLING_PCT, SPALLING_MOST_PCT) == (3.0, 4.0)
    assert FIRE_AGE_D >= 28.0
    lit = 0
    for now_d, burned_d in ((6.0, ()), (6.0, (5.0,)), (60.0, (58.0, 59.0))):
        step = ("first-heating", "fire-2", "fire-3")[len(burned_d)]
        opening, _, simulation = fire(step, now_d=now_d, burned_d=burned_d)
        assert simulation.drying is not None
        hour, moist = simulation.trajectory.hour, simulation.drying.dried.by_mass_pct
        for member, opens_h in enumerate(opening.opens_h):
            if np.isfinite(opens_h):
                row = int(np.searchsorted(hour, opens_h))
                assert moist[row, member] <= 4.0
                assert opens_h >= 28 * 24
                lit += 1
    assert lit > 0
