"""What goes into a batch: densities of its parts, doses and their limits, mesh, order. Rows only."""

from dataclasses import dataclass

# particle density [kg/m3], of sand and aggregate with their pores full of water (saturated, surface
# dry): cement 3150 as in every example of NAVY_CONCRETE; the others COMMON_PRACTICE. `bag`: what a
# dry bag of cement, sand and gravel is without its voids
DENSITY_KG_M3: dict[str, float] = {
    "cement": 3150.0,
    "bag": 2700.0,
    "sand": 2650.0,
    "aggregate": 2650.0,
    "water": 1000.0,
    "admixture": 1070.0,
    "pigment": 4500.0,
    "fibre": 910.0,
    "polymer": 1050.0,
}
PART_KINDS = tuple(DENSITY_KG_M3)
DAMPENED = ("sand", "aggregate")  # what is bought with water on it
AIR_FRACTION = 0.02  # of the fresh concrete, knocked or vibrated: COMMON_PRACTICE

# how they go into the mixer, first to last; the rest of the water follows by feel: COMMON_PRACTICE
ORDER = ("water", "aggregate", "sand", "pigment", "cement", "bag", "polymer", "admixture", "fibre")
WATER_FIRST = 0.9  # of the water before the dry parts; COMMON_PRACTICE

PIGMENT_MOST_PCT = 10.0  # of the mass of cement, all pigments together: ASTM_C979 1.4
PIGMENT_ENOUGH_PCT = 6.0  # beyond it the colour hardly deepens: COMMON_PRACTICE


@dataclass(frozen=True)
class Dose:
    """Usual least and most of a fibre [kg/m3], and what its use is."""

    least_kg_m3: float
    most_kg_m3: float
    sources: tuple[str, ...]


# fine polypropylene of 0.9 kg/m3 (CONCRETE_SOCIETY_550), less where it shall only hold the first
# hours; alkali-resistant glass that is mixed in, 2 to 3.5 % of 2000 kg/m3
FIBRES: dict[str, Dose] = {
    "polypropylene": Dose(0.6, 0.9, ("CONCRETE_SOCIETY_550",)),
    "glass": Dose(40.0, 70.0, ("COMMON_PRACTICE",)),
    "steel": Dose(15.0, 60.0, ("COMMON_PRACTICE",)),
}
FIBRE_KG_M3 = (0.1, 120.0)  # what is typed within it


@dataclass(frozen=True)
class MeshCover:
    """Concrete over steel mesh [mm]: indoors or in the dry, and outdoors."""

    dry_mm: float
    outdoors_mm: float
    sources: tuple[str, ...]


# ACI 318 20.5.1, cast in place, 5/8 in bars and thinner; EN 1992-1-1 4.4N for XC1 and XC4 of class
# S4 with the 10 mm for deviations, from memory
MESH_COVER: dict[str, MeshCover] = {
    "ACI": MeshCover(19.05, 38.1, ("ACI_318_COVER",)),
    "EN": MeshCover(25.0, 40.0, ("EN_1992_1_1",)),
}
LAP_OVER_PITCH_MM, LEAST_LAP_MM = 50.0, 150.0  # NZ_MESH_LAPS; the same as 2 in and 6 in of ACI 318

# drying shrinkage by water w [kg/m3] and strength f [MPa]: 0.019 w^2.1 f^-0.28 + 270 millionths
# (BAZANT_BAWEJA_2000, from memory)
SHRINKAGE_B3 = (0.019, 2.1, -0.28, 270.0)
# slump of a gallon of water to the cubic yard: 1 in (CC_SLUMP)
SLUMP_MM_PER_L_M3 = 25.4 / 4.951
# water that an admixture saves at the same slump, least of its type: ASTM_C494
PLASTICISER_SAVES, HIGH_RANGE_SAVES = 0.05, 0.12
# what shows beside another piece: a ratio, a warmth [K] and an age at stripping [h] apart, OWN_JUDGEMENT;
# that they show at all CC_COLOUR
COLOUR_WATER_APART, COLOUR_WARMTH_APART_K, COLOUR_STRIPPED_APART_H = 0.015, 4.0, 24.0
COLOUR_JUDGED_D = 28.0  # colour lightens as it dries: COMMON_PRACTICE
COMBINED_WATER = 0.23  # of cement that has hydrated, by mass: POWERS_BROWNYARD
ROOM_RH = 0.6  # of the air that a piece dries to indoors

# what a shop has in stock, and in which unit; what water in it makes useless once it has frozen, which
# salts and polymer put some tenths under 0: COMMON_PRACTICE
STOCKED: dict[str, str] = {
    "bag": "bags",
    "sealer": "l",
    **{kind: "kg" for kind in PART_KINDS if kind not in ("bag", "water")},
}
FREEZES, FREEZES_C = ("sealer", "polymer", "admixture"), 1.0
