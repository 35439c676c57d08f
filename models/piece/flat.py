"""A piece as the plates that bend when it is turned, and what an opening asks of one."""

import math
from dataclasses import dataclass

from models.facts.handling import EVENED_MM, OPENING_CORNER, RIM_CORNER
from models.piece.part import areas_mm2
from models.piece.placed import Placed, bowl_corner
from models.piece.shape import Opening, Plate, Shape

HANGING = ("rib", "floor", "wall")  # parts that another holds along their length


@dataclass(frozen=True)
class Flat:
    """A piece as a plate [mm]: net_* is the width left beside its openings over the whole, as it
    bends along its long side and across it, dimensionless; corner : stress at an opening."""

    thick_mm: float
    short_mm: float
    long_mm: float
    net_along: float
    net_across: float
    corner: float
    more: float = 0.0  # weight of all else over that of the plate, dimensionless


def corner_factor(half_mm: float, radius_mm: float | None = None) -> float:
    """Stress at an opening's corner over that of the net width, dimensionless.

    That of a round hole for a corner of a radius not told: cut square it has more, which concrete
    evens out. Told, it is that of an ellipse as long, 1 + 2 (1 + nu) / (3 + nu) sqrt(a / r) with
    a radius greater by twice the depth over which stress is evened; never more than untold.

    half_mm : [mm], half the opening across the bending; radius_mm : [mm] of the corner
    Source: PETERSON_HOLE, NEUBER_1958, OWN_JUDGEMENT; tests/published/test_plate_with_opening.py.
    """
    if radius_mm is None:
        return OPENING_CORNER
    blunt = radius_mm + 2 * EVENED_MM
    return min(OPENING_CORNER, 1 + (OPENING_CORNER - 1) * math.sqrt(half_mm / blunt))


def flats_of(shape: Shape) -> tuple[Flat, ...]:
    """The flat parts of a piece on which it may lie, each of which then bears all others: its
    panel, or its seat and its legs. shape : no box [mm]. Source: geometry."""
    return tuple(_flat(shape, one) for one in shape.plates if one.key not in HANGING)


def _flat(shape: Shape, plate: Plate) -> Flat:
    """One of them: its openings across the way it bends, and what it bears beside its own."""
    t, short, long = sorted((plate.thickness_mm, plate.width_mm, plate.length_mm))
    cut = (*plate.openings, *_mouth(shape, plate))
    holes = [one.told for one in cut]
    upright = plate.width_mm > plate.length_mm  # then the holes' lengths run along the short side
    out_of_short = [h.length_mm if upright else h.width_mm for h in holes]
    out_of_long = [h.width_mm if upright else h.length_mm for h in holes]
    along, across = 1 - sum(out_of_short) / short, 1 - sum(out_of_long) / long
    corner = max((_corner(one, plate) for one in cut), default=1.0)
    whole = t * short * long
    # a round panel is less than the plate that it is reckoned as, and so are openings left out
    own = shape.parts.solids[0].volume_mm3 if plate.key == "panel" else whole
    more = (shape.volume_l * 1e6 + areas_mm2(plate.openings) * t - own) / whole
    return Flat(t, short, long, along, across, corner, more if more > 1e-9 else 0.0)


def _mouth(shape: Shape, plate: Plate) -> tuple[Placed, ...]:
    """The mouth of a slab's bowl, which takes its width as an opening does: the shell that hangs
    round it stiffens it, but nothing is known of the strips before and beside it that would."""
    if plate.key != "panel" or shape.kind != "slab-with-basin":
        return ()
    mouth = Opening(shape.measured("bowl_length_mm"), shape.measured("bowl_width_mm"))
    return (Placed(0, mouth, *bowl_corner(shape), is_told=False),)


def _corner(hole: Placed, plate: Plate) -> float:
    """Stress at an opening: more where it lies near an edge, less of a round one well inside."""
    long, wide = hole.told.length_mm, hole.told.width_mm
    rims = (
        hole.x_mm,
        hole.y_mm,
        plate.length_mm - hole.x_mm - long,
        plate.width_mm - hole.y_mm - wide,
    )
    if min(rims) < min(long, wide) / 2:
        return RIM_CORNER
    half, other = max(long, wide) / 2, min(long, wide) / 2
    # an oval's sharp end; near an edge no radius eases it, since the rim bends with the piece
    radius = other**2 / half if hole.told.round else hole.told.corner_mm
    return corner_factor(half, None if min(rims) < max(long, wide) else radius)
