"""The diffusion law: its values, and days until a section is dry at the depth of the test."""

from models.concrete import moisture_laws
from models.facts import moisture as facts
from tests.published.register.check import Check
from tests.support.sections import days_to

LAW = "law solved with 400 and 1600 cells; D1 28.8 mm2/d, 0.05, 0.80, n 15; air of 50 %"
HUMIDITY = (0.90, 0.85, 0.80, 0.75)
DAYS = (  # section mm, open faces, days to those humidities, printed to two digits
    (35.0, 2, (1.6, 3.9, 9.3, 19.0)),
    (50.0, 2, (3.2, 8.0, 19.0, 39.0)),
    (60.0, 2, (4.6, 11.5, 27.0, 56.0)),
    (50.0, 1, (13.0, 32.0, 76.0, 155.0)),
    (100.0, 2, (13.0, 32.0, 76.0, 155.0)),
)
DIFFUSIVITY = ((1.00, 28.8), (0.80, 15.12), (0.75, 2.370), (0.60, 1.441))
TIME_RATIO = {10.0: 1.30, 25.0: 0.80, 30.0: 0.69}  # air C: drying time over that at 18 C


def _days(section_mm: float, faces: int, target_rh: float, days: float) -> Check:
    return Check(
        "BAZANT_NAJJAR_1972",
        f"{section_mm:g} mm, {faces} open face{'s' if faces > 1 else ''}, to {target_rh:.0%}",
        "d",
        days,
        lambda: days_to(section_mm, target_rh, faces),
        "4 %",
        "mathematics",
        LAW,
    )


def _ratio(air_C: float, ratio: float) -> Check:
    def ours() -> float:
        slow = days_to(50.0, 0.85, air_C=air_C)
        return slow / days_to(50.0, 0.85, air_C=18.0)

    return Check(
        "BAZANT_NAJJAR_1972",
        f"drying time at {air_C:g} over that at 18 degC",
        "-",
        ratio,
        ours,
        "0.01",
        "mathematics",
        "arithmetic on the printed 2700 K",
    )


def _diffusivity(rh: float, mm2_d: float) -> Check:
    def ours() -> float:
        return float(
            moisture_laws.diffusivity_at_saturation(30.0)
            * moisture_laws.diffusivity_fraction((1 - rh) / (1 - facts.HC))
        )

    return Check(
        "BAZANT_NAJJAR_1972",
        f"diffusivity at {rh:.2f}, fck 30",
        "mm2/d",
        mm2_d,
        ours,
        "0.1 %",
        "from memory",
        "1e-8 / fck m2/s, 0.05, 0.80, n 15; about 30 mm2/d in a public manual",
    )


CHECKS = (
    *(_diffusivity(*row) for row in DIFFUSIVITY),
    *(
        _days(section, faces, target, days)
        for section, faces, row in DAYS
        for target, days in zip(HUMIDITY, row, strict=True)
    ),
    *(_ratio(*row) for row in TIME_RATIO.items()),
)
