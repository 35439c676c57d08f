"""From when a sealed piece bears what, by chemistry of its sealer. Rows only.

Common practice from memory unless a row's sources say more; the product's own sheet overrides all.
What an owner is told beside these is in the words of care.
"""

RAIN_AFTER_H = {  # after the last coat; TYPICAL_SHEET, COMMON_PRACTICE
    "water-based-acrylic": 48.0,
    "solvent-acrylic": 48.0,
    "silane-siloxane": 24.0,
    "two-part-urethane": 72.0,
    "epoxy": 72.0,
    "densifier": 24.0,
    "wax": 48.0,
    "stain": 48.0,
    "acid-stain": 48.0,
    "polish": 48.0,
}
HOT_PANS_AFTER_H = 168.0  # TYPICAL_SHEET, from memory: heat and cleaners after the film is through

# A planter: fresh concrete stands in lime water, and roots burn in it. Advice runs from three weeks to
# two months of soaking and rinsing, so it is told as not before, with a test

PLANT_AGE_D = 28.0  # COMMON_PRACTICE
LIME_WATER_PH = 12.45  # NBS_1956_LIME: saturated calcium hydroxide at 25 degC
PLANT_PH = 8.0  # COMMON_PRACTICE: of the water that stood in it a day, for most plants
FROST_NIGHT_C = (
    0.0  # OWN_JUDGEMENT: of a usual night, in the coldest year of six: look after it before then
)
