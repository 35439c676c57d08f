"""A sealer system: what is brushed on, how many coats, and what its sheet says."""

from dataclasses import dataclass, replace

from models.errors import InputError
from models.facts.curing import POLYMER_AGE_D
from models.facts.sealers import CHEMISTRIES, UNTOLD, USUAL, Sheet
from models.units import one_of, optional_within

LIMITS = (
    ("coats", 1, 12, ""),
    ("diluted_coats", 0, 12, ""),
    ("recoat_min_h", 0.1, 240.0, "h"),
    ("recoat_max_h", 0.2, 2400.0, "h"),
    ("min_C", -10.0, 40.0, "degC"),
    ("max_C", 0.0, 60.0, "degC"),
    ("max_rh_pct", 30.0, 100.0, "%"),
    ("min_age_d", 0.0, 90.0, "d"),
    ("dew_margin_K", 1.0, 15.0, "K"),
    ("hold_h", 0.0, 168.0, "h"),
    ("rain_free_h", 0.0, 168.0, "h"),
    ("coverage_m2_l", 0.5, 50.0, "m2/l"),
    ("light_use_h", 0.5, 720.0, "h"),
    ("full_use_h", 1.0, 2400.0, "h"),
    ("dry_rh_pct", 40.0, 99.0, "%"),
    ("next_after_h", 0.1, 2400.0, "h"),
    ("dwell_h", 0.01, 72.0, "h"),
)
UNASSUMED = ("dry_rh_pct", "next_after_h", "dwell_h")  # of a finish: nothing is said of them untold
ORDERED = (
    ("recoat_min_h", "recoat_max_h"),
    ("min_C", "max_C"),
    ("diluted_coats", "coats"),
    ("light_use_h", "full_use_h"),
)


@dataclass(frozen=True)
class SealerSystem:
    """None takes the typical value of the chemistry; the product's own sheet overrides it.

    chemistry : None where no sealer is told at all; the usual one beside any other number
    hold_h : how long the air must hold after the last coat, and after one that stays bare as long
    dew_margin_K : surface over the dew point; coverage_m2_l : of one coat, undiluted
    dry_rh_pct : pore humidity at the test depth; next_after_h : until another product goes on it
    dwell_h : how long it stays wet before what is left is wiped off
    """

    chemistry: str | None = None
    coats: int | None = None
    diluted_coats: int | None = None
    recoat_min_h: float | None = None
    recoat_max_h: float | None = None
    min_C: float | None = None
    max_C: float | None = None
    max_rh_pct: float | None = None
    min_age_d: float | None = None
    dew_margin_K: float | None = None
    hold_h: float | None = None
    rain_free_h: float | None = None
    coverage_m2_l: float | None = None
    light_use_h: float | None = None
    full_use_h: float | None = None
    dry_rh_pct: float | None = None
    next_after_h: float | None = None
    dwell_h: float | None = None

    def __post_init__(self) -> None:
        if self.chemistry is None and any(getattr(self, name) is not None for name, *_ in LIMITS):
            object.__setattr__(self, "chemistry", USUAL)
        if self.chemistry is not None:
            one_of("chemistry", self.chemistry, CHEMISTRIES)
        optional_within(self, LIMITS)
        for lower, upper in ORDERED:
            a, b = getattr(self, lower), getattr(self, upper)
            if a is not None and b is not None and a > b:
                raise InputError(upper, b, f"below {lower}", f"{a:g} or more")

    @property
    def told(self) -> bool:
        """Whether anything is known of what is to seal the piece."""
        return self.chemistry is not None

    def resolved(self, *, base: bool = False, keeps_its_water: bool = False) -> Sheet:
        """The sheet in force: the product's own numbers, else the typical ones of its chemistry.

        base : a base asks fewer coats than a top. Of typical coats the last is never thinned.
        keeps_its_water : a glass-fibre piece by its polymer, which may be coated younger
        Source: product sheet, else TYPICAL_SHEET.
        """
        if self.chemistry is None:
            return UNTOLD
        typical = CHEMISTRIES[self.chemistry]
        given = {name: value for name, *_ in LIMITS if (value := getattr(self, name)) is not None}
        coats = int(given.get("coats", typical.base_coats if base else typical.coats))
        diluted = given.get("diluted_coats", min(typical.diluted_coats, coats - 1))
        youngest_d = POLYMER_AGE_D if keeps_its_water else typical.min_age_d
        typical = replace(typical, min_age_d=min(typical.min_age_d, youngest_d))
        numbers = {**given, "coats": coats, "diluted_coats": diluted}
        if "dry_rh_pct" in numbers:
            numbers["dry_rh_fraction"] = numbers.pop("dry_rh_pct") / 100
        sheet = replace(typical, **numbers, given=frozenset(given))
        end_h = sheet.recoat_max_h
        return replace(
            sheet,
            recoat_max_h=None if end_h is None else max(end_h, sheet.recoat_min_h),
            full_use_h=max(sheet.full_use_h, sheet.light_use_h),
        )
