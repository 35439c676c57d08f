"""Sealers by chemistry: usual spans of their sheets; the product's own sheet overrides every one.

Ages in days, times in hours at 20 to 23 degC and 50 % RH. From memory where the source is
TYPICAL_SHEET.
"""

from dataclasses import dataclass

DEW_MARGIN_K = 3.0  # ISO_8502_4, UFC_3_190_06 9.6.6 (5 F and rising): face over the dew point
HOT_FACE_C = 35.0  # direct sun: wait above this, OWN_JUDGEMENT; UFGS_09973 stops at 38
SUN_ON_FACE_W_M2 = 400.0  # OWN_JUDGEMENT: more than a bright overcast sky is sun on the face
THINNED_FRACTION = 2 / 3  # COMMON_PRACTICE: one part water to two parts sealer
SEALER_WASTE = 0.10  # COMMON_PRACTICE: left in tray and roller
WINDOW_IN_HAND = 0.1  # OWN_JUDGEMENT: share of a recoat window that a plan leaves to its end
FAN_M_S = 2.0  # OWN_JUDGEMENT: air of a stand fan at a piece some metres away
FAN_SHORTENS = 0.5  # OWN_JUDGEMENT: UNO_1998 gives 2.6 times the evaporation in that air
FIRST_COAT_H = 1.0  # COMMON_PRACTICE: hours out of the sun for a wet coat

# UFGS_09971, polyurethane on itself: highest surface [degC] and the recoat window [h]
RECOAT_WINDOWS: tuple[tuple[float, float, float], ...] = (
    (21.0, 8.0, 48.0),
    (27.0, 6.0, 48.0),
    (32.0, 4.0, 36.0),
    (38.0, 3.0, 24.0),
    (43.0, 2.0, 12.0),
    (49.0, 1.0, 2.0),
)


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """What a sheet says of a sealer; hours at 20 to 23 degC and 50 % RH, temperatures of face and
    air. What most sheets say is the default of a field.
    """

    min_age_d: float = 28.0
    dry_rh_fraction: float  # pore humidity at the test depth at which it may go on
    min_C: float
    max_C: float
    max_rh_pct: float = 85.0  # MARINE_PAINTING
    dew_margin_K: float = DEW_MARGIN_K
    recoat_min_h: float
    recoat_max_h: float | None = None  # None: no end, scuff after a week
    rain_free_h: float
    light_use_h: float = 24.0
    full_use_h: float = 168.0
    coats: int = 2
    diluted_coats: int = 0
    coverage_m2_l: float
    sources: tuple[str, ...]
    dries: str  # water: by vapour-pressure deficit | solvent, reaction: by temperature
    base_coats: int = 2  # on a base, not a top
    hold_h: float = 4.0  # hours that the air must hold after a coat that stays bare
    touch_h: float = 1.0
    next_after_h: float = 24.0  # from its last coat to another product on it, COMMON_PRACTICE
    dwell_h: float | None = None  # stays wet so long, then what is left is wiped off
    reseal_years: tuple[float, float]  # from memory: as wide as advice in the trade differs
    given: frozenset[str] = frozenset()  # numbers of the product itself; the others are typical

    @property
    def max_rh(self) -> float:
        """Highest relative humidity of the air, dimensionless."""
        return self.max_rh_pct / 100

    @property
    def dry_rh_pct(self) -> float:
        return 100 * self.dry_rh_fraction


CHEMISTRIES: dict[str, Sheet] = {
    "water-based-acrylic": Sheet(
        min_age_d=7.0,
        dry_rh_fraction=0.90,
        min_C=10.0,
        max_C=32.0,
        recoat_min_h=2.0,
        rain_free_h=12.0,
        coats=6,
        diluted_coats=2,
        coverage_m2_l=10.0,
        sources=("TYPICAL_SHEET", "UFC_3_190_06", "COMMON_PRACTICE"),
        dries="water",
        reseal_years=(1.0, 3.0),
    ),
    "solvent-acrylic": Sheet(
        dry_rh_fraction=0.85,
        min_C=7.0,
        max_C=32.0,
        recoat_min_h=4.0,
        rain_free_h=12.0,
        coverage_m2_l=8.0,
        sources=("TYPICAL_SHEET", "UFC_3_190_06"),
        dries="solvent",
        reseal_years=(1.0, 3.0),
    ),
    "silane-siloxane": Sheet(
        dry_rh_fraction=0.85,
        min_C=4.0,
        max_C=38.0,
        recoat_min_h=1.0,
        recoat_max_h=2.0,
        rain_free_h=6.0,
        coverage_m2_l=5.0,
        sources=("UFGS_07190", "TYPICAL_SHEET"),
        dries="solvent",
        reseal_years=(3.0, 10.0),
    ),
    "two-part-urethane": Sheet(
        dry_rh_fraction=0.75,
        min_C=13.0,
        max_C=32.0,
        recoat_min_h=4.0,
        recoat_max_h=24.0,
        rain_free_h=24.0,
        light_use_h=72.0,
        coverage_m2_l=8.0,
        sources=("UFC_3_190_06", "UFGS_09971", "TYPICAL_SHEET"),
        dries="reaction",
        hold_h=8.0,
        touch_h=2.0,
        reseal_years=(5.0, 10.0),
    ),
    "epoxy": Sheet(
        dry_rh_fraction=0.75,
        min_C=13.0,
        max_C=32.0,
        recoat_min_h=8.0,
        recoat_max_h=48.0,
        rain_free_h=24.0,
        coverage_m2_l=6.0,
        sources=("UFC_3_190_06", "TYPICAL_SHEET"),
        dries="reaction",
        hold_h=12.0,
        touch_h=6.0,
        reseal_years=(5.0, 10.0),
    ),
    "densifier": Sheet(
        min_age_d=7.0,
        dry_rh_fraction=0.95,
        min_C=5.0,
        max_C=35.0,
        max_rh_pct=95.0,
        recoat_min_h=1.0,
        rain_free_h=4.0,
        coverage_m2_l=5.0,
        sources=("TYPICAL_SHEET",),
        dries="water",
        hold_h=2.0,
        reseal_years=(5.0, 10.0),
    ),
    "wax": Sheet(
        min_age_d=7.0,
        dry_rh_fraction=0.90,
        min_C=10.0,
        max_C=30.0,
        recoat_min_h=12.0,
        rain_free_h=24.0,
        full_use_h=72.0,
        coverage_m2_l=20.0,
        sources=("TYPICAL_SHEET",),
        dries="solvent",
        hold_h=2.0,
        touch_h=0.5,
        reseal_years=(0.5, 1.0),
    ),
    # water or dye in it colours what it soaks into; the pores have to be open and the face bare
    "stain": Sheet(
        min_age_d=14.0,
        dry_rh_fraction=0.90,
        min_C=10.0,
        max_C=32.0,
        recoat_min_h=1.0,
        rain_free_h=24.0,
        coats=1,
        base_coats=1,
        coverage_m2_l=8.0,
        sources=("TYPICAL_SHEET",),
        dries="water",
        hold_h=2.0,
        reseal_years=(2.0, 5.0),
    ),
    # acid and salts bite into the lime of the face: dwells for hours, is neutralised and rinsed off
    "acid-stain": Sheet(
        min_age_d=14.0,
        dry_rh_fraction=0.90,
        min_C=10.0,
        max_C=32.0,
        recoat_min_h=4.0,
        rain_free_h=24.0,
        coats=1,
        base_coats=1,
        coverage_m2_l=5.0,
        sources=("TYPICAL_SHEET", "UFC_3_190_06"),
        dries="water",
        hold_h=4.0,
        dwell_h=4.0,
        reseal_years=(2.0, 5.0),
    ),
    # a finish that is buffed: wax or polymer in water, on whatever lies there
    "polish": Sheet(
        min_age_d=7.0,
        dry_rh_fraction=0.90,
        min_C=10.0,
        max_C=30.0,
        recoat_min_h=1.0,
        rain_free_h=24.0,
        full_use_h=72.0,
        coverage_m2_l=30.0,
        sources=("TYPICAL_SHEET",),
        dries="water",
        hold_h=2.0,
        touch_h=0.5,
        reseal_years=(0.25, 1.0),
    ),
}
USUAL = "water-based-acrylic"  # of a sheet whose chemistry is not told
# no sealer is told: dry enough for those that let vapour out; what seals tight asks for less, and
# no coat has an hour
UNTOLD = Sheet(
    min_age_d=0.0,
    dry_rh_fraction=0.85,
    min_C=10.0,
    max_C=32.0,
    recoat_min_h=2.0,
    rain_free_h=12.0,
    coats=0,
    base_coats=0,
    coverage_m2_l=10.0,
    sources=("TYPICAL_SHEET",),
    dries="water",
    reseal_years=(1.0, 3.0),
)
TIGHT_AGE_D = Sheet.min_age_d  # most sheets but those of water-based sealers
TIGHT_RH_FRACTION = min(sheet.dry_rh_fraction for sheet in CHEMISTRIES.values())
DOUBLES_PER_K = 10.0  # UFGS_09971: 10 K colder takes twice as long
FILM_STOPS_C = 4.0  # UFC_3_190_06 7.4.1: a film does not form under 40 F
REFERENCE_C = 20.0  # of the hours on a sheet, with 50 % of humidity (TYPICAL_SHEET)
LEAST_DRYING_FRACTION = 0.2  # no coat dries in under a fifth of its usual time, OWN_JUDGEMENT
HEATED_C = 20.0  # of a room that is heated for its coats, TYPICAL_SHEET
