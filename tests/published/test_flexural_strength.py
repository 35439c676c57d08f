"""What concrete bears in bending, by two codes, against what a turn is allowed.

Source     ACI_318 and EN_1992_1_1 with 3.1.8(1), EN_FLEXURAL.
Page says  7.5 sqrt(f'c psi); f_ctm,fl is the greater of f_ctm and (1.6 - h / 1000) f_ctm: a
           depth of 305.3 mm and 23.8 MPa give 30.81386 MPa. f_ctm 0.30 f_ck^(2/3), its 5 % fractile
           0.7 of it.
Status     library for 3.23, a page for 7.5; 0.30 and 0.7 from memory of table 3.1.
Tolerance  1e-6 for the printed example; of a turn none: its stress is under the fractile.
"""

import numpy as np
import pytest

from models.facts.handling import CRACKING_SAFETY, RUPTURE, TURN_FLOOR_MPA
from models.piece.handling import strength_needed_MPa

MPA_PER_PSI = 0.006894757


def in_bending(direct_MPa: float, depth_mm: float) -> float:
    """EN 1992-1-1 (3.23)."""
    return max(1.6 - depth_mm / 1000, 1.0) * direct_MPa


def test_the_depth_factor_gives_the_worked_value() -> None:
    assert in_bending(23.8, 305.3) == pytest.approx(30.81386, rel=1e-6)


def test_a_turn_asks_for_the_rupture_of_aci_over_its_safety() -> None:
    for psi in (1500.0, 3000.0, 5000.0):
        allowed = 5.0 * psi**0.5 * MPA_PER_PSI  # 7.5 over 1.5
        assert strength_needed_MPa(allowed) == pytest.approx(psi * MPA_PER_PSI, rel=0.01)
    assert pytest.approx(7.5 * MPA_PER_PSI**0.5, rel=0.005) == RUPTURE


@pytest.mark.parametrize("thick_mm", [15.0, 40.0, 60.0, 100.0])
def test_what_a_turn_allows_is_under_the_weakest_twentieth_of_en(thick_mm: float) -> None:
    """From the least strength on at which anything is turned."""
    for strength in np.linspace(TURN_FLOOR_MPA, 60.0, 26):
        allowed = RUPTURE * strength**0.5 / CRACKING_SAFETY
        fractile = 0.7 * in_bending(0.30 * strength ** (2 / 3), thick_mm)
        assert strength_needed_MPa(allowed) == pytest.approx(strength)
        assert allowed < fractile
