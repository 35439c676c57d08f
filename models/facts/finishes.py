"""What may lie on what: families of products, and the orders that never hold. Rows only."""

# by what they do to the face, COMMON_PRACTICE
FAMILIES: dict[str, str] = {
    "densifier": "densifier",
    "stain": "stain",
    "acid-stain": "stain",
    "silane-siloxane": "penetrating",
    "water-based-acrylic": "film",
    "solvent-acrylic": "film",
    "two-part-urethane": "film",
    "epoxy": "film",
    "wax": "wax",
    "polish": "wax",
}
# (what goes on, what lies there): the key of the source.
# UFC_3_190_06: wax, oil and grease part a coating from its ground. UFGS_07190: a repellent goes on
# bare concrete, since a film or a filled pore keeps it out. COMMON_PRACTICE: a stain colours what is
# open, and salts of a densifier or a repellent close it
NEVER_ON: dict[tuple[str, str], str] = {
    ("film", "wax"): "UFC_3_190_06",
    ("penetrating", "film"): "UFGS_07190",
    ("penetrating", "wax"): "UFGS_07190",
    ("densifier", "film"): "UFGS_07190",
    ("densifier", "penetrating"): "COMMON_PRACTICE",
    ("densifier", "wax"): "UFGS_07190",
    ("stain", "densifier"): "COMMON_PRACTICE",
    ("stain", "penetrating"): "COMMON_PRACTICE",
    ("stain", "film"): "COMMON_PRACTICE",
    ("stain", "wax"): "COMMON_PRACTICE",
}
MOST_PRODUCTS = 6  # OWN_JUDGEMENT
RINSED = (
    "acid-stain",
)  # COMMON_PRACTICE: washed off with water when it has worked, so that the face is wet anew
RINSE_PH = 1.0  # UFC_3_190_06 6.7.2.1: the face within one pH unit of fresh rinse water
