"""How much pigment a mix bears.

Source     ASTM_C979 clause 1.4.
Page says  at most 10 mass % of the cement, all pigments together.
Status     page.
Tolerance  exact: a limit.
"""

import pytest

from models.concrete.recipe import Part, checked
from models.errors import InputError
from models.planning.amounts import Choices

MIX = (Part("cement", 20.0), Part("water", 9.0))


def test_a_tenth_of_the_cement_is_the_last_that_is_taken() -> None:
    assert checked((*MIX, Part("pigment", 1.2), Part("pigment", 0.8)))
    with pytest.raises(InputError) as refused:
        checked((*MIX, Part("pigment", 1.2), Part("pigment", 0.81)))
    assert "2.01 kg of pigment to 20 kg of cement" in refused.value.wrong
    assert "2 kg" in refused.value.allowed


def test_a_dose_by_the_share_has_the_same_end() -> None:
    assert Choices(pigment_pct=10.0)
    with pytest.raises(InputError):
        Choices(pigment_pct=10.1)
