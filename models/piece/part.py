"""What a piece is put together of, and the openings of its flat parts."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from models.piece.measures import Measures
from models.piece.placed import Placed, laid_out, wall_of
from models.piece.solids import Solid, round_mm


@dataclass(frozen=True)
class Plate:
    """A flat part that bends when the piece is turned [mm]; openings as placed in it."""

    key: str
    length_mm: float
    width_mm: float
    thickness_mm: float
    openings: tuple[Placed, ...] = ()


@dataclass(frozen=True)
class Edge:
    """A free edge: how long, and how thick the concrete is there [mm]."""

    key: str
    length_mm: float
    thickness_mm: float


@dataclass(frozen=True)
class Parts:
    """What a piece is put together of; faces: key, where it looks in use, area [mm2]."""

    solids: tuple[Solid, ...]
    faces: tuple[tuple[str, str, float], ...]
    plates: tuple[Plate, ...]
    edges: tuple[Edge, ...]
    thin_mm: float
    thick_mm: float


def holes_in(told: Measures, wall: str | None = None) -> tuple[Placed, ...]:
    """The openings of one wall, else of the panel or floor, as placed. Source: geometry."""
    mine = [(k, hole) for k, hole in enumerate(told.openings) if hole.wall == wall]
    return laid_out(wall_of(told, wall), mine).holes if mine else ()


def through(holes: Sequence[Placed], low: float, high: float) -> list[Solid]:
    """Openings as solids to take out, from one height to another [mm]. Source: geometry."""
    return [Solid(one.end(low), one.end(high), one.told.round, hollow=True) for one in holes]


def areas_mm2(holes: Sequence[Placed]) -> float:
    """Of openings together [mm2]. Source: geometry."""
    return sum(one.area_mm2(one.low) for one in through(holes, 0.0, 1.0))


def ways_round_mm(holes: Sequence[Placed]) -> float:
    """Lengths of the edges of openings together [mm]. Source: geometry."""
    return sum(
        round_mm(h.length_mm, h.width_mm)
        if h.round
        else 2 * (h.length_mm + h.width_mm) - (8 - 2 * math.pi) * (h.corner_mm or 0.0)
        for h in (one.told for one in holes)
    )
