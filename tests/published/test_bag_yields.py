"""Bags for a volume, and what the fresh mix weighs on a mould.

Source     constructionwork.com bricks-and-blocks; mitchellelectricinc.com concrete; CIRIA_108.
Page says  80 lb bag 0.60 ft3, 40 lb 0.30 ft3; 45 / 60 / 90 bags of 80 / 60 / 40 lb to a cubic yard;
           pressure w h, at 2400 kg/m3: 1.18, 2.35, 7.06, 10.59, 14.12, 17.65 kPa.
Status     page.
Tolerance  exact in whole bags; 0.005 kPa, the digits printed.
"""

import pytest

from models.piece import quantities
from models.piece.shape import Shape
from tests.published.register import bag_labels, ciria_108

FT3 = bag_labels.FT3_L


@pytest.mark.parametrize(("yield_ft3", "bags"), bag_labels.TO_A_YARD.items())
def test_bags_to_a_cubic_yard(yield_ft3: float, bags: float) -> None:
    net, whole = quantities.bags(27 * FT3, yield_ft3 * FT3, waste_fraction=0.0)
    assert net == pytest.approx(bags, abs=1e-9)
    assert whole == bags


def test_bags_for_a_top_of_1800_by_900_by_50() -> None:
    top = Shape("panel", 1800.0, 900.0, 50.0)
    assert top.volume_l / FT3 == pytest.approx(2.860, abs=0.001)
    net, whole = quantities.bags(top.volume_l, 0.60 * FT3, waste_fraction=0.0)
    assert net == pytest.approx(4.77, abs=0.005)
    assert whole == 5
    assert quantities.bags(top.volume_l, 0.60 * FT3, waste_fraction=0.10)[1] == 6


def test_full_liquid_head_by_depth() -> None:
    got = quantities.fluid_pressure_kPa(list(ciria_108.HEAD_KPA))
    assert got == pytest.approx(list(ciria_108.HEAD_KPA.values()), abs=0.006)


def test_thirty_kilopascal_floor_is_a_metre_and_a_quarter_of_head() -> None:
    got = quantities.fluid_pressure_kPa(1.25, 24_000 / 9.80665)
    assert float(got) == pytest.approx(30.0, abs=0.01)


def test_mass_of_a_square_metre_by_thickness() -> None:
    for thickness, mass in ((35.0, 84.0), (40.0, 96.0), (50.0, 120.0), (60.0, 144.0)):
        plate = Shape("panel", 1000.0, 1000.0, thickness)
        assert quantities.mass_kg(plate.volume_l, 2400.0) == pytest.approx(mass, abs=1e-9)


def test_a_core_is_held_down_by_the_mass_it_displaces() -> None:
    assert quantities.mass_kg(12.0, 2400.0) == pytest.approx(28.8, abs=1e-9)
