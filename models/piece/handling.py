"""Bending while a piece is turned or carried, the strength that it asks for, and who lifts it."""

from models.facts.handling import (
    CARRIED_CM,
    CRACKING_SAFETY,
    FARTHEST_CM,
    HANDS_CM,
    LIFT_KG,
    NEAREST_CM,
    NIOSH_KG,
    RUPTURE,
    TEAM_SHARES,
)
from models.message import Message
from models.units import GRAVITY_M_S2, within


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


def recommended_kg(
    out_cm: float, up_cm: float = HANDS_CM, raised_cm: float = CARRIED_CM, *, grip: float = 1.0
) -> float:
    """What one person lifts now and then with little risk to the back [kg].

    23 (25 / H) (1 - 0.003 |V - 75|) (0.82 + 4.5 / D) CM, no twist, seldom; none past arm's length.

    out_cm : [cm] H, hands before the ankles, under 25 as 25; up_cm : [cm] V, hands over the floor,
    0 to 175; raised_cm : [cm] D, under 25 as 25, 0 to 175; grip : dimensionless, 0.9 poor to 1

    Raises InputError outside the ranges. Source: NIOSH_94_110.

    >>> round(recommended_kg(40, 70, 30, grip=0.95), 2)
    13.05
    """
    H = max(float(within("out_cm", out_cm, 0.0, 300.0, "cm")), NEAREST_CM)
    V = float(within("up_cm", up_cm, 0.0, 175.0, "cm"))
    D = max(float(within("raised_cm", raised_cm, 0.0, 175.0, "cm")), NEAREST_CM)
    held = float(within("grip", grip, 0.9, 1.0))
    if H > FARTHEST_CM:
        return 0.0
    return NIOSH_KG * NEAREST_CM / H * (1 - 0.003 * abs(V - 75)) * (0.82 + 4.5 / D) * held


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
