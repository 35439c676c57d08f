"""Strength asked for so that bending stays 1.5 under cracking."""

from models.concrete import strength
from models.facts.handling import DYNAMIC_FACTOR
from models.piece import handling
from tests.published.register.check import Check

MPA_PER_PSI = 0.006894757
FACTORS = (
    "7.5 sqrt(psi) over 1.5 on the page; arithmetic on them with our own 1.5 for the jerk;"
    " 0.62 MPa is a rounded 7.5 psi"
)
STRIPS = {  # thickness mm: MPa to hold a strip of 1.2, 1.5, 1.8, 2.4 m by its ends
    35.0: (6.9, 16.8, 34.9, 110.2),
    40.0: (5.3, 12.9, 26.7, 84.3),
    50.0: (3.4, 8.2, 17.1, 54.0),
    60.0: (2.3, 5.7, 11.9, 37.5),
}
SPANS_MM = (1200.0, 1500.0, 1800.0, 2400.0)
LIMITS_PSI = {1000.0: 158.0, 2000.0: 224.0, 3000.0: 274.0, 3500.0: 296.0}


def _strip(thickness_mm: float, span_mm: float, needed: float) -> Check:
    def ours() -> float:
        return handling.strength_needed_MPa(
            DYNAMIC_FACTOR * handling.bending_stress_MPa(span_mm, thickness_mm, 2400.0)
        )

    return Check(
        "PCI_HANDLING",
        f"strength to lift {span_mm:g} mm of {thickness_mm:g} mm by its ends",
        "MPa",
        needed,
        ours,
        f"{0.05 + 0.01 * needed:.3f}",  # half a unit of the last digit, and 0.62 for 0.6228
        "mathematics",
        FACTORS,
    )


def _limit(psi: float, limit_psi: float) -> Check:
    return Check(
        "PCI_HANDLING",
        f"strength at which {limit_psi:g} psi of bending is allowed",
        "psi",
        psi,
        lambda: handling.strength_needed_MPa(limit_psi * MPA_PER_PSI) / MPA_PER_PSI,
        "2 %",
        "mathematics",
        FACTORS,
    )


def _rupture(psi: float) -> Check:
    return Check(
        "ACI_318",
        f"modulus of rupture at {psi:g} psi",
        "psi",
        7.5 * psi**0.5,
        lambda: float(strength.flexural(psi * MPA_PER_PSI)) / MPA_PER_PSI,
        "0.5 %",
        "mathematics",
        "7.5 sqrt(psi), worked out",
    )


CHECKS = (
    *(
        _strip(thickness, span, needed)
        for thickness, row in STRIPS.items()
        for span, needed in zip(SPANS_MM, row, strict=True)
    ),
    *(_limit(*row) for row in LIMITS_PSI.items()),
    *(_rupture(psi) for psi in (1000.0, 3000.0, 5000.0)),
)
