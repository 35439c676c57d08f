"""What a mould is made of: how stiff and strong it is, what it does to the face. Rows only."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Board:
    """Stiffness and strength of a board in bending, and what it does to the face.

    E_MPa : mean [MPa], its weaker direction where it has two; E_cv : scatter from board to board
    strength_MPa : of bending [MPa], which 19 of 20 boards have; strength_cv : scatter
    creep : of a load that stays for good, over the first bow; wet : share of the stiffness left where
        the mix wets it; absorbs : none | much; agent : the release agent that fits it
    sheet : whether it is a board that stands by itself
    """

    E_MPa: float
    E_cv: float
    strength_MPa: float
    strength_cv: float
    creep: float
    wet: float
    absorbs: str
    agent: str
    sheet: bool
    sources: tuple[str, ...]


# particleboard as sold for furniture: EN 312 P2 has 1600 MPa and 11 MPa at least, ANSI A208.1 M-2 2250
# and 14.5; a mean between the two. Creep: EN 1995-1-1 table 3.2. The scatter and what is lost where an
# edge drinks are OWN_JUDGEMENT. Weak way of plywood of 600 to 700 kg/m3: 3000 to 6000 MPa
BENDING: dict[str, Board] = {
    "melamine": Board(
        1900.0, 0.12, 11.0, 0.15, 2.25, 0.85, "none", "wax", True, ("EN_312", "EN_1995_1_1")
    ),
    "plywood": Board(
        5000.0, 0.15, 20.0, 0.20, 1.0, 0.80, "much", "oil", True, ("EN_636", "EN_1995_1_1")
    ),
    "film-faced plywood": Board(
        5500.0, 0.15, 22.0, 0.20, 0.8, 0.95, "none", "oil", True, ("EN_636", "EN_1995_1_1")
    ),
    "mdf": Board(
        2500.0, 0.10, 20.0, 0.10, 2.25, 0.75, "much", "wax", True, ("EN_622_5", "EN_1995_1_1")
    ),
    "steel": Board(210e3, 0.02, 235.0, 0.05, 0.0, 1.0, "none", "oil", True, ("EN_1993_1_1",)),
    "glass": Board(70e3, 0.02, 20.0, 0.20, 0.0, 1.0, "none", "wax", True, ("EN_572_1",)),
    "hdpe": Board(700.0, 0.15, 20.0, 0.10, 2.0, 1.0, "none", "none", True, ("POLYMERS_TABLE",)),
    "foam": Board(10.0, 0.25, 0.15, 0.20, 1.0, 1.0, "none", "none", False, ("OWN_JUDGEMENT",)),
    "silicone": Board(2.0, 0.25, 1.0, 0.20, 0.1, 1.0, "none", "none", False, ("OWN_JUDGEMENT",)),
    "plaster": Board(3000.0, 0.25, 2.0, 0.25, 0.5, 0.6, "much", "soap", False, ("OWN_JUDGEMENT",)),
}
# creep grows with the time to this power; for good is ten years: OWN_JUDGEMENT
CREEP_POWER, FOR_GOOD_H = (0.20, 0.33), 87600.0
THICKNESS_SD_MM = 0.15  # of a board's thickness, half of the 0.3 mm that EN_312 allows: from memory
BOARD_POISSON = 0.3  # WOOD_HANDBOOK, from memory
# specific gravity for a screw of a density in a heated shop, less its water: OWN_JUDGEMENT
OVEN_DRY = 0.93
