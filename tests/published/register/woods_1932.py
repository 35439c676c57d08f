"""Heat of cements measured at 180 days beside that of their four phases."""

from models.concrete import composition
from tests.published.register.check import Check

CAL_J = 4.184
# C3A, C3S, C4AF, C2S % of the cement, heat at 180 days in cal/g
CEMENTS = (
    (7, 26, 6, 60, 78.5),
    (1, 29, 15, 52, 74.3),
    (11, 56, 8, 20, 104.3),
    (11, 31, 8, 47, 87.6),
    (7, 52, 6, 33, 95.9),
    (11, 55, 9, 22, 109.2),
    (3, 71, 17, 6, 102.7),
    (1, 31, 22, 44, 72.5),
    (2, 54, 18, 22, 93.1),
    (21, 47, 4, 26, 115.9),
    (1, 40, 23, 34, 83.8),
    (11, 66, 9, 12, 113.3),
    (10, 68, 8, 12, 109.4),
)
MEAN_RATIO, SD_RATIO = 0.919, 0.043
PHASES = ("C3A_pct", "C3S_pct", "C4AF_pct", "C2S_pct")


def ratios() -> list[float]:
    """Measured heat over that of the phases, dimensionless."""
    return [
        CAL_J * heat / composition.heat_of(dict(zip(PHASES, phases, strict=True)))
        for *phases, heat in CEMENTS
    ]


CHECKS = (
    Check(
        "WOODS_1932",
        "heat at 180 days over the heat of the phases, mean of 13 cements",
        "-",
        MEAN_RATIO,
        lambda: sum(ratios()) / len(CEMENTS),
        "0.001",
        "open data",
        "500, 260, 866, 420 J/g of C3S, C2S, C3A, C4AF; 4.184 J a cal",
    ),
)
