"""What more water does to a mix.

Source     CC_SLUMP; BAZANT_BAWEJA_2000; ASTM_C494.
Page says  a gallon to the cubic yard: an inch of slump, 150 to 200 psi less, shrinkage up a tenth;
           a water reducer saves 5 to 10 %, one of high range 12 % at least.
Status     page for the gallon, second-hand for the admixtures, from memory for the shrinkage.
Tolerance  150 to 200 psi as printed, of concrete of 28 MPa; slump 1 mm; shrinkage between none and
           the tenth of the page, which is a rule of thumb and rounds up.
"""

import pytest

from models.concrete.mixture import LabelStrength, Mixture
from models.planning.wetter import wetter

MIX = Mixture(
    "general-purpose", (LabelStrength(672.0, 28.0),), cement_kg_m3=330.0, water_cement=0.50
)
YARD_L, GALLON_L, PSI_MPA = 764.554857984, 3.785411784, 0.00689475729


def test_a_gallon_to_the_yard_costs_what_the_page_says() -> None:
    found = wetter(MIX, GALLON_L, YARD_L)
    assert 150.0 <= found.lost_MPa / PSI_MPA <= 200.0
    assert found.slump_mm == pytest.approx(25.4, abs=1.0)
    assert 1.02 < found.shrinkage_ratio < 1.10


def test_more_water_is_never_sooner_and_never_stronger() -> None:
    few, many = (wetter(MIX, litres, 100.0) for litres in (1.0, 3.0))
    assert 0 < few.strip_later_h < many.strip_later_h
    assert 0 < few.set_later_h < many.set_later_h
    assert few.after_MPa > many.after_MPa
    assert few.shrinkage_ratio < many.shrinkage_ratio


@pytest.mark.parametrize(
    ("share", "code"),
    [(0.04, "instead_plasticiser"), (0.10, "instead_high_range"), (0.14, "instead_other_mix")],
)
def test_what_loosens_it_without_water_is_one_that_surely_saves_as_much(
    share: float, code: str
) -> None:
    """Of all the water it would have then: a reducer saves that share of it."""
    water_kg = 165.0 * share / (1 - share)
    assert wetter(MIX, water_kg, 1000.0).instead.code == code
