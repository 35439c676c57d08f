"""Least curing days by surface temperature, at medium strength development."""

from models.facts.curing import EN_MEDIUM_DAYS
from models.steps import cure
from tests.published.register.check import Check

MEDIUM = "tables F.1 to F.3, as the test notes of one bridge give them after TKP 18"
FLOORS_C = (25.0, 15.0, 10.0, 5.0)
BY_CLASS = {  # curing class: days at the four floors
    2: (1.5, 2.5, 4.0, 5.0),
    3: (2.5, 4.0, 7.0, 9.0),
    4: (5.0, 9.0, 13.0, 18.0),
}
CASES = ((3, 18.0, 4.0), (4, 12.0, 13.0), (2, 7.0, 5.0))  # class, surface C, days


def medium_days(surface_C: float, curing_class: int) -> float:
    return float(cure.curing_days(surface_C, EN_MEDIUM_DAYS[curing_class]))


def _medium(curing_class: int, surface_C: float, days: float) -> Check:
    return Check(
        "EN_13670",
        f"curing at {surface_C:g} degC, class {curing_class}, medium",
        "d",
        days,
        lambda: medium_days(surface_C, curing_class),
        "exact",
        "second-hand",
        MEDIUM,
    )


CHECKS = (
    *(_medium(*case) for case in CASES),
    *(
        _medium(curing_class, surface, days)
        for curing_class, row in BY_CLASS.items()
        for surface, days in zip(FLOORS_C, row, strict=True)
    ),
)
