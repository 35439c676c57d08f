"""A cubic yard by absolute volumes.

Source     NAVY_CONCRETE, step 6 and 7 of its example.
Page says  610 lb of cement (3.15) 3.10 ft3, 305 lb of water 4.89, 1735 lb of stone (2.60)
           10.69, 5 % of air 1.35, together 20.03 of 27 ft3; sand of 2.65 for the rest: 1152 lb.
Status     page.
Tolerance  0.01 ft3, the digits printed; of the whole 0.1 %, since water is 62.4 lb/ft3 there and
           62.43 here.
"""

import pytest

from models.concrete.recipe import Part, batch, cement_kg_m3, water_cement, yield_l

LB, FT3_L, AIR = 0.45359237, 28.316846592, 0.05
CEMENT, WATER = Part("cement", 610 * LB), Part("water", 305 * LB)
COARSE = Part("aggregate", 1735 * LB, density_kg_m3=2600.0)
SAND = Part("sand", 1152 * LB, density_kg_m3=2650.0)
YARD = (CEMENT, COARSE, SAND, WATER)


@pytest.mark.parametrize(("part", "ft3"), [(CEMENT, 3.10), (WATER, 4.89), (COARSE, 10.69)])
def test_volume_of_a_part_without_its_voids(part: Part, ft3: float) -> None:
    assert part.litres / FT3_L == pytest.approx(ft3, abs=0.01)


def test_the_parts_and_the_air_make_a_cubic_yard() -> None:
    assert yield_l(YARD, AIR) / FT3_L == pytest.approx(27.0, rel=1e-3)
    assert yield_l(YARD, 0.0) / FT3_L == pytest.approx(27.0 - 1.35, rel=1e-3)


def test_ratio_and_cement_follow_from_the_recipe() -> None:
    assert water_cement(YARD) == pytest.approx(0.50)
    at_two_percent = 610 * LB / (yield_l(YARD) / 1e3)
    assert cement_kg_m3(YARD) == pytest.approx(at_two_percent)


def test_half_a_yard_takes_half_of_each_part() -> None:
    made = batch(YARD, yield_l(YARD) / 2)
    assert [one.kind for one in made] == ["water", "aggregate", "sand", "cement"]
    assert [round(one.kg / LB, 6) for one in made] == [152.5, 867.5, 576.0, 305.0]
