"""Stiffness, strength and creep of the boards of moulds.

Source     EN_312 for strength and thickness, EN_1995_1_1 table 3.2 for creep, POLYMERS_TABLE for
           polyethylene.
Page says  P2 of 15 to 19 mm: 11 N/mm2, thickness within 0.3 mm; creep: particleboard P4 2.25, MDF
           2.25, plywood 0.80, 1.00 where it is damp; polyethylene 700 MPa, 20 to 30 MPa.
Status     second-hand.
Tolerance  exact for strength, creep and polyethylene; the stiffness of particleboard lies between
           1600 (EN 312 P2) and 2250 MPa (ANSI A208.1 M-2).
"""

import numpy as np
import pytest

from models.facts.boards import BENDING, THICKNESS_SD_MM
from models.mould.board import members


def test_particleboard_of_furniture() -> None:
    board = BENDING["melamine"]
    assert board.strength_MPa == 11.0
    assert 1600.0 <= board.E_MPa <= 2250.0
    assert pytest.approx(0.3) == 2 * THICKNESS_SD_MM


def test_creep_is_that_of_the_table() -> None:
    assert BENDING["melamine"].creep == BENDING["mdf"].creep == 2.25
    assert (BENDING["film-faced plywood"].creep, BENDING["plywood"].creep) == (0.8, 1.0)


def test_polyethylene() -> None:
    assert BENDING["hdpe"].E_MPa == 700.0
    assert 20.0 <= BENDING["hdpe"].strength_MPa <= 30.0


def test_one_board_in_twenty_is_weaker_than_its_class() -> None:
    """A board that cannot get wet, so that its class alone is drawn."""
    found = members("steel", 3.0).strength_MPa
    assert (found < BENDING["steel"].strength_MPa).mean() == pytest.approx(0.05, abs=0.02)


@pytest.mark.parametrize("material", [key for key, one in BENDING.items() if one.sheet])
def test_members_scatter_round_a_stiffness_no_higher_than_the_mean(material: str) -> None:
    found = members(material, 18.0)
    whole = BENDING[material].E_MPa * 18.0**3 / (12 * (1 - 0.3**2))
    assert float(np.mean(found.D_N_mm)) <= 1.01 * whole
    assert float(np.ptp(found.D_N_mm)) > 0.0
