"""Cold-weather temperatures by section, and how fast a section may cool."""

from models.steps import place, protect
from tests.published.register.check import Check

TABLE = "table 5.1; converted by 5/9, the metric edition rounds"
THIN_MM, NEXT_MM = 300.0, 900.0  # the columns that were seen; thicker ones are from memory
AS_PLACED_F = {50.0: 55.0, 299.0: 55.0, 300.0: 50.0, 900.0: 45.0}
AS_MIXED_F = {  # (section mm, air C): degF
    (50.0, 3.0): 60.0,
    (50.0, -1.1): 65.0,
    (50.0, -10.0): 65.0,
    (50.0, -18.1): 70.0,
    (400.0, 3.0): 55.0,
    (400.0, -10.0): 60.0,
    (400.0, -25.0): 65.0,
}
DROP_F = {50.0: 50.0, 299.9: 50.0, 300.0: 40.0, 1000.0: 30.0}


def _celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) * 5 / 9


def _placed(section_mm: float, degF: float) -> Check:
    return Check(
        "ACI_306R",
        f"least as placed, section {section_mm:g} mm, {degF:g} F",
        "degC",
        _celsius(degF),
        lambda: place.as_placed_C(section_mm),
        "0.5",
        "page" if section_mm < NEXT_MM else "from memory",
        TABLE,
    )


def _mixed(section_mm: float, air_C: float, degF: float) -> Check:
    return Check(
        "ACI_306R",
        f"least as mixed, section {section_mm:g} mm, air {air_C:g} degC, {degF:g} F",
        "degC",
        _celsius(degF),
        lambda: place.as_mixed_C(section_mm, air_C),
        "0.5",
        "page" if section_mm < THIN_MM or air_C > -1.0 else "from memory",
        TABLE,
    )


def _drop(section_mm: float, degF: float) -> Check:
    return Check(
        "ACI_306R",
        f"largest drop in 24 h, section {section_mm:g} mm, {degF:g} F",
        "K",
        degF * 5 / 9,
        lambda: protect.cooling_limit_K(section_mm),
        "0.5",
        "page" if section_mm < NEXT_MM else "from memory",
        TABLE,
    )


CHECKS = (
    *(_placed(*row) for row in AS_PLACED_F.items()),
    *(_mixed(*state, degF) for state, degF in AS_MIXED_F.items()),
    *(_drop(*row) for row in DROP_F.items()),
)
