"""Covers a shop may own, and the limits of cold and hot weather. Rows only.

The limits that keep a piece or a person whole stand first in `castclock sources`.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Cover:
    """Thermal resistance [m2K/W], whether it keeps water in, whether it keeps rain off, its effort,
    and the mean wind at the piece over which it will not stay, held down at its edges [m/s].

    Half of the wind at 10 m reaches a piece in a yard: film goes at 11 m/s there (Beaufort 6,
    umbrellas hard to hold), tents at 14 (7), a weighted blanket at 17 (8, twigs break).
    """

    R_m2K_W: float
    sealed: bool  # stops evaporation
    sheds_rain: bool
    effort: float  # order of cost, for choosing the cheapest that passes
    wind_m_s: float
    sources: tuple[str, ...]


COVERS: dict[str, Cover] = {
    "film": Cover(0.05, True, True, 1.0, 5.5, ("ISO_6946", "COMMON_PRACTICE")),
    "wet cover": Cover(0.02, True, False, 2.0, 7.0, ("OWN_JUDGEMENT", "COMMON_PRACTICE")),
    "blanket": Cover(0.50, True, True, 3.0, 8.5, ("COMMON_PRACTICE",)),
    "two blankets": Cover(1.00, True, True, 4.0, 8.5, ("COMMON_PRACTICE",)),
    "foam": Cover(1.40, True, True, 5.0, 8.5, ("EN_12524", "COMMON_PRACTICE")),
    "heated enclosure": Cover(0.0, True, True, 9.0, 7.0, ("ACI_306R", "COMMON_PRACTICE")),
}
# a cover that bears a wind stays for certain up to half of it; at that wind three nights of ten take
# it off, at fresher ones more by the square of what is over half; OWN_JUDGEMENT
STAYS_FRACTION, TAKEN_A_NIGHT, NIGHT_H = 0.5, 0.3, 12.0
# chance that a place is not as told, and how open it is then, a clear yard 1 and a closed roof 0: a
# yard between walls or trees, a roof open to one side of four; OWN_JUDGEMENT
WRONG_EXPOSURE, OPEN_AS_WRONG = 0.02, {"open yard": 0.5, "covered": 0.25}
# what heats a tent or a room; one that burns without a flue gives carbon monoxide and dioxide
HEATERS = ("electric", "vented", "unvented")
# heat before a pour: a day at the most; a base is as warm as a tent gets it this near to its
# temperature; water that freezes in sand and gravel [kg/m3]; OWN_JUDGEMENT
HEAT_BEFORE_MOST_H, TENT_NEAR_K, FROZEN_WATER_KG_M3 = 24.0, 1.0, 150.0
WARM_WATER_EFFORT = 1.5  # more than film, less than a blanket: OWN_JUDGEMENT
INDOORS_EFFORT = 6.0  # through a door; less than heating the yard: OWN_JUDGEMENT

# columns of ACI_306R table 3.1 for 36 to 72 in and thicker: 45, 40 F and 30, 20 F, from memory
THICK_PLACED_C = ((1800.0, 7.0), (float("inf"), 5.0))
THICK_COOLING_K_24H = ((1800.0, 17.0), (float("inf"), 11.0))

# ACI_306R table 3.1 by sections under 300 and 900 mm (12, 36 in): 55, 50 F as placed and kept, 50,
# 40 F of fall in 24 h
AS_PLACED_C = ((300.0, 13.0), (900.0, 10.0), *THICK_PLACED_C)
COOLING_K_24H = ((300.0, 28.0), (900.0, 22.0), *THICK_COOLING_K_24H)
# as mixed, by section and by the lowest air: above -1, down to -18, colder (ACI_306R table 3.1: 60,
# 65, 70 F and 55, 60, 65 F)
AS_MIXED_AIR_C = (-1.0, -18.0)
AS_MIXED_C = (
    (300.0, (16.0, 18.0, 21.0)),
    (900.0, (13.0, 16.0, 18.0)),
    (1800.0, (10.0, 13.0, 16.0)),
    (float("inf"), (7.0, 10.0, 13.0)),
)
OFF_WITHIN_K = (
    11.0  # ACI_306_1 3.2.3: all protection may come off once the face is 20 F from the air
)

BASE_LEAST_C = 0.0  # ACI_306_1: no concrete on frozen ground, in frozen forms, about icy steel
FROST_MPA = 3.5  # one freezing of what water from outside does not reach (ACI_306R_CYCLES)
PLACING_MAX_C = 35.0  # ACI_305_1 3.3 (95 F)
HOT_DAMAGE_C = 70.0  # delayed ettringite: ACI_301 (160 F)
WATER_MAX_C = 60.0  # hotter mixing water must not meet the cement first: ACI_306R_WATER (140 F)
EVAPORATION_KG_M2H = 1.0  # ACI_305R (0.2 lb/ft2h)
EVAPORATION_LOW_BLEED_KG_M2H = 0.5  # of mixes that hardly bleed: SILICA_FUME
# ACI_306R table 5.5, days of protection, ordinary and high-early: exposed, partly loaded, against
# freezing, as ACI_306_1 asks over 50 F; for who takes the forms and all support away; not exposed and
# not loaded
PROTECTION_D = {"exposed": (3.0, 2.0), "forms": (6.0, 4.0), "not exposed": (2.0, 1.0)}
NIGHT_AHEAD_H = 24  # over which the fall of a bare face is counted (ACI_306_1)
HOT_EARLY_C = 40.0  # a section this warm in its first day cures too fast, COMMON_PRACTICE
