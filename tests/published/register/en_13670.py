"""Least curing days by surface temperature and strength development."""

from collections.abc import Callable

from models.facts.curing import EN_MEDIUM_DAYS
from models.steps import cure
from tests.published.register.check import Check

GERMAN = "DIN 1045-3 table, betontechnische-daten.de 10-7-3"
MEDIUM = "tables F.1 to F.3, medium development, as in TKP 18"
FLOORS_C = (25.0, 15.0, 10.0, 5.0)
BY_R = {  # surface C: days at r 0.50, 0.30, 0.15, under 0.15
    25.0: (1.0, 2.0, 2.0, 3.0),
    15.0: (1.0, 2.0, 4.0, 5.0),
    10.0: (2.0, 4.0, 7.0, 10.0),
    5.0: (3.0, 6.0, 10.0, 15.0),
}
BY_CLASS = {  # curing class: days at the four floors
    2: (1.5, 2.5, 4.0, 5.0),
    3: (2.5, 4.0, 7.0, 9.0),
    4: (5.0, 9.0, 13.0, 18.0),
}
GERMAN_CASES = (  # surface C, r, days
    (18.0, 0.40, 2.0),
    (12.0, 0.20, 7.0),
    (7.0, 0.10, 15.0),
    (27.0, 0.60, 1.0),
    (7.0, 0.20, 10.0),
)
MEDIUM_CASES = ((3, 18.0, 4.0), (4, 12.0, 13.0), (2, 7.0, 5.0))  # class, surface C, days


def din_days(surface_C: float, r: float) -> float:
    return float(cure.curing_days(surface_C, cure.din_column(r)))


def medium_days(surface_C: float, curing_class: int) -> float:
    return float(cure.curing_days(surface_C, EN_MEDIUM_DAYS[curing_class]))


def _days(quantity: str, days: float, ours: Callable[[], float], where: str) -> Check:
    return Check("EN_13670", quantity, "d", days, ours, "exact", "page", where)


def _german(surface_C: float, r: float, days: float) -> Check:
    name = f"curing at {surface_C:g} degC, r {r:g}"
    return _days(name, days, lambda: din_days(surface_C, r), GERMAN)


def _medium(curing_class: int, surface_C: float, days: float) -> Check:
    name = f"curing at {surface_C:g} degC, class {curing_class}, medium"
    return _days(name, days, lambda: medium_days(surface_C, curing_class), MEDIUM)


CHECKS = (
    *(_german(*case) for case in GERMAN_CASES),
    *(
        _german(surface, r, days)
        for surface, row in BY_R.items()
        for r, days in zip((0.50, 0.30, 0.15, 0.149), row, strict=True)
    ),
    *(_medium(*case) for case in MEDIUM_CASES),
    *(
        _medium(curing_class, surface, days)
        for curing_class, row in BY_CLASS.items()
        for surface, days in zip(FLOORS_C, row, strict=True)
    ),
)
