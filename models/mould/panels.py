"""The panels of a piece's mould that the fresh mix presses, and what floats in it."""

from dataclasses import dataclass

from models.errors import InputError
from models.piece.shape import Shape
from models.units import number_within

PARTS = ("side", "end", "core_side", "core_end")


@dataclass(frozen=True)
class Panel:
    """A wall of the mould between its corners, as high as the mix beside it [mm].

    part : one of PARTS; those of a core are pressed inward; count : alike ones
    foot_mm : how far its foot stands over the foot of the mix
    """

    part: str
    count: int
    length_mm: float
    height_mm: float

    @property
    def inward(self) -> bool:
        return self.part.startswith("core")


@dataclass(frozen=True)
class Float:
    """What the mix would lift: a core or a knock-out; its plan and how deep it stands in the mix.

    part : core | knock_out
    """

    part: str
    length_mm: float
    width_mm: float
    depth_mm: float

    @property
    def volume_l(self) -> float:
        """Of the mix that it takes the place of [l]. Source: geometry."""
        return self.length_mm * self.width_mm * self.depth_mm / 1e6


@dataclass(frozen=True)
class Pressed:
    """What of a mould is pressed. fresh_mm : depth of the mix that is fresh at once [mm]."""

    depth_mm: float
    fresh_mm: float
    panels: tuple[Panel, ...]
    floats: tuple[Float, ...]
    plan_mm: tuple[float, float]


def depth_mm(shape: Shape) -> float:
    """How high the mix stands in the mould of a piece, as it is cast [mm].

    A panel lies, a box stands with its opening up, a block as its height is told.
    """
    told = shape.thickness_mm if shape.kind == "panel" else shape.height_mm
    return shape.section_mm if told is None else told


def pressed(shape: Shape, fresh_mm: float | None = None) -> Pressed:
    """The panels of a piece's mould.

    fresh_mm : of its depth that is fresh at once, since lifts below have set; None: all of it

    Raises InputError where more is fresh than the piece is high. Source: geometry.
    """
    depth = depth_mm(shape)
    if fresh_mm is not None:
        number_within("fresh_mm", fresh_mm, 1.0, 3000.0, "mm")
        if fresh_mm > depth:
            wrong = f"deeper than its mould, {depth:g} mm"
            raise InputError("fresh_mm", fresh_mm, wrong, f"1 to {depth:g} mm")
    long, wide = max(shape.length_mm, shape.width_mm), min(shape.length_mm, shape.width_mm)
    panels = [Panel("side", 2, long, depth), Panel("end", 2, wide, depth)]
    floats = [Float("knock_out", h.length_mm, h.width_mm, depth) for h in shape.openings]
    if shape.kind == "box":
        assert shape.wall_mm is not None
        inside, across = long - 2 * shape.wall_mm, wide - 2 * shape.wall_mm
        deep = depth - shape.wall_mm
        panels += [Panel("core_side", 2, inside, deep), Panel("core_end", 2, across, deep)]
        floats.append(Float("core", inside, across, deep))
    fresh = depth if fresh_mm is None else fresh_mm
    return Pressed(depth, fresh, tuple(panels), tuple(floats), (long, wide))
