"""Sealers by chemistry: typical ranges; the product's own sheet overrides every one of them."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Chemistry:
    """Ages in days, times in hours at 20 to 23 degC and 50 % RH, degC, % RH, pore RH as a fraction."""

    words: str
    min_age_d: float
    dry_rh_fraction: float  # pore humidity at the test depth at which it may go on
    min_C: float
    max_C: float
    max_rh_pct: float
    recoat_min_h: float
    recoat_max_h: float | None  # None: no end, scuff after a week
    rain_free_h: float
    light_use_h: float
    full_cure_h: float
    coats: int
    diluted_coats: int
    m2_per_l: float
    sources: tuple[str, ...]


CHEMISTRIES: dict[str, Chemistry] = {
    "water-based-acrylic": Chemistry(
        "water-based acrylic",
        7.0,
        0.90,
        10.0,
        32.0,
        85.0,
        2.0,
        None,
        12.0,
        24.0,
        168.0,
        6,
        2,
        10.0,
        ("TYPICAL_SHEET", "UFC_3_190_06", "COMMON_PRACTICE"),
    ),
    "solvent-acrylic": Chemistry(
        "solvent acrylic",
        28.0,
        0.85,
        7.0,
        32.0,
        85.0,
        4.0,
        None,
        12.0,
        24.0,
        168.0,
        2,
        0,
        8.0,
        ("TYPICAL_SHEET", "UFC_3_190_06"),
    ),
    "silane-siloxane": Chemistry(
        "silane/siloxane",
        28.0,
        0.85,
        4.0,
        38.0,
        85.0,
        1.0,
        2.0,
        6.0,
        24.0,
        168.0,
        2,
        0,
        5.0,
        ("UFGS_07190", "TYPICAL_SHEET"),
    ),
    "two-part-urethane": Chemistry(
        "two-part urethane",
        28.0,
        0.75,
        13.0,
        32.0,
        85.0,
        4.0,
        24.0,
        24.0,
        72.0,
        168.0,
        2,
        0,
        8.0,
        ("UFC_3_190_06", "TYPICAL_SHEET"),
    ),
    "epoxy": Chemistry(
        "epoxy",
        28.0,
        0.75,
        13.0,
        32.0,
        85.0,
        8.0,
        48.0,
        24.0,
        24.0,
        168.0,
        2,
        0,
        6.0,
        ("UFC_3_190_06", "TYPICAL_SHEET"),
    ),
    "densifier": Chemistry(
        "densifier",
        7.0,
        0.95,
        5.0,
        35.0,
        95.0,
        1.0,
        None,
        4.0,
        24.0,
        168.0,
        2,
        0,
        5.0,
        ("TYPICAL_SHEET",),
    ),
    "wax": Chemistry(
        "wax",
        7.0,
        0.90,
        10.0,
        30.0,
        85.0,
        12.0,
        None,
        24.0,
        24.0,
        72.0,
        2,
        0,
        20.0,
        ("TYPICAL_SHEET",),
    ),
}
