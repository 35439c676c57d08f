"""Moisture by mass of a concrete against its pore humidity."""

from models.concrete import moisture_laws
from tests.published.register.check import Check

FIGURE = (
    (60, 3.8),
    (65, 4.0),
    (70, 4.2),
    (75, 4.4),
    (80, 4.6),
    (85, 4.9),
    (90, 5.4),
    (95, 6.0),
    (100, 7.0),
)
CHECKS = tuple(
    Check(
        "BRANZ_SORPTION",
        f"moisture by mass at {rh} % pore humidity",
        "%",
        pct,
        lambda rh=rh: float(moisture_laws.moisture_pct(rh / 100)),  # type: ignore[misc]
        "0.05",
        "page",
        "figure of one concrete: a shape, not a law",
    )
    for rh, pct in FIGURE
)
