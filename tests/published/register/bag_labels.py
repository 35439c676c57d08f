"""Bags for a volume."""

from models.piece import quantities
from models.piece.shape import Shape
from service.published import EXACT
from tests.published.register.check import Check

FT3_L = 28.316846592
TOP = Shape("panel", 1800.0, 900.0, 50.0)
TO_A_YARD = {0.60: 45.0, 0.45: 60.0, 0.30: 90.0}  # ft3 a bag: bags


def _yard(yield_ft3: float, bags: float) -> Check:
    return Check(
        "BAG_LABELS",
        f"bags of {yield_ft3:.2f} ft3 to a cubic yard",
        "bags",
        bags,
        lambda: float(quantities.bags(27 * FT3_L, yield_ft3 * FT3_L, waste_fraction=0.0)[1]),
        EXACT,
        "page",
        "rows by bag of 80, 60, 40 lb",
    )


def _top(waste: float, bags: float) -> Check:
    return Check(
        "BAG_LABELS",
        f"80 lb bags for 1800 x 900 x 50 mm, {waste:.0%} waste",
        "bags",
        bags,
        lambda: float(quantities.bags(TOP.volume_l, 0.60 * FT3_L, waste_fraction=waste)[1]),
        EXACT,
        "mathematics",
        "whole bags of 0.60 ft3",
    )


CHECKS = (
    *(_yard(*row) for row in TO_A_YARD.items()),
    Check(
        "BAG_LABELS",
        "volume of 1800 x 900 x 50 mm",
        "ft3",
        2.860,
        lambda: TOP.volume_l / FT3_L,
        "0.001",
        "mathematics",
        "81 litres",
    ),
    Check(
        "BAG_LABELS",
        "80 lb bags for 1800 x 900 x 50 mm, net",
        "bags",
        4.77,
        lambda: quantities.bags(TOP.volume_l, 0.60 * FT3_L, waste_fraction=0.0)[0],
        "0.005",
        "mathematics",
        "2.860 / 0.60",
    ),
    _top(0.0, 5.0),
    _top(0.10, 6.0),
)
