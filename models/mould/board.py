"""How stiff and strong the board of a mould is: members, since boards differ."""

from dataclasses import dataclass

import numpy as np

from models.draws import Draws
from models.facts.boards import (
    BENDING,
    BOARD_POISSON,
    CREEP_POWER,
    FOR_GOOD_H,
    THICKNESS_SD_MM,
    Board,
)
from models.facts.formwork import FRESH_H
from models.units import Array

MEMBERS = 64
WEAKEST = 1.645  # standard deviations from the mean to what 19 of 20 have


def of(material: str) -> Board | None:
    """What is known of a board; none of ground, which is no wall."""
    return BENDING.get(material)


@dataclass(frozen=True)
class Members:
    """Members of a board: stiffness [N mm2 a mm], strength [MPa], of its thickness [mm]."""

    D_N_mm: Array
    strength_MPa: Array
    thickness_mm: Array


def members(material: str, thickness_mm: float) -> Members:
    """The board as it may be, for the hours in which the mix presses it.

    Scatter of boards and of their thickness, between dry and wet, and with the creep of those
    hours: the creep for good times (t / ten years) to a power that is drawn.

    thickness_mm : [mm], above 0
    Source: EN_312, EN_1995_1_1; OWN_JUDGEMENT for scatter, wet and the power.
    """
    board, draws = BENDING[material], Draws(MEMBERS)

    def scattered(name: str, cv: float) -> Array:
        sd = np.sqrt(np.log(1 + cv**2))
        drawn: Array = np.exp(sd * draws.normal(f"mould {name}") - sd**2 / 2)
        return drawn

    stiff = board.E_MPa * scattered("stiffness", board.E_cv)
    stiff = stiff * (board.wet + (1 - board.wet) * draws.even("mould wet"))
    low, high = CREEP_POWER
    power = low + (high - low) * draws.even("mould creep")
    fresh_h = FRESH_H[0] + (FRESH_H[1] - FRESH_H[0]) * draws.even("mould hours")
    stiff = stiff / (1 + board.creep * (fresh_h / FOR_GOOD_H) ** power)
    sd_mm = min(THICKNESS_SD_MM, thickness_mm / 50)
    thick = thickness_mm + sd_mm * draws.normal("mould thickness")
    sd = np.sqrt(np.log(1 + board.strength_cv**2))
    strength = board.strength_MPa * np.exp(sd * (WEAKEST + draws.normal("mould strength")))
    wet = board.wet + (1 - board.wet) * draws.even("mould wet")
    return Members(stiff * thick**3 / (12 * (1 - BOARD_POISSON**2)), strength * wet, thick)
