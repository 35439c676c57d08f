"""Cold-weather temperatures by section, and how fast a section may cool.

Source     ACI_306R table 5.1 as repeated in Masonry and Concrete (2004) fig. 3-37; ACI 306.1-90.
Page says  under 300 mm: placed and kept at 55 F, mixed at 60 / 65 / 70 F for air above 30 F / 0 to
           30 F / below 0 F, drop of 50 F in 24 h; 300 to 900 mm: 50 F and 40 F; protection may come
           off once the surface is within 20 F of the air.
Status     page for the two thin columns, from memory for the thick ones and the rounding to C.
Tolerance  0.5 K, the rounding of the metric edition; differences in F are converted by 5/9 alone.
"""

import pytest

from models.facts import protection
from models.steps import place, protect
from tests.published.register import aci_306r


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) * 5 / 9


@pytest.mark.parametrize(("section", "fahrenheit"), aci_306r.AS_PLACED_F.items())
def test_temperature_as_placed_and_kept(section: float, fahrenheit: float) -> None:
    assert place.as_placed_C(section) == pytest.approx(celsius(fahrenheit), abs=0.5)


@pytest.mark.parametrize(("state", "fahrenheit"), aci_306r.AS_MIXED_F.items())
def test_temperature_as_mixed(state: tuple[float, float], fahrenheit: float) -> None:
    assert place.as_mixed_C(*state) == pytest.approx(celsius(fahrenheit), abs=0.5)


@pytest.mark.parametrize(("section", "drop_F"), aci_306r.DROP_F.items())
def test_largest_drop_in_24_hours(section: float, drop_F: float) -> None:
    assert protect.cooling_limit_K(section) == pytest.approx(drop_F * 5 / 9, abs=0.5)


def test_protection_comes_off_within_20_fahrenheit_of_the_air() -> None:
    assert pytest.approx(20 * 5 / 9, abs=0.5) == protection.OFF_WITHIN_K


def test_strength_before_the_first_freeze_is_500_psi() -> None:
    assert pytest.approx(500 * 0.00689476, abs=0.06) == protection.FROST_MPA
