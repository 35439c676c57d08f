"""Temperature of a fresh mix from its parts."""

from models.concrete import setting
from tests.published.register.check import Check

FORMULA = "arithmetic on the printed formula, 0.22 for the dry parts"
ICE = "arithmetic, 79.7 kelvins of water for ice (CRD-C 307, 143.5 Btu/lb)"
BAGS = (  # dry kg, dry C, water kg, water C, ice kg, mix C
    (27.2, 5.0, 3.0, 60.0, 0.0, 23.4),
    (27.2, 5.0, 3.0, 40.0, 0.0, 16.7),
    (36.3, 32.0, 3.5, 25.0, 0.0, 29.9),
    (36.3, 32.0, 3.5, 5.0, 0.0, 23.8),
    (36.3, 32.0, 2.0, 25.0, 1.5, 16.2),
)


def _hot_batch() -> float:
    solids = 2000.0 + 375.0
    return setting.mix_temperature(
        dry_kg=solids, dry_C=(2000.0 * 41.0 + 375.0 * 46.2) / solids, water_kg=180.0, water_C=35.0
    )


def _bag(
    dry_kg: float, dry_C: float, water_kg: float, water_C: float, ice_kg: float, mix_C: float
) -> Check:
    ice = f", ice {ice_kg:g} kg" if ice_kg else ""
    return Check(
        "ACI_305R",
        f"mix of {dry_kg:g} kg dry at {dry_C:g}, water {water_kg:g} kg at {water_C:g} degC{ice}",
        "degC",
        mix_C,
        lambda: setting.mix_temperature(
            dry_kg=dry_kg, dry_C=dry_C, water_kg=water_kg, water_C=water_C, ice_kg=ice_kg
        ),
        "0.1",
        "mathematics",
        ICE if ice_kg else FORMULA,
    )


CHECKS = (
    Check(
        "ACI_305R",
        "batch with aggregate 2000 kg at 41, cement 375 at 46.2, water 180 at 35",
        "degC",
        40.1,
        _hot_batch,
        "0.05",
        "page",
        "worked example, scribd.com/document/614184084",
    ),
    *(_bag(*row) for row in BAGS),
    Check(
        "ACI_305R",
        "water for a mix of 20 degC from 27.2 kg dry at 5 degC",
        "degC",
        49.9,
        lambda: setting.water_temperature_for(wanted_C=20.0, dry_kg=27.2, dry_C=5.0, water_kg=3.0),
        "0.1",
        "mathematics",
        FORMULA,
    ),
)
