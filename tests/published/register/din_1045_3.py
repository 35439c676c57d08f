"""Least curing days by surface temperature and strength development, as Germany applies them."""

from models.steps import cure
from tests.published.register.check import Check

TABLE = "table on betontechnische-daten.de/de/10-7-3-nachbehandlungsdauer"
BY_R = {  # surface C: days at r 0.50, 0.30, 0.15, under 0.15
    25.0: (1.0, 2.0, 2.0, 3.0),
    15.0: (1.0, 2.0, 4.0, 5.0),
    10.0: (2.0, 4.0, 7.0, 10.0),
    5.0: (3.0, 6.0, 10.0, 15.0),
}
CASES = (  # surface C, r, days
    (18.0, 0.40, 2.0),
    (12.0, 0.20, 7.0),
    (7.0, 0.10, 15.0),
    (27.0, 0.60, 1.0),
    (7.0, 0.20, 10.0),
)


def din_days(surface_C: float, r: float) -> float:
    return float(cure.curing_days(surface_C, cure.din_column(r)))


def _days(surface_C: float, r: float, days: float) -> Check:
    name = f"curing at {surface_C:g} degC, r {r:g}"
    return Check(
        "DIN_1045_3", name, "d", days, lambda: din_days(surface_C, r), "exact", "page", TABLE
    )


CHECKS = (
    *(_days(*case) for case in CASES),
    *(
        _days(surface, r, days)
        for surface, row in BY_R.items()
        for r, days in zip((0.50, 0.30, 0.15, 0.149), row, strict=True)
    ),
)
