"""Strength asked for each step [MPa], the floor no shop may go under, and factors for handling."""

from dataclasses import dataclass


@dataclass(frozen=True)
class StepStrength:
    """Default need and hard floor [MPa], with sources."""

    default_MPa: float
    floor_MPa: float
    sources: tuple[str, ...]


STEP_STRENGTH: dict[str, StepStrength] = {
    "strip": StepStrength(5.0, 2.0, ("CCA_42505", "COMMON_PRACTICE")),
    "core": StepStrength(5.0, 2.0, ("COMMON_PRACTICE",)),
    "sand": StepStrength(10.0, 5.0, ("COMMON_PRACTICE",)),
    "hone": StepStrength(20.0, 10.0, ("COMMON_PRACTICE",)),
    "light-use": StepStrength(15.0, 10.0, ("COMMON_PRACTICE",)),
}

# the floor of 2 MPa is of a cube beside the wall, of plain Portland cement, with a release agent:
# struck at these equivalent ages [h at 20 degC] by what the board takes up (CCA_42505). The 12 h
# over 50 F that ACI 347R-94 gives (ACI_347) are of walls, and no floor here
STRUCK_AT_TE_H = {"unsealed": 12.0, "impermeable": 9.0}
UNSEALED_BOARDS = (
    "plywood",
    "mdf",
    "plaster",
    "ground",
)  # OWN_JUDGEMENT; side forms on ground are plywood

TURN_FLOOR_MPA = 10.0  # least compressive strength before any turn, COMMON_PRACTICE
# jerk of a turn and a lift, on the weight: an impact allowance of half as much again is printed for
# inserts of panels that are tilted up (TILT_UP_INSERTS); of hands OWN_JUDGEMENT. Multipliers of
# precast works for stripping and handling were found on no page that can be read
DYNAMIC_FACTOR = 1.5
TRAVEL_FACTOR = 2.0  # on a trailer and over a kerb: 1.5 of PCI, from memory, to 2 OWN_JUDGEMENT
CRACKING_SAFETY = 1.5  # PCI_HANDLING
RUPTURE = 0.62  # modulus of rupture over the square root of the strength, MPa: 7.5 in psi (ACI_318)
# stress at the edge of a round hole in a thin plate that bends, over that of the net width: (5 + 3 nu) /
# (3 + nu) (PETERSON_HOLE, from memory), nu 0.2. A cut corner has more, which concrete blunts within
# the size of its sand: OWN_JUDGEMENT
POISSON = 0.2  # EN_1992_1_1 3.1.3
OPENING_CORNER = (5.0 + 3.0 * POISSON) / (3.0 + POISSON)  # PETERSON_HOLE, OWN_JUDGEMENT
# nearer to an edge than half of its width: its rim bends with the piece and bears more than its share. Plates
# by finite elements have up to 1.91 there (tests/published/test_plate_with_opening.py), OWN_JUDGEMENT
RIM_CORNER = 2.0
# over this depth beside a notch concrete evens stress out [mm]: one to two of its stones; the notch
# is as blunt as one of a radius greater by twice that (NEUBER_1958). OWN_JUDGEMENT
EVENED_MM = 20.0
# pull of an oiled mould's face on what leaves it, beside the weight and in place of the jerk [kN/m2]:
# steel 1, varnished wood 2, rough wood 3 (VDI_BV_BS_6205, from memory); foam OWN_JUDGEMENT
ADHESION_KN_M2 = {
    "steel": 1.0,
    "melamine": 2.0,
    "mdf": 3.0,
    "plywood": 3.0,
    "foam": 2.0,
    "film-faced plywood": 2.0,  # as varnished
    "glass": 2.0,  # OWN_JUDGEMENT: smooth as steel, and nothing lets air in behind
    "hdpe": 1.0,  # OWN_JUDGEMENT, as also silicone: cement does not stick to them
    "silicone": 1.0,
    "plaster": 3.0,
    "ground": 3.0,
}
# boards that a piece is clamped between: timbers on edge across the way it bends, every so far, with
# the least mean stiffness of EN_338 (C16); what they and the sheets on both faces weigh: OWN_JUDGEMENT
TIMBER_MM, TIMBERS_EVERY_MM, TIMBER_E_MPA = (45.0, 95.0), 400.0, 8000.0
BOARDS_KG_M2 = 30.0
STIFFEST_MPA = 33_000.0  # concrete of 30 MPa (EN_1992_1_1); younger is softer and takes less
PEELED_MM = 100.0  # of a core's face that lets go at once as it is peeled, OWN_JUDGEMENT
FIFTH_POINT, FIFTH_MOMENT = 0.2071, 0.02145  # of L and of w L2, hogging as sagging: beam theory
FULL_USE_FRACTION = 0.90  # of the specified 28-day strength, COMMON_PRACTICE
WET_CURE_FRACTION = (
    0.70  # of the specified strength: DIN_1045_3 for wear; ACI_308R, EN_13670 class 4
)

# what a man may lift near the body at waist height (16 kg for a woman); guidance, no limit
LIFT_KG = 25.0  # HSE_L23_FILTER
# NIOSH_94_110: 23 kg at best; hands 25 cm off at the least, 63 at the most [cm]
NIOSH_KG, NEAREST_CM, FARTHEST_CM = 23.0, 25.0, 63.0
HANDS_CM, CARRIED_CM = 75.0, 25.0  # of a mould on a bench, and how far it is raised, OWN_JUDGEMENT
# share of their sum that a team of one, two, three lifts (HSE_L23 paragraph 120); four is not
# printed, and no team is larger
TEAM_SHARES = (1.0, 2 / 3, 1 / 2, 1 / 2)
AIR_BEFORE_SANDING_H = 4.0  # COMMON_PRACTICE: a few hours to a day with air all round

# what pieces and moulds of furniture measure [mm]; a figure outside that fits in inches is asked
# about. COMMON_PRACTICE
USUAL_MM = {
    "length_mm": (150.0, 6000.0),
    "width_mm": (100.0, 3000.0),
    "height_mm": (60.0, 1500.0),
    "wall_mm": (12.0, 300.0),
    "thickness_mm": (8.0, 400.0),
}
