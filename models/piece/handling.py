"""Bending while a piece is turned or carried, and the strength that it asks for."""

from dataclasses import dataclass

from models.facts.handling import (
    CRACKING_SAFETY,
    DYNAMIC_FACTOR,
    FIFTH_MOMENT,
    LIFT_KG,
    OPENING_CORNER,
    RUPTURE,
    TEAM_SHARES,
    TURN_FLOOR_MPA,
)
from models.message import Message
from models.piece.shape import Shape
from models.units import GRAVITY_M_S2, within


@dataclass(frozen=True)
class Support:
    """How a piece is held while it is turned: stress with the jerk, strength needed [MPa]."""

    key: str  # padded_edges | long_edge | fifth_points | ends
    stress_MPa: float
    need_MPa: float


def bending_stress_MPa(
    span_mm: float,
    thickness_mm: float,
    density_kg_m3: float,
    *,
    moment_coefficient: float = 0.125,
    net_fraction: float = 1.0,
) -> float:
    """Bending stress of a slab strip under its own weight, no jerk [MPa].

    sigma = 6 M / (b t^2) with M = coefficient w L^2: 1/8 held at both ends, 0.02145 at the
    fifth points.

    span_mm, thickness_mm : [mm], above 0; density_kg_m3 [kg/m3]
    moment_coefficient : dimensionless; net_fraction : width left beside an opening, above 0 to 1

    Source: elementary beam theory; support at 0.207 L as in PCI_HANDLING.
    """
    L, t = span_mm / 1e3, thickness_mm / 1e3
    return 6 * moment_coefficient * density_kg_m3 * GRAVITY_M_S2 * L**2 / t / net_fraction / 1e6


def strength_needed_MPa(stress_MPa: float) -> float:
    """Compressive strength at which a bending stress stays 1.5 under cracking [MPa].

    (1.5 sigma / 0.62)^2.

    stress_MPa : [MPa], jerk included
    Source: ACI_318 modulus of rupture, PCI_HANDLING safety.
    """
    return (CRACKING_SAFETY * stress_MPa / RUPTURE) ** 2


def turning_supports(
    shape: Shape, density_kg_m3: float, adhesion_kN_m2: float = 0.0
) -> tuple[Support, ...]:
    """How a piece may be held in turning, gentlest first; none asks less than common practice.

    A panel or block is bent by its weight and, as it leaves its mould, by the pull of the face; a
    box by what its lying wall and its floor weigh. An opening leaves less width, and at its corners
    the stress is higher.

    shape : the piece; density_kg_m3 : [kg/m3]; adhesion_kN_m2 : [kN/m2] of the mould's face
    Source: PCI_HANDLING, ACI_318, PETERSON_HOLE, beam theory; floor COMMON_PRACTICE.
    """
    if shape.like == "box":
        jerked = DYNAMIC_FACTOR * _box_stress_MPa(shape, density_kg_m3)
        return (_support("padded_edges", jerked),)
    t, short, long = sorted((shape.section_mm, shape.width_mm, shape.length_mm))
    if shape.like == "block":
        t, short, long = sorted((shape.standing_mm, shape.width_mm, shape.length_mm))
    holes = shape.openings
    upright = shape.width_mm > shape.length_mm  # then the holes' lengths run along the short side
    out_of_short = [h.length_mm if upright else h.width_mm for h in holes]
    out_of_long = [h.width_mm if upright else h.length_mm for h in holes]
    along, across = 1 - sum(out_of_short) / short, 1 - sum(out_of_long) / long
    weight_kN_m2 = density_kg_m3 * GRAVITY_M_S2 * t / 1e6
    jerk = DYNAMIC_FACTOR * (OPENING_CORNER if holes else 1.0)
    load = max(jerk, 1 + adhesion_kN_m2 / weight_kN_m2)  # a face comes free at its edges first

    def held(key: str, span: float, moment: float, net: float) -> Support:
        still = bending_stress_MPa(
            span, t, density_kg_m3, moment_coefficient=moment, net_fraction=max(net, 0.05)
        )
        return _support(key, load * still)

    return (
        held("long_edge", short, 0.125, across),
        held("fifth_points", long, FIFTH_MOMENT, along),
        held("ends", long, 0.125, along),
    )


def _support(key: str, stress_MPa: float) -> Support:
    return Support(key, stress_MPa, max(TURN_FLOOR_MPA, strength_needed_MPa(stress_MPa)))


def _box_stress_MPa(shape: Shape, density_kg_m3: float) -> float:
    """Bending of a box on its side, without jerk: of its lying wall, which its floor and its two
    neighbours hold, by the gentler of both ways; and of its floor between its walls [MPa].

    Source: beam theory, ends clamped, so that the plate bears no more than its strips.
    """
    assert shape.wall_mm is not None
    assert shape.height_mm is not None
    t = shape.wall_mm
    long, wide = (
        side - 2 * t
        for side in (max(shape.length_mm, shape.width_mm), min(shape.length_mm, shape.width_mm))
    )
    deep = shape.height_mm - t
    wall = min(
        bending_stress_MPa(deep, t, density_kg_m3, moment_coefficient=1 / 2),
        bending_stress_MPa(long, t, density_kg_m3, moment_coefficient=1 / 12),
    )
    return max(wall, bending_stress_MPa(wide, t, density_kg_m3, moment_coefficient=1 / 12))


def team_kg(people: int) -> float:
    """What a team lifts together [kg]: two about two thirds of their sum, three about half.

    Four are given half as well, which no page prints; more than four do not work together.

    people : 1 to 4
    Source: HSE_L23 paragraph 120 for the shares, 25 kg from memory; four OWN_JUDGEMENT.

    >>> [round(team_kg(people), 1) for people in (1, 2, 3, 4)]
    [25.0, 33.3, 37.5, 50.0]
    """
    return TEAM_SHARES[int(within("people", people, 1, len(TEAM_SHARES))) - 1] * people * LIFT_KG


def people_for(mass_kg: float) -> int:
    """People for a lift by the guidance on teams; one more than a team can be: use a hoist.

    mass_kg : [kg]
    Source: HSE_L23 through team_kg; guidance, no limit.
    """
    most = len(TEAM_SHARES)
    return next((n for n in range(1, most + 1) if mass_kg <= team_kg(n)), most + 1)


def hands_for(mass_kg: float) -> Message:
    """Who lifts a piece, with what the number rests on. mass_kg : [kg].

    Source: HSE_L23 through team_kg.
    """
    people, most = people_for(mass_kg), len(TEAM_SHARES)
    if people > most:
        return Message("lift_by_hoist", {"team_kg": team_kg(most)})
    if people == 1:
        return Message("lift_alone", {"one_kg": LIFT_KG})
    return Message(
        "lift_by_team",
        {
            "people": people,
            "fewer": people - 1,
            "fewer_kg": team_kg(people - 1),
            "team_kg": team_kg(people),
            "one_kg": LIFT_KG,
        },
    )
