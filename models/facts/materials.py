"""Thermal properties: concrete and the boards of a mould. Rows only; W/mK, kg/m3, J/kgK."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Material:
    """Conductivity [W/mK], density [kg/m3], heat capacity [J/kgK]."""

    k_W_mK: float
    density_kg_m3: float
    c_J_kgK: float
    sources: tuple[str, ...]


CONCRETE = Material(2.0, 2350.0, 1000.0, ("EN_12524", "BENTZ_NISTIR_6551"))

BOARDS: dict[str, Material] = {
    # particleboard between its 600 and 900 rows
    "melamine": Material(0.15, 680.0, 1700.0, ("EN_12524",)),
    "plywood": Material(0.15, 600.0, 1600.0, ("EN_12524",)),
    "mdf": Material(0.16, 720.0, 1700.0, ("EN_12524",)),
    "foam": Material(0.033, 32.0, 1470.0, ("EN_12524",)),
    "steel": Material(50.0, 7800.0, 450.0, ("EN_12524",)),
    "film-faced plywood": Material(0.17, 700.0, 1600.0, ("EN_12524",)),
    "glass": Material(1.0, 2500.0, 750.0, ("EN_12524",)),
    "hdpe": Material(0.50, 980.0, 1800.0, ("EN_12524",)),
    "silicone": Material(0.35, 1200.0, 1000.0, ("EN_12524",)),
    "plaster": Material(0.43, 1200.0, 1000.0, ("EN_12524",)),  # of gypsum, dried
    "ground": Material(2.0, 1950.0, 1045.0, ("EN_12524",)),  # cast in place on sand and gravel
}
# of ground that takes part; below it the mean of the last days' air: OWN_JUDGEMENT
GROUND_DEPTH_MM = 300.0
SIDE_FORM_M2K_W = 0.15  # 22 mm of plywood round a piece cast on the ground (EN_12524)

# ASHRAE_NIGHT_SKY list, new grey concrete. Light: of white cement, 1 less 0.77, the most reflective
# of 32 mixes, and 0.08 of youth and some dirt (LEVINSON_AKBARI_2001). Dark: pigmented, between the
# 0.70 of the darkest mixes without pigment (MARCEAU_VANGEEM_2007) and black, OWN_JUDGEMENT
ABSORPTANCE = {"light": 0.40, "grey": 0.65, "dark": 0.85}
DAY_DEPTH_M = 0.15  # of a thick piece that follows the day, sqrt(2 a / w) of concrete (CRANK_1975)
EMISSIVITY = 0.90

# where two boards meet as much heat leaves as through so much more width, in thicknesses
EDGE_OF_WALLS = 0.54  # INCROPERA_TABLE_4_1
# share of a corner's excess that such an edge of bare boards takes, in k_board / k ln(1 + reach /
# board), by solves in three dimensions
EDGE_DIP = 0.45  # OWN_JUDGEMENT
