"""Water taken up by a dry face: sorptivity by water/cement ratio, and the root of time."""

import numpy as np

from models.concrete import moisture, moisture_laws
from tests.published.register.check import Check
from tests.support import sections

SORPTIVITY = {0.4: 0.09, 0.6: 0.17}  # mm/min^0.5


def soaked_kg_m2(
    water_cement: float, hours: int, rh: float = 0.60, thick_mm: float = 150.0
) -> float:
    """What the program lets a slab of one humidity take up with water standing on it [kg/m2]."""
    shut = np.full((hours, 1), np.nan)
    wet = np.full((hours, 1), 1e3)
    around = moisture.Conditions(
        shut, shut, np.full((hours, 1), 20.0), np.zeros((hours + 1, 1)), wet
    )
    law = sections.printed_law(30.0)
    law = moisture.Law(
        law.D1_mm2_d,
        law.alpha,
        law.hc,
        law.Q_R_K,
        law.surface_mm,
        law.sorption_factor,
        sorptivity=np.atleast_1d(moisture_laws.sorptivity(water_cement)),
    )
    dried = moisture.drying(thick_mm, law, around, start_rh=rh)
    return float(dried.soaked_kg_m2[-1, 0])


CHECKS = (
    *(
        Check(
            "NEVILLE_1996",
            f"sorptivity at w/c {ratio:g}",
            "mm/min^0.5",
            printed,
            lambda ratio=ratio: float(moisture_laws.sorptivity(ratio)),  # type: ignore[misc]
            "0.005",
            "page",
            "typical values, quoted from section 10",
        )
        for ratio, printed in SORPTIVITY.items()
    ),
    *(
        Check(
            "NEVILLE_1996",
            f"water taken up in 3 h at w/c {ratio:g}",
            "kg/m2",
            round(printed * 180.0**0.5, 2),
            lambda ratio=ratio: soaked_kg_m2(ratio, 3),  # type: ignore[misc]
            "12 %",
            "mathematics",
            "sorptivity times the root of 180 min",
        )
        for ratio, printed in SORPTIVITY.items()
    ),
)
