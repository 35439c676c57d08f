"""The panels of a piece's mould that the fresh mix presses, and what floats in it."""

import math
from dataclasses import dataclass, replace

from models.errors import InputError
from models.piece.shape import Opening, Shape
from models.units import number_within

IN_CORE = ("core_side", "core_end")
PARTS = ("side", "end", *IN_CORE)
HOLLOWED = ("box", "basin")
ROUND = ("round-panel",)
STANDS_ON_SIDE = ("l-shape", "u-shape", "steps")  # what fills their profile stands on the base
LEAST_EMPTY_L = 0.5  # of what is less nobody need hear


@dataclass(frozen=True)
class Panel:
    """A wall of the mould between its corners [mm].

    part : one of PARTS; those of a core are pressed inward; count : alike ones
    over_mm : how deep the mix stands over its top, as over a core that stands on the base
    """

    part: str
    count: int
    length_mm: float
    height_mm: float
    over_mm: float = 0.0

    @property
    def inward(self) -> bool:
        return self.part in IN_CORE

    @property
    def deep_mm(self) -> float:
        """Depth of the mix at its foot [mm]."""
        return self.height_mm + self.over_mm


@dataclass(frozen=True)
class Float:
    """What the mix would lift: its plan and how deep it stands in the mix [mm].

    part : core (hung over a floor of concrete) | core_standing | knock_out, both on the base;
        inner (all else of the form inside the outline, hung over concrete) | inner_standing
    """

    part: str
    length_mm: float
    width_mm: float
    depth_mm: float
    round: bool = False

    @property
    def volume_l(self) -> float:
        """Of the mix that it takes the place of [l]. Source: geometry."""
        share = math.pi / 4 if self.round else 1.0
        return share * self.length_mm * self.width_mm * self.depth_mm / 1e6


@dataclass(frozen=True)
class Pressed:
    """What of a mould is pressed [mm].

    depth_mm : of the mix; fresh_mm : of it, what is fresh at once; panels : flat ones, the longest
        first; radius_mm : of a round wall, which a strap holds, else None
    """

    depth_mm: float
    fresh_mm: float
    panels: tuple[Panel, ...]
    floats: tuple[Float, ...]
    radius_mm: float | None = None


def pressed(shape: Shape, fresh_mm: float | None = None) -> Pressed:
    """The panels round a piece as it is cast, and those of its core.

    Walls of a step or a leg inside the outline are as deep and shorter than those of the outline,
    so that they hold where those do.

    fresh_mm : of its depth that is fresh at once, since lifts below have set; None: all of it

    Raises InputError where more is fresh than the piece is deep, or its depth is not told.
    Source: geometry.
    """
    if not shape.depth_known:
        raise InputError(
            "height_mm",
            shape.height_mm,
            "how deep its mould is filled is not known without",
            "10 to 3000 mm",
        )
    long, wide, depth = shape.laid_mm
    if fresh_mm is not None:
        number_within("fresh_mm", fresh_mm, 1.0, 3000.0, "mm")
        if fresh_mm > depth:
            wrong = f"deeper than its mould, {depth:g} mm"
            raise InputError("fresh_mm", fresh_mm, wrong, f"1 to {depth:g} mm")
    fresh = depth if fresh_mm is None else fresh_mm
    floats = tuple(_knock_out(shape, hole, depth) for hole in shape.openings)
    if shape.kind in ROUND:
        floats += _inner(shape, floats)
        return Pressed(depth, fresh, (), floats, long / 2)
    panels = [Panel("side", 2, long, depth), Panel("end", 2, wide, depth)]
    core = _core(shape, long, wide, depth)
    if core is not None:
        over = 0.0 if core.part == "core" else depth - core.depth_mm
        panels += [
            Panel("core_side", 2, core.length_mm, core.depth_mm, over),
            Panel("core_end", 2, core.width_mm, core.depth_mm, over),
        ]
        floats = (*floats, core)
    floats += _inner(shape, floats)
    return Pressed(depth, fresh, tuple(panels), floats)


def _knock_out(shape: Shape, hole: Opening, depth_mm: float) -> Float:
    if hole.wall is not None:
        return Float("knock_out", hole.length_mm, shape.measured("wall_mm"), hole.width_mm)
    through = shape.thickness_mm or depth_mm
    if shape.kind == "box":  # through its floor
        through = _floor(shape)
    return Float("knock_out", hole.length_mm, hole.width_mm, through, hole.round)


def _floor(shape: Shape) -> float:
    return shape.measured("wall_mm" if shape.floor_mm is None else "floor_mm")


def _core(shape: Shape, long: float, wide: float, depth: float) -> Float | None:
    """What fills the hollow of a box or the bowl of a basin while it is cast."""
    hung = shape.cast_as == "face-up"
    if shape.kind == "slab-with-basin":
        sides = (shape.measured("bowl_length_mm"), shape.measured("bowl_width_mm"))
        deep = shape.measured("bowl_depth_mm")
        return Float("core" if hung else "core_standing", max(sides), min(sides), deep)
    if shape.kind not in HOLLOWED:
        return None
    wall, floor = shape.measured("wall_mm"), _floor(shape)
    if shape.cast_as == "on-side":
        return Float("core_standing", long - 2 * wall, wide - floor, depth - 2 * wall)
    part = "core" if hung and floor > 0 else "core_standing"
    return Float(part, long - 2 * wall, wide - 2 * wall, depth - floor)


def _inner(shape: Shape, floats: tuple[Float, ...]) -> tuple[Float, ...]:
    """What fills all else that is empty inside the outline, beneath a drop edge, between ribs or
    legs, over steps; as one, so that no part of it is left out, and no deeper than flat, so that
    it lies wholly in what is fresh. Source: geometry.
    """
    whole = Float("inner", *shape.laid_mm, shape.kind in ROUND)
    empty_l = whole.volume_l - shape.volume_l - sum(one.volume_l for one in floats)
    if empty_l < LEAST_EMPTY_L:
        return ()
    flat = replace(whole, depth_mm=whole.depth_mm * empty_l / whole.volume_l)
    if not _stands(shape):
        return (flat,)
    if shape.kind in HOLLOWED:  # beside it, under walls that lean out: the mix presses it down
        return ()
    return (replace(flat, part="inner_standing"),)


def _stands(shape: Shape) -> bool:
    """Whether what fills it stands on the base; of what is told by hand nobody knows."""
    if shape.kind == "by-hand":
        return False
    if shape.cast_as == "on-side":
        return shape.kind in STANDS_ON_SIDE
    return shape.cast_as == ("face-down" if shape.kind == "steps" else "face-up")
