"""After acid a face is rinsed to the pH of the water, and dry again before anything goes on it.

Source     UFC_3_190_06, 6.7.2.1 (acid etching of concrete).
Page says  The rinsed face within one pH unit of the fresh rinse water; dry before it is coated.
Status     page.
Tolerance  exact for the unit; the wait is never under dwell and the dry hours of the next product.
"""

import pytest

from models.coating.film import SealerSystem
from models.coating.finish import products
from models.facts.finishes import RINSE_PH, RINSED
from models.facts.moisture import AFTER_RAIN_USUAL_H
from models.facts.sealers import CHEMISTRIES
from models.steps import dry


def test_the_face_is_rinsed_to_within_one_unit() -> None:
    assert RINSE_PH == 1.0


@pytest.mark.parametrize("over", sorted(CHEMISTRIES))
def test_only_an_acid_is_rinsed_and_what_follows_waits_a_dry_day_at_least(over: str) -> None:
    acid, next_one = products([(one, SealerSystem(one).resolved()) for one in ("acid-stain", over)])
    assert acid.rinsed
    assert next_one.rinsed is (over in RINSED)
    assert dry.wait_after_wet_h(over) >= AFTER_RAIN_USUAL_H == 24.0
