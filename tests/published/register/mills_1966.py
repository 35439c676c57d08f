"""Ultimate degree of hydration by water-cement ratio."""

from models.concrete import hydration
from tests.published.register.check import Check


def _ultimate(water_cement: float, degree: float) -> Check:
    return Check(
        "MILLS_1966",
        f"ultimate degree of hydration, w/c {water_cement:.2f}",
        "-",
        degree,
        lambda: float(hydration.ultimate_degree(water_cement)),
        "1e-4",
        "from memory",
        "1.031 w/c / (0.194 + w/c)",
    )


CHECKS = (
    _ultimate(0.40, 0.6943),
    _ultimate(0.45, 0.7204),
    _ultimate(0.50, 0.7428),
    _ultimate(0.55, 0.7622),
)
