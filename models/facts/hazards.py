"""The one thing about a step, and about the product that goes on in it, that hurts people. Rows only.

`phrases` are those of the UN's GHS that the sheet of such a product usually carries, from memory:
the sheet of the product itself goes first.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Hazard:
    """phrases : hazard (H, EUH) and precautionary (P) statements of the GHS, by their number"""

    phrases: tuple[str, ...]
    sources: tuple[str, ...]


HAZARDS: dict[str, Hazard] = {
    "wet-cement": Hazard(
        ("H315", "H317", "H318", "P280", "P303+P361+P353", "P305+P351+P338"),
        ("HSE_CIS26", "PRECAST_CEMENT_BURNS", "UN_GHS"),
    ),
    "silica": Hazard(("H372", "P260", "P284"), ("OSHA_SILICA", "HSE_CIS26", "UN_GHS")),
    "wet-mains": Hazard((), ("HSE_RCD", "OSHA_SILICA")),
    "on-edge": Hazard((), ("HSE_L23", "NIOSH_94_110", "COMMON_PRACTICE")),
    "solvent": Hazard(("H225", "H336", "P210", "P271"), ("UN_GHS",)),
    "isocyanate": Hazard(
        ("H334", "H317", "EUH204", "P284", "P304+P340"), ("HSE_ISOCYANATES", "UN_GHS")
    ),
    "hardener": Hazard(("H314", "H317", "P280", "P302+P352"), ("UN_GHS",)),
    "acid": Hazard(("H290", "H314", "P280", "P305+P351+P338"), ("UFC_3_190_06", "UN_GHS")),
    "alkali": Hazard(("H315", "H318", "P280", "P305+P351+P338"), ("UN_GHS",)),
}
OF_STEP = {
    "finish": "wet-cement",
    "cover": "wet-cement",
    "knock-out": "wet-cement",
    "core": "wet-cement",
    "strip": "wet-cement",
    "patch": "wet-cement",
    "turn": "on-edge",
    "load": "on-edge",
    "install": "on-edge",
    "sand": "silica",
    "hone": "wet-mains",
}
# of a coat; of a chemistry that stands not here what is said of all coats is kept
OF_CHEMISTRY = {
    "solvent-acrylic": "solvent",
    "silane-siloxane": "solvent",
    "wax": "solvent",
    "two-part-urethane": "isocyanate",
    "epoxy": "hardener",
    "acid-stain": "acid",
    "densifier": "alkali",
}
MILD = ("water-based-acrylic",)  # neither solvent nor hardener: its sheet alone
GENERAL = ("gloves", "dust", "coat_solvents")  # cautions that a hazard of its own stands for
