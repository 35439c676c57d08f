"""Bending while a piece is turned or carried, and the strength that it asks for."""

from dataclasses import dataclass

from models.facts.handling import (
    CRACKING_SAFETY,
    DYNAMIC_FACTOR,
    FIFTH_MOMENT,
    LIFT_KG,
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


def turning_supports(shape: Shape, density_kg_m3: float) -> tuple[Support, ...]:
    """How a piece may be held in turning, gentlest first; none asks less than common practice.

    shape : the piece; density_kg_m3 : [kg/m3]
    Source: PCI_HANDLING, ACI_318; floor COMMON_PRACTICE.
    """
    t = shape.section_mm
    if shape.kind != "panel":
        return (Support("padded_edges", 0.0, TURN_FLOOR_MPA),)
    long, short = max(shape.length_mm, shape.width_mm), min(shape.length_mm, shape.width_mm)
    holes = shape.openings
    upright = shape.width_mm > shape.length_mm  # then the holes' lengths run along the short side
    out_of_short = [h.length_mm if upright else h.width_mm for h in holes]
    out_of_long = [h.width_mm if upright else h.length_mm for h in holes]
    along, across = 1 - sum(out_of_short) / short, 1 - sum(out_of_long) / long

    def support(key: str, span: float, moment: float, net: float) -> Support:
        stress = DYNAMIC_FACTOR * bending_stress_MPa(
            span, t, density_kg_m3, moment_coefficient=moment, net_fraction=max(net, 0.05)
        )
        return Support(key, stress, max(TURN_FLOOR_MPA, strength_needed_MPa(stress)))

    return (
        support("long_edge", short, 0.125, across),
        support("fifth_points", long, FIFTH_MOMENT, along),
        support("ends", long, 0.125, along),
    )


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
