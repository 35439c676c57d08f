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

# fires one after the other: minutes of burning, hottest face [degC]. The temperatures are those of
# masonry ovens, COMMON_PRACTICE (50 degC a day); the minutes from memory, the first a try alone
FIRE_STAGES: tuple[tuple[float, float], ...] = (
    (10.0, 60.0),
    (30.0, 100.0),
    (60.0, 150.0),
    (120.0, 200.0),
    (240.0, 250.0),
)
FIRE_APART_H = 24.0  # COMMON_PRACTICE: one a day, cool between

FIRE_ADVICE = (
    "small_fires",
    "fire_trade_disagrees",
    "no_film_by_fire",
    "moist_spalls",
    "gas_rules",
)
