"""Every way in which a piece is turned, carried or hung, and what each asks of it.

A flat piece is looked at along its long side and across it; a box by the wall that lies and the
floor between its walls. Reinforcement counts for nothing: it carries after a crack, and green
concrete is to have none.
"""

import math
from dataclasses import dataclass

from models.facts.handling import (
    ADHESION_KN_M2,
    BOARDS_KG_M2,
    DYNAMIC_FACTOR,
    EVENED_MM,
    FIFTH_MOMENT,
    OPENING_CORNER,
    PEELED_MM,
    RIM_CORNER,
    STIFFEST_MPA,
    TEAM_SHARES,
    TIMBER_E_MPA,
    TIMBER_MM,
    TIMBERS_EVERY_MM,
    TRAVEL_FACTOR,
    TURN_FLOOR_MPA,
)
from models.piece.handling import (
    bending_stress_MPa,
    people_for,
    recommended_kg,
    strength_needed_MPa,
)
from models.piece.placed import Placed
from models.piece.shape import Plate, Shape
from models.units import GRAVITY_M_S2

WAYS = (
    "long_edge",
    "short_edge",
    "rail",
    "boards",
    "padded_edges",
    "fifth_points",
    "straps",
    "ends",
)
GEAR = ("rail", "boards", "straps", "hoist")  # what a shop may have beside hands
HANDS_APART_CM = 20.0  # of hands from the ankles beside half of what they hold, OWN_JUDGEMENT


@dataclass(frozen=True)
class Way:
    """How a piece is held: stress with the jerk, strength needed [MPa].

    turns : it comes to lie on its other face, or stands; else it is only carried
    gear : what it takes beside hands, of GEAR
    lifted : share of its weight that hands or hoist bear, dimensionless
    span_mm : between what holds it, or twice how far it stands out over a rail [mm]
    along : it bends along its long side, so that it would crack across
    """

    key: str
    stress_MPa: float
    need_MPa: float
    turns: bool
    span_mm: float
    along: bool
    gear: tuple[str, ...] = ()
    lifted: float = 1.0


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
    heavier: float = 1.0  # weight of all over that of the plate, dimensionless


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


def flat_of(shape: Shape) -> Flat:
    """A piece as a plate, whichever way it was drawn: its widest flat part, which bears the weight
    of all others as if it were spread on it. shape : [mm]. Source: geometry."""
    if shape.like == "block":
        t, short, long = sorted((shape.standing_mm, shape.width_mm, shape.length_mm))
        return Flat(t, short, long, 1.0, 1.0, 1.0, _heavier(shape, t * short * long))
    plate = max(shape.plates, key=lambda one: one.length_mm * one.width_mm)
    t, short, long = sorted((plate.thickness_mm, plate.width_mm, plate.length_mm))
    holes = [one.told for one in plate.openings]
    upright = plate.width_mm > plate.length_mm  # then the holes' lengths run along the short side
    out_of_short = [h.length_mm if upright else h.width_mm for h in holes]
    out_of_long = [h.width_mm if upright else h.length_mm for h in holes]
    along, across = 1 - sum(out_of_short) / short, 1 - sum(out_of_long) / long
    corner = max((_corner(one, plate) for one in plate.openings), default=1.0)
    return Flat(t, short, long, along, across, corner, _heavier(shape, t * short * long))


def _heavier(shape: Shape, plate_mm3: float) -> float:
    """Weight of all of it over that of its plate without openings, never less than one."""
    return max(1.0, shape.volume_l * 1e6 / plate_mm3)


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
    if not hole.told.round or min(rims) < max(long, wide):
        return corner_factor(max(long, wide) / 2)
    half, other = max(long, wide) / 2, min(long, wide) / 2
    return corner_factor(half, other**2 / half)  # an oval's sharp end


def turning_ways(
    shape: Shape, density_kg_m3: float, adhesion_kN_m2: float = 0.0
) -> tuple[Way, ...]:
    """Every way of holding a piece in turning, those of bare hands first; none asks less than
    common practice.

    A panel or block is bent by its weight and, as it leaves its mould, by the pull of the face; a
    box by what its lying wall and its floor weigh. What slides on a rail, hangs in straps or is
    turned between boards was freed before.

    shape : the piece; density_kg_m3 : [kg/m3]; adhesion_kN_m2 : [kN/m2] of the mould's face
    Source: PCI_HANDLING, ACI_318, PETERSON_HOLE, beam theory; floor COMMON_PRACTICE.
    """
    if shape.like == "box":
        return _of_box(shape, density_kg_m3)
    flat = flat_of(shape)
    weight_kN_m2 = density_kg_m3 * GRAVITY_M_S2 * flat.thick_mm / 1e6
    free = DYNAMIC_FACTOR * flat.corner * flat.heavier
    # a face comes free at its edges first
    pulled = max(free, flat.heavier + adhesion_kN_m2 / weight_kN_m2)
    boarded = free * between_boards(flat.thick_mm, density_kg_m3)
    moments = {False: 0.125, True: FIFTH_MOMENT}

    def held(
        key: str,
        load: float,
        *gear: str,
        along: bool = False,
        fifths: bool = False,
        lifted: float = 0.5,
    ) -> Way:
        span = flat.long_mm if along else flat.short_mm
        still = bending_stress_MPa(
            span,
            flat.thick_mm,
            density_kg_m3,
            moment_coefficient=moments[fifths],
            net_fraction=max(flat.net_along if along else flat.net_across, 0.05),
        )
        stress = load * still
        return Way(key, stress, _need_MPa(stress), lifted < 1, span, along, gear, lifted)

    return (
        held("long_edge", pulled),
        held("short_edge", pulled, along=True),
        held("rail", free, "rail"),
        held("boards", boarded, "boards"),
        held("fifth_points", pulled, along=True, fifths=True, lifted=1.0),
        held("straps", free, "straps", "hoist", along=True, fifths=True, lifted=1.0),
        held("ends", pulled, along=True, lifted=1.0),
    )


def between_boards(thick_mm: float, density_kg_m3: float) -> float:
    """Bending of a piece clamped to timbers, over that of it alone, dimensionless.

    They bend as one, each by its stiffness, under what both weigh; the concrete is taken as stiff
    as it ever gets, which gives it the greater part.

    thick_mm : [mm]; density_kg_m3 : [kg/m3]
    Source: beam theory; EN_338 and EN_1992_1_1 for the stiffness, sizes OWN_JUDGEMENT.
    """
    wide, deep = TIMBER_MM
    timbers = TIMBER_E_MPA * wide * deep**3 / TIMBERS_EVERY_MM
    piece = STIFFEST_MPA * thick_mm**3
    heavier = 1 + BOARDS_KG_M2 / (density_kg_m3 * thick_mm / 1e3)
    return min(1.0, heavier * piece / (piece + timbers))


def _need_MPa(stress_MPa: float) -> float:
    return max(TURN_FLOOR_MPA, strength_needed_MPa(stress_MPa))


def _of_box(shape: Shape, density_kg_m3: float) -> tuple[Way, ...]:
    """Rolled onto its side its wall lies, which its floor and its two neighbours hold, by the
    gentler of both ways, and its floor stands between its walls; hung or carried its floor bends.

    Source: beam theory, ends clamped, so that the plate bears no more than its strips.
    """
    t, deep = shape.measured("wall_mm"), shape.measured("height_mm")
    floor_mm = t if shape.floor_mm is None else shape.floor_mm
    long, wide = (
        side - 2 * t
        for side in (max(shape.length_mm, shape.width_mm), min(shape.length_mm, shape.width_mm))
    )
    sideways = bending_stress_MPa(long, t, density_kg_m3, moment_coefficient=1 / 12)
    wall = sideways
    floor = 0.0
    if floor_mm > 0:
        up = bending_stress_MPa(deep - floor_mm, t, density_kg_m3, moment_coefficient=1 / 2)
        wall = min(up, sideways)
        floor = bending_stress_MPa(wide, floor_mm, density_kg_m3, moment_coefficient=1 / 12)
    more = _more_of_box(shape, t, floor_mm)
    boarded = max(wall * between_boards(t, density_kg_m3), floor)

    def held(key: str, still: float, *gear: str, lifted: float = 0.5) -> Way:
        stress = DYNAMIC_FACTOR * more * still
        return Way(key, stress, _need_MPa(stress), lifted < 1, wide, False, gear, lifted)

    return (
        held("padded_edges", max(wall, floor)),
        held("boards", boarded, "boards"),
        held("straps", floor, "straps", "hoist", lifted=1.0),
        held("ends", floor, lifted=1.0),
    )


def _more_of_box(shape: Shape, wall_mm: float, floor_mm: float) -> float:
    """What ledges weigh more and openings take, over a plain box, dimensionless."""
    long, wide, high = shape.length_mm, shape.width_mm, shape.measured("height_mm")
    inside = (long - 2 * wall_mm) * (wide - 2 * wall_mm) * (high - floor_mm)
    heavier = max(1.0, shape.volume_l * 1e6 / (long * wide * high - inside))
    nets = [
        min(
            1 - sum(one.told.length_mm for one in plate.openings) / plate.length_mm,
            1 - sum(one.told.width_mm for one in plate.openings) / plate.width_mm,
        )
        for plate in shape.plates
        if plate.openings
    ]
    plain = heavier if heavier > 1 + 1e-9 else 1.0
    return plain * OPENING_CORNER / max(min(nets), 0.05) if nets else plain


def peeled_stress_MPa(shape: Shape, adhesion_kN_m2: float) -> float:
    """Bending of a box's wall by the pull of its core's face as that is peeled from the rim [MPa].

    A strip of the face lets go at a time; its pull bends the wall over the floor, or between its
    neighbours, whichever is stiffer.

    shape : a box; adhesion_kN_m2 : [kN/m2] of the core's face
    Source: beam theory, ends clamped; VDI_BV_BS_6205 for the pull, the strip OWN_JUDGEMENT.
    """
    if shape.like != "box":
        return 0.0
    t, deep = shape.measured("wall_mm"), shape.measured("height_mm")
    long = max(shape.length_mm, shape.width_mm) - 2 * t
    pull_N_mm = adhesion_kN_m2 / 1e3 * PEELED_MM  # along the rim
    over_floor = pull_N_mm * max(deep - PEELED_MM / 2, 0.0)  # a millimetre of its length
    sideways = pull_N_mm * long**2 / 12 / PEELED_MM  # a millimetre of its height
    return 6 * min(over_floor, sideways) / t**2


def travel_stress_MPa(shape: Shape, density_kg_m3: float) -> float:
    """Bending of a piece that stands on its long edge on a trailer, as great as if it lay flat
    between its long edges under the shock of the road; of a box that of its walls and floor [MPa].

    shape : the piece; density_kg_m3 : [kg/m3]
    Source: beam theory; shock ACI_551 to OWN_JUDGEMENT.
    """
    stress_MPa = turning_ways(shape, density_kg_m3)[0].stress_MPa
    return stress_MPa * TRAVEL_FACTOR / DYNAMIC_FACTOR


def can(way: Way, gear: tuple[str, ...]) -> bool:
    """Whether a shop with such gear can do a way. gear : of GEAR; boolean. Source: definition."""
    return set(way.gear) <= set(gear)


def proposed(ways: tuple[Way, ...], gear: tuple[str, ...] = ()) -> Way:
    """The way by which a shop turns a piece first: that which asks least, of alike ones the
    simplest.

    ways : of turning_ways; gear : what the shop has, of GEAR; dimensionless
    Source: definition.
    """
    return min((one for one in ways if one.turns and can(one, gear)), key=lambda one: one.need_MPa)


def proposed_for(shape: Shape, density_kg_m3: float, board: str, gear: tuple[str, ...] = ()) -> Way:
    """The same for a piece in its mould.

    shape : the piece; density_kg_m3 : [kg/m3]; board : a key of facts.handling.ADHESION_KN_M2
    Source: PCI_HANDLING, ACI_318, as turning_ways.
    """
    return proposed(turning_ways(shape, density_kg_m3, ADHESION_KN_M2[board]), gear)


def people(way: Way, mass_kg: float, reach_mm: float) -> int | None:
    """How many lift it in a way; None: a hoist.

    One alone lifts what is recommended with hands so far out as half of the piece; more by the
    guidance on teams.

    mass_kg : [kg] of the piece; reach_mm : [mm] its short side, which is held before the body
    Source: HSE_L23, NIOSH_94_110; half of what is tilted rests on its edge, beam theory.
    """
    if "hoist" in way.gear:
        return None
    borne_kg = way.lifted * mass_kg
    team = people_for(borne_kg)
    if team == 1 and borne_kg > recommended_kg(HANDS_APART_CM + reach_mm / 20):
        team = 2
    return team if team <= len(TEAM_SHARES) else None
