"""Water that lies on sand and aggregate is taken off the mixing water.

Source     ARMY_CONCRETE; YOON_MIX_EXAMPLE, step 8; KOSMATKA_2002.
Page says  ARMY: 1083 lb of sand with 6 % and 1768 lb of stone with 2 % of free water bring 64.98
           and 35.36 lb; of 38.6 gal 26.6 are added. YOON: 15.16 lb of sand 2.37 % over, 12.51 lb of
           aggregate 0.81 % under its saturated state: 15.52, 12.41 lb, water 3.58 instead of 3.85.
           KOSMATKA: dry 1674 lb at 2 % of which 0.5 % is absorbed, 1236 lb at 6 % of which 0.7 %:
           water 179.38 instead of 270 lb.
Status     page for ARMY and YOON, second-hand for KOSMATKA.
Tolerance  ARMY 0.1 gal and YOON 0.01 lb, the digits printed; KOSMATKA 0.01 lb.
"""

import pytest

from models.concrete.recipe import Part, Weighed, batch, yield_l
from models.errors import InputError

GALLON_LB = 8.33


def mixed(*parts: Part) -> dict[str, Weighed]:
    return {one.kind: one for one in batch(parts, yield_l(parts))}


def test_army_takes_twelve_gallons_off() -> None:
    sand, stone = (
        Part("sand", 1083.0, moisture_pct=6.0),
        Part("aggregate", 1768.0, moisture_pct=2.0),
    )
    assert [sand.free_kg, stone.free_kg] == pytest.approx([64.98, 35.36])
    made = mixed(Part("cement", 7.05 * 94), Part("water", 38.6 * GALLON_LB), sand, stone)
    assert made["water"].kg / GALLON_LB == pytest.approx(26.6, abs=0.1)


def test_yoon_weighs_the_sand_wet_and_the_stone_dry() -> None:
    sand = Part("sand", 15.16, moisture_pct=2.37)
    stone = Part("aggregate", 12.51, absorption_pct=0.81 / 0.9919, moisture_pct=0.0)
    made = mixed(Part("cement", 6.75), Part("water", 3.85), sand, stone)
    assert made["sand"].kg == pytest.approx(15.52, abs=0.01)
    assert made["aggregate"].kg == pytest.approx(12.41, abs=0.01)
    assert made["water"].kg == pytest.approx(3.58, abs=0.015)  # 3.592: it cuts 0.359 and 0.101


def test_kosmatka_counts_what_is_over_the_absorption_of_the_dry_mass() -> None:
    stone = Part("aggregate", 1674.0 * 1.005, absorption_pct=0.5, moisture_pct=2.0)
    sand = Part("sand", 1236.0 * 1.007, absorption_pct=0.7, moisture_pct=6.0)
    made = mixed(Part("cement", 500.0), Part("water", 270.0), stone, sand)
    assert made["water"].kg == pytest.approx(179.38, abs=0.01)
    assert made["aggregate"].kg == pytest.approx(1674.0 * 1.02)


def test_sand_that_brings_all_the_water_is_refused_by_both_figures() -> None:
    with pytest.raises(InputError) as refused:
        mixed(Part("cement", 100.0), Part("water", 5.0), Part("sand", 300.0, moisture_pct=5.0))
    assert "15.0 l" in refused.value.wrong
    assert "5.0 l" in refused.value.wrong
