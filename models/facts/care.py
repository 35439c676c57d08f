"""What an owner is told about a piece, by chemistry of its sealer. Rows only.

Common practice from memory unless a row's sources say more; the product's own sheet overrides all.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Care:
    """Words for the owner; hours until rain may fall on it."""

    does: str
    cleaning: str
    avoid: str
    heat: str
    water: str
    rain_after_h: float  # after the last coat
    reseal: str
    sources: tuple[str, ...]


_MILD = "Wipe with water and a little neutral soap, then dry."
_ACIDS = "No vinegar, lemon, bathroom or oven cleaner, no bleach, no scouring pad."
_FILM_HEAT = "Put a trivet under everything hot: the film softens and marks."
_FILM_WATER = (
    "Wipe puddles off the same day; water that stands under a pot can turn the film white."
)

CARE: dict[str, Care] = {
    "water-based-acrylic": Care(
        "A thin clear film. It sheds water and slows stains; it scratches and can be renewed.",
        _MILD,
        _ACIDS + " No solvent.",
        _FILM_HEAT,
        _FILM_WATER,
        48.0,
        "Clean, dry and dull it with a fine pad, then one or two thin coats of the same kind.",
        ("TYPICAL_SHEET", "COMMON_PRACTICE"),
    ),
    "solvent-acrylic": Care(
        "A thin glossy film that deepens the colour. It sheds water; solvents dissolve it.",
        _MILD,
        _ACIDS + " No solvent, no fuel.",
        _FILM_HEAT,
        _FILM_WATER,
        48.0,
        "Clean and dry it, then one thin coat of the same kind, outdoors or well aired.",
        ("TYPICAL_SHEET", "COMMON_PRACTICE"),
    ),
    "silane-siloxane": Care(
        "It has soaked in and leaves no film. Water beads; oil, wine and acid can still stain.",
        _MILD + " Take up oil and wine at once.",
        _ACIDS,
        "Warm pots do no harm to the sealer; a sudden hot spot can still crack the concrete.",
        "Rain may dry off by itself; do not leave a puddle for days.",
        24.0,
        "When drops no longer bead: clean, let it dry for two days, soak it again.",
        ("TYPICAL_SHEET", "COMMON_PRACTICE"),
    ),
    "two-part-urethane": Care(
        "A hard thin film that resists stains and most scratches. It cannot be dissolved again.",
        _MILD,
        _ACIDS + " No cutting on it.",
        "Put a trivet under everything hot: a mark in this film cannot be polished out.",
        _FILM_WATER,
        72.0,
        "Dull the whole face with fine paper first, or the new coat peels.",
        ("TYPICAL_SHEET", "COMMON_PRACTICE"),
    ),
    "epoxy": Care(
        "A thick hard film that resists stains. Sun makes it yellow.",
        _MILD,
        _ACIDS + " No cutting on it; keep it out of the sun.",
        "Put a trivet under everything hot: the film softens well under the heat of a pan.",
        _FILM_WATER,
        72.0,
        "Dull the whole face with fine paper first, or the new coat peels.",
        ("TYPICAL_SHEET", "COMMON_PRACTICE"),
    ),
    "densifier": Care(
        "It has hardened the surface from inside and leaves no film. Everything can still stain.",
        _MILD + " Take up oil, wine and fruit at once.",
        _ACIDS,
        "Warm pots do no harm; a sudden hot spot can still crack the concrete.",
        "Water darkens it and dries off again; do not leave a puddle for days.",
        24.0,
        "Hardening lasts. Against stains it needs a repellent or a wax on top.",
        ("TYPICAL_SHEET", "COMMON_PRACTICE"),
    ),
    "wax": Care(
        "A soft thin layer on top. It sheds water for a while and wears off where it is used.",
        "Wipe with a damp cloth and little soap, then dry and buff.",
        _ACIDS + " No hot water.",
        "Keep everything warm off it: wax melts at the heat of a cup.",
        "Wipe water off at once.",
        48.0,
        "Clean, dry, rub in a little new wax, buff after an hour.",
        ("TYPICAL_SHEET", "COMMON_PRACTICE"),
    ),
}

DEICING = (
    "No de-icing salt in its first winter, and never one with ammonium: use sand."
    " Later, rinse salt off."
)
RESEAL_SEASON = (
    "Look once a year, in a dry mild spell at the end of summer: put a spoon of water on it. If it"
    " soaks in within a minute or darkens within five, it is time."
)
FROST = "Tip water out before frost; ice in a hollow or under a foot splits pieces."
LIFTING = "Lift it, never drag it; carry it on edge, with enough people and nobody beneath."
CRACKS = "Hairlines and a change of colour over the first year are the nature of concrete."
DUST = (
    "Sanding, cutting or drilling it later raises silica dust, which harms lungs for good:"
    " work wet or with extraction, and wear a fitted mask."
)
FIRE = (
    "By a fire: let it dry first, then several small slow fires, longer and hotter each time, cool"
    " in between. Moist concrete near a flame can spall. Advice on how many fires differs from two"
    " to seven; when it steams or ticks, stop.",
    "No flame against the concrete. Distances, vents, gas and flue are as the maker of the"
    " appliance says, under local code; a licensed installer decides.",
    "Keep film sealers off faces that get hotter than about 60 °C (140 °F): they soften and smell.",
)
HOT_PANS_AFTER_H = 168.0  # TYPICAL_SHEET, from memory: heat and cleaners after the film is through
