"""How alkaline the water is that stands in a fresh planter, and what emptying it brings.

Source     NBS_1956_LIME, calcium hydroxide as a highly alkaline pH standard.
Page says  Saturated at 25 C it is 0.0203 M and has pH 12.45; made half as strong it loses 0.28.
Status     page.
Tolerance  0.01 for what is printed; 0.15 for the same out of molarity and the ion product of water
           (13.995 at 25 C) with the activity of an ion by Davies, since ions pair.
"""

import math

import pytest

from models.facts.care import LIME_WATER_PH, PLANT_PH

MOLAR, HALVED, ION_PRODUCT = 0.0203, 0.28, 13.995


def reckoned(molar: float) -> float:
    """pH of lime water by its own ions alone."""
    strength = 3 * molar  # of a salt of one and two charges
    root = math.sqrt(strength)
    activity = 10 ** (-0.509 * (root / (1 + root) - 0.3 * strength))
    return ION_PRODUCT + math.log10(2 * molar * activity)


def test_fresh_concrete_makes_lime_water_of_the_standard() -> None:
    assert pytest.approx(12.45, abs=0.01) == LIME_WATER_PH
    assert reckoned(MOLAR) == pytest.approx(LIME_WATER_PH, abs=0.15)


def test_the_buffer_loses_by_dilution_what_is_printed() -> None:
    assert reckoned(MOLAR) - reckoned(MOLAR / 2) == pytest.approx(HALVED, abs=0.05)


def test_one_rinse_is_never_enough_for_roots() -> None:
    """A tenth of the water left in it still stands far over what plants bear."""
    assert reckoned(MOLAR / 10) > PLANT_PH + 3
