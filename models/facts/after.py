"""Patches, the first winter and the first fires: times and limits. Rows only."""

# UFGS_03700: slurry kept moist 72 h, 5 degC or more from 24 h before to 72 h after it;
# COMMON_PRACTICE: sanded after 12 to 24 h. Hours at 20 degC.
PATCH_SAND_H = 16.0
PATCH_COAT_H = 72.0
PATCH_LEAST_C = 5.0

# ACI_201_DEICING: six weeks over 4 degC
SALT_FREE_D = 42.0
SALT_COUNTS_C = 4.0

FIRE_AGE_D = 28.0  # COMMON_PRACTICE, bracketed by spalling advice

# COMMON_PRACTICE (masonry ovens): one small fire a day, hottest face [degC] and hours it is kept
FIRST_FIRES: tuple[tuple[float, float], ...] = (
    (60.0, 4.0),
    (100.0, 4.0),
    (150.0, 4.0),
    (200.0, 4.0),
    (250.0, 4.0),
)
FIRE_ADVICE = (
    "One small fire a day, cooling between, the hottest face at "
    + ", ".join(f"{face:g}" for face, _ in FIRST_FIRES)
    + " C, about 4 h each; stop while it steams. Portland is no castable: not over 250 C.",
    "The trade disagrees: about 30 days and then low fires, or 2 days and then five very low fires;"
    " 3 % of moisture (EN 1992-1-2) or 3 to 4 % (Danish report). The later and drier one is used.",
    "No film sealer on faces that pass 60 to 80 C.",
    "Moist concrete near a flame can spall: dry it, then heat it slowly.",
    "Gas, burners, clearances and vents: the appliance maker, local code and a licensed installer"
    " decide; where they differ from this, they are right.",
)
