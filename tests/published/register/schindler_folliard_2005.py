"""Heat parameters of four US cements by the regressions, worked apart from the program."""

from models.concrete import composition
from models.concrete.composition import Composition
from tests.published.register.check import Check

CEMENTS = {  # by type a sheet; heat J/g, tau h at 21.1 degC, beta, energy kJ/mol
    "I": (Composition(54, 18, 10, 8, 3.0, 1, 2, 369), (485.0, 15.0, 0.67, 46.6)),
    "II": (Composition(55, 19, 6, 11, 2.7, 1, 2, 377), (468.0, 17.2, 0.59, 43.6)),
    "III": (Composition(55, 17, 9, 8, 3.5, 1, 2, 548), (481.0, 9.8, 0.59, 51.9)),
    "V": (Composition(54, 22, 4, 13, 2.3, 1, 2, 373), (460.0, 21.0, 0.51, 40.1)),
}
WHERE = "regressions; survey composition with free CaO 1 %, MgO 2 % assumed"


def _rows(kind: str, sheet: Composition, values: tuple[float, float, float, float]) -> list[Check]:
    heat, tau_h, beta, energy = values
    return [
        Check(
            "SCHINDLER_FOLLIARD_2005",
            f"total heat, type {kind}",
            "J/g",
            heat,
            lambda: composition.total_heat(sheet),
            "0.6",
            "from memory",
            WHERE,
        ),
        Check(
            "SCHINDLER_FOLLIARD_2005",
            f"tau at 21.1 degC, type {kind}",
            "h",
            tau_h,
            lambda: composition.time_constant(sheet, 0.0),
            "0.06",
            "from memory",
            WHERE + "; asked with no activation energy, so that it stays at 21.1 degC",
        ),
        Check(
            "SCHINDLER_FOLLIARD_2005",
            f"beta, type {kind}",
            "-",
            beta,
            lambda: composition.slope(sheet),
            "0.006",
            "from memory",
            WHERE,
        ),
        Check(
            "SCHINDLER_FOLLIARD_2005",
            f"activation energy, type {kind}",
            "kJ/mol",
            energy,
            lambda: composition.activation_energy(sheet) or 0.0,
            "0.06",
            "from memory",
            WHERE,
        ),
    ]


CHECKS = tuple(
    check for kind, (sheet, values) in CEMENTS.items() for check in _rows(kind, sheet, values)
)
