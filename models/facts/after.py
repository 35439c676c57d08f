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

FIRE_ADVICE = (
    "small_fires",
    "fire_trade_disagrees",
    "no_film_by_fire",
    "moist_spalls",
    "gas_rules",
)
