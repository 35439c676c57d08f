"""Every way in which a piece is turned, carried or hung, and what each asks of it.

A flat piece is looked at along its long side and across it; a box by the wall that lies and the
floor between its walls. Reinforcement counts for nothing: it carries after a crack, and green
concrete is to have none.
"""

import math
from dataclasses import dataclass, replace

from models.facts.handling import (
    ADHESION_KN_M2,
    BOARDS_KG_M2,
    DYNAMIC_FACTOR,
    FIFTH_MOMENT,
    FIFTH_POINT,
    OPENING_CORNER,
    PEELED_MM,
    STIFFEST_MPA,
    TEAM_SHARES,
    TIMBER_E_MPA,
    TIMBER_MM,
    TIMBERS_EVERY_MM,
    TRAVEL_FACTOR,
    TURN_FLOOR_MPA,
)
from models.piece.flat import HANGING, Flat, flats_of
from models.piece.handling import (
    bending_stress_MPa,
    people_for,
    recommended_kg,
    strength_needed_MPa,
)
from models.piece.shape import Shape
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
ONE_FLAT_FACE = ("panel", "round-panel", "ribbed-panel", "block")  # unless it has a drop edge
BOTH_FLAT = ("panel", "round-panel", "block")
LEGGED = ("l-shape", "u-shape")
ONE_SIDED = ("l-shape", "slab-with-basin", "by-hand")  # what else it has may hang at one end
HANDS_APART_CM = 20.0  # of hands from the ankles beside half of what they hold, OWN_JUDGEMENT


@dataclass(frozen=True)
class Way:
    """How a piece is held: stress with the jerk, strength needed [MPa].

    turns : it comes to lie on its other face, or stands; else it is only carried
    gear : what it takes beside hands, of GEAR
    lifted : share of its weight that hands or hoist bear, dimensionless
    span_mm : between what holds it, or twice how far it stands out over a rail [mm]
    along : it bends along its long side, so that it would crack across
    flat : the part that bends most; None: a box
    boards_kg : of the boards about it [kg], which are lifted with it
    """

    key: str
    stress_MPa: float
    need_MPa: float
    turns: bool
    span_mm: float
    along: bool
    gear: tuple[str, ...] = ()
    lifted: float = 1.0
    flat: Flat | None = None
    boards_kg: float = 0.0


def turning_ways(
    shape: Shape, density_kg_m3: float, adhesion_kN_m2: float = 0.0
) -> tuple[Way, ...]:
    """Every way of holding a piece in turning, those of bare hands first; none asks less than
    common practice.

    A panel or block is bent by its weight and, as it leaves its mould, by the pull of the face, on
    that of its flat parts that bends most, with all else where it bends that most; a box by what
    its lying wall and its floor weigh. What slides on a rail, hangs in straps or is turned between
    boards was freed before.

    shape : the piece; density_kg_m3 : [kg/m3]; adhesion_kN_m2 : [kN/m2] of the mould's face
    Source: PCI_HANDLING, ACI_318, PETERSON_HOLE, beam theory; floor COMMON_PRACTICE.
    """
    if shape.like == "box":
        return _of_box(shape, density_kg_m3)
    found = [_of_flat(shape, flat, density_kg_m3, adhesion_kN_m2) for flat in flats_of(shape)]
    least_MPa = _hanging_MPa(shape, density_kg_m3, adhesion_kN_m2)
    worst = [max(each, key=lambda one: one.stress_MPa) for each in zip(*found, strict=True)]
    return tuple(_at_least(one, least_MPa) for one in worst if _can_be(shape, one.key))


def _can_be(shape: Shape, key: str) -> bool:
    """Whether a piece has the flat faces that a way takes: one to lie on a rail or on two bars, two
    to be clamped between boards."""
    even = shape.drop_edge_mm is None
    if key == "boards":
        return even and shape.kind in BOTH_FLAT
    return key not in ("rail", "fifth_points") or (even and shape.kind in ONE_FLAT_FACE)


def _at_least(way: Way, stress_MPa: float) -> Way:
    most = max(way.stress_MPa, stress_MPa)
    return replace(way, stress_MPa=most, need_MPa=_need_MPa(most))


def _moment(shape: Shape, fifths: bool) -> float:
    """What weight beside that of the plate bends it by, over w L2, where it hangs at its worst.

    In fifths at one end, or half of it at either; else in the middle: half hangs at either side
    over a rail. Legs run all across, and stand at the ends along: no more than if it were spread.

    Source: beam theory.
    """
    if fifths:
        return FIFTH_POINT if shape.kind in ONE_SIDED else FIFTH_POINT / 2
    return 1 / 8 if shape.kind in LEGGED else 1 / 4


def _of_flat(
    shape: Shape, flat: Flat, density_kg_m3: float, adhesion_kN_m2: float
) -> tuple[Way, ...]:
    """Every way of a piece that lies on one of its flat parts."""
    weight_kN_m2 = density_kg_m3 * GRAVITY_M_S2 * flat.thick_mm / 1e6
    moments = {False: 0.125, True: FIFTH_MOMENT}
    loads = {one: 1 + flat.more * _moment(shape, one) / moments[one] for one in moments}
    free = {one: DYNAMIC_FACTOR * flat.corner * load for one, load in loads.items()}
    # spread over the face it tears at a corner as the weight does; as it peels that only eases
    # (tests/published/test_plate_with_opening.py)
    pull = adhesion_kN_m2 / weight_kN_m2
    pulled = {one: max(free[one], flat.corner * (load + pull)) for one, load in loads.items()}
    boarded = {
        one: load * between_boards(flat.thick_mm, density_kg_m3) for one, load in free.items()
    }

    def held(
        key: str,
        load: dict[bool, float],
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
        stress = load[fifths] * still
        need = _need_MPa(stress)
        boards = BOARDS_KG_M2 * flat.long_mm * flat.short_mm / 1e6 if "boards" in gear else 0.0
        return Way(key, stress, need, lifted < 1, span, along, gear, lifted, flat, boards)

    return (
        held("long_edge", pulled),
        held("short_edge", pulled, along=True),
        held("rail", free, "rail"),
        held("boards", boarded, "boards"),
        held("fifth_points", pulled, along=True, fifths=True, lifted=1.0),
        held("straps", free, "straps", "hoist", along=True, fifths=True, lifted=1.0),
        held("ends", pulled, along=True, lifted=1.0),
    )


def _hanging_MPa(shape: Shape, density_kg_m3: float, adhesion_kN_m2: float) -> float:
    """Bending of a bowl's floor and walls, and of ribs out of their panel, by their own weight and
    the pull of the mould; the panel bears them.

    Source: beam theory; a floor by its short side, which is held all round and bears more.
    """
    found = [0.0]
    for one in shape.plates:
        if one.key in HANGING:
            out = 2 * one.width_mm if one.key == "rib" else min(one.length_mm, one.width_mm)
            weight_kN_m2 = density_kg_m3 * GRAVITY_M_S2 * one.thickness_mm / 1e6
            load = max(DYNAMIC_FACTOR, 1 + adhesion_kN_m2 / weight_kN_m2)
            found.append(load * bending_stress_MPa(out, one.thickness_mm, density_kg_m3))
    return max(found)


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
        boards = BOARDS_KG_M2 * (long + 2 * t) * deep / 1e6 if "boards" in gear else 0.0
        need = _need_MPa(stress)
        return Way(key, stress, need, lifted < 1, wide, False, gear, lifted, boards_kg=boards)

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
    """Bending of the walls round a core by the pull of its face as that is peeled from the rim
    [MPa]; of a piece without a core none.

    A strip of the face lets go at a time; its pull bends the wall over the floor, or between its
    neighbours, whichever is stiffer; without a floor between these alone.

    shape : the piece; adhesion_kN_m2 : [kN/m2] of the core's face
    Source: beam theory, ends clamped; VDI_BV_BS_6205 for the pull, the strip OWN_JUDGEMENT.
    """
    if not shape.has_core:
        return 0.0
    t, deep, long = _round_core_mm(shape)
    pull_N_mm = adhesion_kN_m2 / 1e3 * PEELED_MM  # along the rim
    over_floor = pull_N_mm * max(deep - PEELED_MM / 2, 0.0)  # a millimetre of its length
    sideways = pull_N_mm * long**2 / 12 / PEELED_MM  # a millimetre of its height
    held = sideways if shape.floor_mm == 0 else min(over_floor, sideways)
    return 6 * held / t**2


def _round_core_mm(shape: Shape) -> tuple[float, float, float]:
    """Of the walls round a core their thickness, their depth, and the longest between two others;
    infinite: they stand free [mm]."""
    told = shape.measured
    longest = max(shape.length_mm, shape.width_mm)
    if shape.kind == "u-shape":
        return told("wall_mm"), told("height_mm") - told("thickness_mm"), math.inf
    if shape.kind == "slab-with-basin":
        bowl = max(told("bowl_length_mm"), told("bowl_width_mm"))
        return told("wall_mm"), told("bowl_depth_mm"), bowl
    if shape.drop_edge_mm is not None:
        t = told("drop_wall_mm")
        free = (shape.drop_sides or "all") != "all"
        long = math.inf if free else longest - 2 * t
        return t, shape.drop_edge_mm - told("thickness_mm"), long
    return told("wall_mm"), told("height_mm"), longest - 2 * told("wall_mm")


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
    guidance on teams. Boards about it are lifted with it.

    mass_kg : [kg] of the piece; reach_mm : [mm] its short side, which is held before the body
    Source: HSE_L23, NIOSH_94_110; half of what is tilted rests on its edge, beam theory.
    """
    if "hoist" in way.gear:
        return None
    borne_kg = way.lifted * (mass_kg + way.boards_kg)
    team = people_for(borne_kg)
    if team == 1 and borne_kg > recommended_kg(HANDS_APART_CM + reach_mm / 20):
        team = 2
    return team if team <= len(TEAM_SHARES) else None
