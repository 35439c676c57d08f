"""What screws hold: in the edge of a board, in its face, and how many it takes."""

import math
from dataclasses import dataclass

from models.errors import InputError
from models.facts.boards import OVEN_DRY
from models.facts.formwork import (
    EDGE_OF_PLYWOOD,
    LEAST_SPACING_DIAMETERS,
    SCREW_COUNTED,
    SCREW_DIAMETER_MM,
    SCREW_LENGTH_MM,
    WITHDRAWN_EDGE,
    WITHDRAWN_FACE,
    WITHDRAWN_WOOD,
)
from models.facts.materials import BOARDS
from models.units import number_within

PLIES = ("plywood", "film-faced plywood")
HOLD = ("melamine", "mdf", *PLIES)  # boards whose edge takes a screw


@dataclass(frozen=True)
class Screw:
    """A screw through one board into the edge of the next [mm]."""

    diameter_mm: float = SCREW_DIAMETER_MM
    length_mm: float = SCREW_LENGTH_MM

    def __post_init__(self) -> None:
        number_within("screw_diameter_mm", self.diameter_mm, 2.0, 10.0, "mm")
        number_within("screw_length_mm", self.length_mm, 10.0, 200.0, "mm")

    def embedded_mm(self, board_mm: float) -> float:
        """How deep it reaches into the second board [mm].

        Raises InputError where it does not reach it, by its length and the board's thickness.
        """
        deep = self.length_mm - board_mm
        least = 3 * self.diameter_mm
        if deep < least:
            raise InputError(
                "screw_length_mm",
                self.length_mm,
                f"goes {max(deep, 0.0):g} mm into the next board behind one of {board_mm:g} mm",
                f"{board_mm + least:g} mm or more",
            )
        return deep


def particleboard_N(
    diameter_mm: float, embedded_mm: float, density_kg_m3: float, *, edge: bool = True
) -> float:
    """Ultimate withdrawal of a screw from particleboard [N]: K D^0.5 (L - D / 3)^1.25 G^2.

    diameter_mm, embedded_mm : [mm], above 0; density_kg_m3 : as bought [kg/m3]
    Source: WOOD_HANDBOOK.

    >>> round(particleboard_N(4.0, 30.0, 700.0 / 0.93))
    2067
    """
    G = density_kg_m3 * OVEN_DRY / 1e3
    K = WITHDRAWN_EDGE if edge else WITHDRAWN_FACE
    return float(K * diameter_mm**0.5 * (embedded_mm - diameter_mm / 3) ** 1.25 * G**2)


def wood_N(diameter_mm: float, embedded_mm: float, density_kg_m3: float) -> float:
    """Ultimate withdrawal of a screw from solid wood across its grain [N]: 108.25 G^2 D L.

    diameter_mm, embedded_mm : [mm]; density_kg_m3 : as bought [kg/m3]
    Source: WOOD_HANDBOOK.
    """
    return WITHDRAWN_WOOD * (density_kg_m3 * OVEN_DRY / 1e3) ** 2 * diameter_mm * embedded_mm


def counted_N(material: str, thickness_mm: float, screw: Screw) -> float | None:
    """What a screw through one board into the edge of another may be counted on to hold [N].

    None where the edge takes no screw. It is of what pulls it out; across it, it holds more.

    thickness_mm : of the board that it goes through [mm]
    Source: WOOD_HANDBOOK, WOOD_SCREWS_ALLOWED; OWN_JUDGEMENT for the edge of plywood.
    """
    if material not in HOLD:
        return None
    deep, density = screw.embedded_mm(thickness_mm), BOARDS[material].density_kg_m3
    if material in PLIES:
        return SCREW_COUNTED * EDGE_OF_PLYWOOD * wood_N(screw.diameter_mm, deep, density)
    return SCREW_COUNTED * particleboard_N(screw.diameter_mm, deep, density)


def spacing_mm(held_N: float, line_N_mm: float) -> float:
    """Widest spacing at which screws hold a line of force [mm]. Source: statics.

    held_N : a screw [N]; line_N_mm : [N/mm], above 0
    """
    return held_N / line_N_mm


def least_spacing_mm(screw: Screw) -> float:
    """Nearer than this screws split the edge [mm]. Source: COMMON_PRACTICE."""
    return LEAST_SPACING_DIAMETERS * screw.diameter_mm


def needed(held_N: float, force_N: float) -> int:
    """Screws for a force, two at the least. Source: statics.

    held_N, force_N : [N]
    """
    return max(2, math.ceil(force_N / held_N - 1e-9))
