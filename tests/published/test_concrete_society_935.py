"""Warming a mix with its water.

Source     CONCRETE_SOCIETY_935, fingertips 935, heating concrete using hot water.
Page says  the mixing formula with 0.22 for the dry parts; 50 K more in the water give roughly 10 to
           15 K in the concrete; water at most 60 to 80 C, and never straight onto the cement.
Status     page.
Tolerance  the printed range, 10 to 15 K.
"""

import pytest

from models.facts.fresh import CARRIED_H, LOST_PER_H
from models.facts.protection import WATER_MAX_C
from models.steps import place
from tests.published.register import concrete_society_935 as page


@pytest.mark.parametrize("words", page.MIXES)
def test_fifty_kelvin_in_the_water_give_ten_to_fifteen_in_the_mix(words: str) -> None:
    low, high = page.PRINTED_K
    assert low <= page.rise_K(*page.MIXES[words]) <= high


def test_the_water_asked_for_never_passes_sixty_degrees() -> None:
    assert WATER_MAX_C <= 60.0
    for air_C in (-20.0, -10.0, 0.0, 8.0):
        water, _ = place.warm_water(50.0, air_C, air_C)
        assert water <= WATER_MAX_C


def test_the_water_asked_for_and_the_rise_it_gives_agree() -> None:
    """Bags at 5 C, air at 5 C: from water as cold as the bags to the water asked for."""
    water, placed = place.warm_water(50.0, 5.0, 5.0)
    low, high = (rise / page.RISE_K * (water - 5.0) for rise in page.PRINTED_K)
    lost = LOST_PER_H * CARRIED_H * (16.0 - 5.0)
    assert low <= placed + lost - 5.0 <= high
    assert placed >= place.as_placed_C(50.0)
