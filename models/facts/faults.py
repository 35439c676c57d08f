"""What can be wrong with a piece, what of its log speaks for it, and how strongly. Rows only.

A trace is a number that the log holds of each cause: at `quiet` it speaks against the cause, at
`loud` for it as much as such a number can, between them by a straight line of the logarithm. How
strongly is the table WEIGHTS: how many times likelier the cause is by a loud trace. These weights,
and quiet and loud where no source is named, are OWN_JUDGEMENT: no page prints them. What pages
print is which cause goes with which fault.
"""

from dataclasses import dataclass

FAULTS = ("crack", "curl", "stain", "bloom", "dust", "peel", "blush", "other")
AGAINST = 0.2  # how many times likelier a cause is by a quiet trace
OUTSET = 0.15  # chance of a cause before the log is looked at
SPEAKS = 1.5  # a trace that makes its cause so many times likelier counts as one
STRONGLY = 4.0
YOUNG_H = 72.0  # the first three days, of which cold hours are counted
COLD_C = 5.0  # ACI_306R, EN_13670: under it concrete is young for long
NIGHT_H = 24.0


@dataclass(frozen=True)
class Trace:
    """From which number on it speaks for its cause, and where it speaks as loud as it can."""

    quiet: float
    loud: float
    sources: tuple[str, ...]


TRACES: dict[str, Trace] = {
    # evaporation from the bare face over what it bears: at the limit itself it speaks already
    "dried-fast": Trace(0.5, 1.2, ("ACI_305R", "UNO_1998", "HOVER_2020")),
    "film-touched": Trace(0.0, 6.0, ("COMMON_PRACTICE",)),  # hours of film on a face that shows
    "first-night": Trace(10.0, 0.0, ("ACI_306R", "CONCRETE_SOCIETY_679")),  # lowest [degC]
    "cold-hours": Trace(0.0, 24.0, ("ACI_306R", "EN_13670")),  # of the first three days [h]
    "froze": Trace(0.02, 0.5, ("ACI_306R", "POWERS_1962")),  # chance
    # water over that of the mix, share of it
    "too-wet": Trace(0.0, 0.15, ("ABRAMS_1918", "CONCRETE_DRYING_SHRINKAGE")),
    "rained-on": Trace(0.0, 1.0, ("COMMON_PRACTICE",)),  # on the bare face before it has set [mm]
    # hours that a young bare face was damp and cold
    "cold-and-wet": Trace(1.0, 12.0, ("CONCRETE_EFFLORESCENCE", "PRECAST_EFFLORESCENCE")),
    "worked-early": Trace(1.0, 0.5, ("CONCRETE_SOCIETY_679",)),  # share of the wait for bleed water
    "cured-short": Trace(1.0, 0.4, ("EN_13670", "CONCRETE_SOCIETY_679")),  # of what is asked
    "one-face-dried": Trace(0.3, 3.0, ("EN_1992_1_1", "CONCRETE_DRYING_SHRINKAGE")),  # bow [mm]
    "chilled": Trace(0.5, 1.5, ("ACI_306R",)),  # fall in a day over what the section bears
    "stripped-early": Trace(1.2, 0.6, ("CCA_42505", "COMMON_PRACTICE")),  # strength over need
    "turned-early": Trace(1.2, 0.6, ("ACI_318", "PCI_HANDLING")),
    "stuck": Trace(0.0, 1.0, ("COMMON_PRACTICE",)),  # told at the strip
    "raw-wood": Trace(0.0, 1.0, ("CONCRETE_SOCIETY_733",)),
    "coat-dew": Trace(4.0, 0.0, ("ISO_8502_4", "UFC_3_190_06")),  # face over the dew point [K]
    "coat-cold": Trace(3.0, -5.0, ("UFC_3_190_06", "TYPICAL_SHEET")),  # over the least [K]
    "coat-damp": Trace(-0.02, 0.08, ("ASTM_F2170", "TYPICAL_SHEET")),  # pores over what it bears
    "coat-rain": Trace(0.0, 0.5, ("TYPICAL_SHEET",)),  # before it was safe from rain [mm]
    "coat-late": Trace(1.0, 2.0, ("UFGS_09971", "TYPICAL_SHEET")),  # over the longest wait
    "coat-soon": Trace(1.0, 0.4, ("TYPICAL_SHEET",)),  # over the least wait
}

# by fault and cause: how many times likelier a loud trace makes it
WEIGHTS: dict[str, dict[str, float]] = {
    "crack": {
        "dried-fast": 10.0,
        "turned-early": 8.0,
        "froze": 6.0,
        "stripped-early": 5.0,
        "chilled": 5.0,
        "stuck": 4.0,
        "one-face-dried": 3.0,
        "too-wet": 3.0,
        "cured-short": 2.0,
    },
    "curl": {"one-face-dried": 12.0, "too-wet": 3.0, "turned-early": 2.0, "cured-short": 2.0},
    "stain": {
        "film-touched": 10.0,
        "rained-on": 4.0,
        "raw-wood": 4.0,
        "cold-and-wet": 3.0,
        "too-wet": 2.5,
        "first-night": 2.0,
    },
    "bloom": {
        "cold-and-wet": 10.0,
        "rained-on": 5.0,
        "coat-damp": 4.0,
        "first-night": 3.0,
        "too-wet": 3.0,
        "cured-short": 2.0,
    },
    "dust": {
        "worked-early": 8.0,
        "froze": 8.0,
        "rained-on": 6.0,
        "cured-short": 5.0,
        "dried-fast": 5.0,
        "too-wet": 5.0,
        "raw-wood": 4.0,
        "first-night": 3.0,
        "cold-hours": 3.0,
    },
    "peel": {
        "coat-damp": 10.0,
        "coat-dew": 8.0,
        "coat-cold": 6.0,
        "coat-late": 6.0,
        "coat-rain": 4.0,
        "froze": 3.0,
        "worked-early": 2.0,
    },
    "blush": {
        "coat-dew": 10.0,
        "coat-cold": 6.0,
        "coat-damp": 6.0,
        "coat-rain": 6.0,
        "coat-soon": 4.0,
    },
    "other": {},
}
