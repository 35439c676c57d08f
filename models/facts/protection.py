"""Covers a shop may own, and the cold-weather limits of ACI 306R for thin sections. Rows only."""

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
# what heats a tent or a room; one that burns without a flue gives carbon monoxide and dioxide
HEATERS = ("electric", "vented", "unvented")
WARM_WATER_EFFORT = 1.5  # a kettle and a thermometer: more than film, less than a blanket
INDOORS_EFFORT = 6.0  # mould, bags and piece go through a door; less than heating the yard

# ACI 306R for sections under 300 mm and from 300 to 900 mm
AS_PLACED_C = ((300.0, 13.0), (900.0, 10.0), (1800.0, 7.0), (float("inf"), 5.0))
COOLING_K_24H = ((300.0, 28.0), (900.0, 22.0), (1800.0, 17.0), (float("inf"), 11.0))
# as mixed, by section and by the lowest air: above -1, down to -18, colder
AS_MIXED_AIR_C = (-1.0, -18.0)
AS_MIXED_C = (
    (300.0, (16.0, 18.0, 21.0)),
    (900.0, (13.0, 16.0, 18.0)),
    (1800.0, (10.0, 13.0, 16.0)),
    (float("inf"), (7.0, 10.0, 13.0)),
)
OFF_WITHIN_K = 11.0  # ACI 306.1: all protection may come off once the surface is this near the air

BASE_LEAST_C = 0.0  # ACI_306_1: no concrete on frozen ground, in frozen forms, about icy steel
FROST_MPA = 3.5  # ACI 306R, one freezing
PLACING_MAX_C = 35.0  # ACI 305.1
HOT_DAMAGE_C = 70.0  # delayed ettringite limit, from memory
WATER_MAX_C = 60.0  # ACI 306R: hotter mixing water must not meet the cement first
EVAPORATION_KG_M2H = 1.0  # ACI 305R
EVAPORATION_LOW_BLEED_KG_M2H = 0.5
# ACI_306R: days of protection, ordinary and high-early: exposed, partly loaded, against freezing;
# and for who takes the forms and all support away; indoors of the frost 2 and 1
PROTECTION_D = {"exposed": (3.0, 2.0), "forms": (6.0, 4.0), "not exposed": (2.0, 1.0)}
NIGHT_AHEAD_H = 24  # over which the fall of a bare face is counted
HOT_EARLY_C = 40.0  # a section this warm in its first day cures too fast, COMMON_PRACTICE
