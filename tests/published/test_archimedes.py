"""What fresh mix lifts.

Source     Archimedes; precast.org/2013/09/buoy-oh-buoy retells it for concrete.
Page says  a body does not float while what holds it down is more than the weight of what it
           displaces.
Status     exact mathematics.
Tolerance  1e-9.
"""

import pytest

from models.facts.formwork import HELD_DOWN_FACTOR
from models.mould.panels import Float
from models.mould.uplift import of, uplift_kg


def test_a_litre_lifts_by_its_weight_of_mix() -> None:
    assert uplift_kg(1.0, 0.0, 2400.0) == pytest.approx(2.4, abs=1e-9)
    assert uplift_kg(198.0, 475.2, 2400.0) == pytest.approx(0.0, abs=1e-9)
    assert uplift_kg(198.0, 500.0, 2400.0) == 0.0


def test_a_core_of_which_a_lift_is_fresh_floats_with_that_lift_alone() -> None:
    core = Float("core", 600.0, 600.0, 550.0)
    whole, lift = (of(core, None, 2400.0, fresh) for fresh in (600.0, 110.0))
    assert whole.lifts_kg == pytest.approx(0.6 * 0.6 * 0.55 * 2400.0)
    assert lift.lifts_kg == pytest.approx(whole.lifts_kg / 5)
    assert whole.holds_kg == pytest.approx(HELD_DOWN_FACTOR * whole.lifts_kg)
