"""A sealer system: what is brushed on, how many coats, and what its sheet says."""

from dataclasses import dataclass

from models.errors import InputError
from models.facts.sealers import CHEMISTRIES
from models.units import number_within, one_of


@dataclass(frozen=True)
class SealerSystem:
    """None takes the typical value of the chemistry; the product's own sheet overrides it."""

    chemistry: str = "water-based-acrylic"
    coats: int | None = None
    diluted_coats: int | None = None
    recoat_min_h: float | None = None
    recoat_max_h: float | None = None
    min_C: float | None = None
    max_C: float | None = None
    max_rh_pct: float | None = None
    min_age_d: float | None = None

    def __post_init__(self) -> None:
        one_of("chemistry", self.chemistry, CHEMISTRIES)
        for name, low, high, unit in (
            ("coats", 1, 12, ""),
            ("diluted_coats", 0, 12, ""),
            ("recoat_min_h", 0.1, 240.0, "h"),
            ("recoat_max_h", 0.2, 2400.0, "h"),
            ("min_C", -10.0, 40.0, "degC"),
            ("max_C", 0.0, 60.0, "degC"),
            ("max_rh_pct", 30.0, 100.0, "%"),
            ("min_age_d", 0.0, 90.0, "d"),
        ):
            value = getattr(self, name)
            if value is not None:
                number_within(name, value, low, high, unit)
        for lower, upper in (
            ("recoat_min_h", "recoat_max_h"),
            ("min_C", "max_C"),
            ("diluted_coats", "coats"),
        ):
            a, b = getattr(self, lower), getattr(self, upper)
            if a is not None and b is not None and a > b:
                raise InputError(upper, b, f"below {lower}", f"{a:g} or more")
