"""Where the openings of a flat part lie."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from models.piece.measures import Measures, Opening
from models.piece.solids import End

RIM_MM = 20.0  # least concrete beside an opening


@dataclass(frozen=True)
class Placed:
    """An opening and where it begins, from the left and the front of its part [mm]."""

    number: int
    told: Opening
    x_mm: float
    y_mm: float
    is_told: bool  # where it lies was told in both ways

    def end(self, at: float) -> End:
        """As a section at a height [mm]."""
        hole = self.told
        middle = self.x_mm + hole.length_mm / 2, self.y_mm + hole.width_mm / 2
        return End(at, *middle, hole.length_mm, hole.width_mm, hole.corner_mm or 0.0)


@dataclass(frozen=True)
class Plain:
    """A flat part with openings; its sides, and how thick it is [mm]."""

    part: str
    length_mm: float
    width_mm: float
    thickness_mm: float
    sides_mm: float = RIM_MM  # what must be left beside an opening: at least the wall that joins
    front_mm: float = RIM_MM
    back_mm: float = RIM_MM
    holes: tuple[Placed, ...] = ()


def wall_of(told: Measures, wall: str | None) -> Plain:
    """The part of a piece that an opening goes through. Source: geometry."""
    thick = told.measured("wall_mm" if told.kind == "box" else "thickness_mm")
    if told.kind != "box":
        return Plain("piece", told.length_mm, told.width_mm, thick)
    floor = thick if told.floor_mm is None else told.floor_mm
    if wall is None:
        taper = told.measured("taper_mm")
        rim = max(RIM_MM, thick)
        sides = told.length_mm - 2 * taper, told.width_mm - 2 * taper
        return Plain("floor", *sides, floor, rim, rim, rim)
    along = told.length_mm if wall in ("front", "back") else told.width_mm
    low, beside = max(RIM_MM, floor), max(RIM_MM, thick)
    return Plain(f"{wall} wall", along, told.measured("height_mm"), thick, beside, low)


def laid_out(plain: Plain, holes: Sequence[tuple[int, Opening]]) -> Plain:
    """The part with its openings: where each was told, else spread along it.

    Those without a place share the length evenly, so that they are seen and do not overlap.

    Source: geometry.
    """
    upright = plain.width_mm > plain.length_mm  # a long edge runs from front to back
    spread = [hole for _, hole in holes if _left(hole, upright) is None]
    gap = (plain.length_mm - sum(hole.length_mm for hole in spread)) / (len(spread) + 1)
    x = 0.0
    placed = []
    for number, hole in holes:
        left, front = _left(hole, upright), hole.front_mm
        if left is None:
            x += gap
            left = x if gap > 0 else (plain.length_mm - hole.length_mm) / 2
            x += hole.length_mm
        if front is None and hole.edge_mm is not None and not upright:
            front = hole.edge_mm
        if front is None:
            room = plain.width_mm - plain.front_mm - plain.back_mm - hole.width_mm
            front = plain.front_mm + room / 2
        is_told = hole.left_mm is not None and hole.front_mm is not None
        placed.append(Placed(number, hole, left, front, is_told))
    return replace(plain, holes=tuple(placed))


def _left(hole: Opening, upright: bool) -> float | None:
    if hole.left_mm is None and upright:
        return hole.edge_mm
    return hole.left_mm


def rib_rows(told: Measures) -> list[tuple[float, float]]:
    """Where the ribs run, from the front [mm]: the outer ones along the edges, one in the middle.

    Source: geometry.
    """
    count, each = int(told.measured("ribs")), told.measured("rib_mm")
    if count == 1:
        first = (told.width_mm - each) / 2
        return [(first, first + each)]
    pitch = (told.width_mm - each) / (count - 1)
    return [(k * pitch, k * pitch + each) for k in range(count)]


def bowl_corner(told: Measures) -> tuple[float, float]:
    """Left and front of a bowl's mouth in its slab [mm]; in the middle unless told.

    Source: geometry.
    """
    left = (told.length_mm - told.measured("bowl_length_mm")) / 2
    front = (told.width_mm - told.measured("bowl_width_mm")) / 2
    return (
        left if told.bowl_left_mm is None else told.bowl_left_mm,
        front if told.bowl_front_mm is None else told.bowl_front_mm,
    )
