"""The limits that keep a piece or a person whole, first of all; beside what is printed of each."""

from collections.abc import Callable
from functools import partial

from models.coating.film import SealerSystem
from models.facts import after, codes, frost, handling, moisture, protection, sealers
from models.steps import place, protect, strip
from service.published import EXACT
from tests.published.register.check import Check

THIN_MM = 50.0
DAYS = (  # source, what: ordinary and high-early
    ("ACI_306_1", "exposed", (3.0, 2.0)),
    ("ACI_306R", "forms", (6.0, 4.0)),
    ("ACI_306R", "not exposed", (2.0, 1.0)),
)
SERVICE = {
    "exposed": "partly loaded and exposed, against freezing",
    "forms": "partly loaded, before forms and support go",
    "not exposed": "neither loaded nor exposed",
}


def _celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) * 5 / 9


def _limit(
    source: str,
    quantity: str,
    unit: str,
    published: float,
    ours: float | Callable[[], float],
    where: str,
    tolerance: str = EXACT,
    status: str = "page",
) -> Check:
    told = ours if callable(ours) else partial(float, ours)
    return Check(source, quantity, unit, published, told, tolerance, status, where)


def _days(source: str, service: str, cell: tuple[float, float]) -> tuple[Check, ...]:
    return tuple(
        _limit(
            source,
            f"days of protection, {SERVICE[service]}, {cement}",
            "d",
            days,
            partial(float, protection.PROTECTION_D[service][column]),
            "over 50 F for so long" if source == "ACI_306_1" else "table 5.5 of 306R-88, fig. 3-38",
        )
        for column, (cement, days) in enumerate(zip(("ordinary", "high-early"), cell, strict=True))
    )


def _least_placed(code: str, air_C: float) -> float:
    return float(place.least_placed_C(codes.CODES[code], THIN_MM, air_C))


SHEET = SealerSystem().resolved()

CHECKS = (
    _limit(
        "ACI_306R_CYCLES",
        "strength that bears one freezing, while no water comes from outside",
        "MPa",
        500 * 0.00689476,
        codes.CODES["ACI"].frost_MPa,
        "500 psi, printed as 3.5 MPa; one freeze, the concrete dries out by itself",
        "0.06",
    ),
    _limit(
        "DIN_1045_3",
        "strength that bears frost, kept from rain and snow",
        "MPa",
        5.0,
        codes.CODES["EN"].frost_MPa,
        "page 10-4: 5 N/mm2, or three days at 10 C and more, which is not asked here",
    ),
    _limit(
        "CSA_A23_1",
        "strength that bears frost where water comes from outside",
        "MPa",
        7.0,
        frost.SOAKED_MPA,
        "7 MPa before concrete may freeze; that water asks for it is our own judgement",
    ),
    _limit(
        "ACI_306R_CYCLES",
        "strength before cycles of freezing while critically saturated",
        "MPa",
        3500 * 0.00689476,
        frost.REPEATED_MPA,
        "3500 psi, printed as 24 MPa",
        "0.2",
    ),
    *(cell for row in DAYS for cell in _days(*row)),
    _limit(
        "ACI_306_1",
        "surface over the air when all protection may come off, 20 F",
        "K",
        20 * 5 / 9,
        protection.OFF_WITHIN_K,
        "3.2.3; the metric edition rounds",
        "0.2",
    ),
    _limit(
        "ACI_306_1",
        "largest fall of the surface in 24 h under 12 in, 50 F",
        "K",
        50 * 5 / 9,
        partial(protect.cooling_limit_K, THIN_MM),
        "at the end of the protection; the metric edition rounds",
        "0.3",
    ),
    _limit(
        "ACI_306_1",
        "no concrete on a base at or under, 32 F",
        "degC",
        0.0,
        protection.BASE_LEAST_C,
        "no frozen subgrade, no ice in forms or on steel",
    ),
    _limit(
        "DIN_1045_3",
        "least as placed, air between 5 and -3 degC",
        "degC",
        5.0,
        partial(_least_placed, "EN", 0.0),
        "page 10-3",
    ),
    _limit(
        "DIN_1045_3",
        "least as placed, air under -3 degC",
        "degC",
        10.0,
        partial(_least_placed, "EN", -4.0),
        "page 10-3, and kept at it for three days",
    ),
    _limit(
        "CONCRETE_PRODUCER",
        "hydration halts, 14 F",
        "degC",
        _celsius(14.0),
        frost.HYDRATION_ENDS_C,
        "under 14 F it halts completely",
        "0.01",
    ),
    _limit(
        "ACI_305_1",
        "most as placed, 95 F",
        "degC",
        _celsius(95.0),
        protection.PLACING_MAX_C,
        "3.3; BS 8500-2 has 35 C as well",
    ),
    _limit(
        "ACI_301",
        "most inside a section",
        "degC",
        70.0,
        protection.HOT_DAMAGE_C,
        "160 F (70 C), against delayed ettringite",
    ),
    _limit(
        "ACI_306R_WATER",
        "most of mixing water that meets the cement first, 140 F",
        "degC",
        _celsius(140.0),
        protection.WATER_MAX_C,
        "306R-16 5.3",
    ),
    _limit(
        "ACI_305R",
        "evaporation from a fresh face at which it is protected",
        "kg/m2h",
        1.0,
        protection.EVAPORATION_KG_M2H,
        "UFGS 03300N page 37; 0.2 lb/ft2h",
    ),
    _limit(
        "SILICA_FUME",
        "the same of a mix that hardly bleeds",
        "kg/m2h",
        0.5,
        protection.EVAPORATION_LOW_BLEED_KG_M2H,
        "about half of it",
    ),
    *(
        _limit(
            "ACI_318_CURING",
            f"days of curing over 50 F, {cement}",
            "d",
            days,
            float(ours or 0.0),
            "5.11.1 and 5.11.2 of 318-05",
        )
        for cement, days, ours in (
            ("ordinary", 7.0, codes.CODES["ACI"].cure_days),
            ("high-early", 3.0, codes.CODES["ACI"].cure_days_quick),
        )
    ),
    _limit(
        "CCA_42505",
        "strength at which sides may be struck, of a cube beside",
        "MPa",
        2.0,
        partial(strip.needed, "strip", {"strip": 0.5}),
        "2 N/mm2, plain Portland cement, release agent",
    ),
    *(
        _limit(
            "CCA_42505",
            f"equivalent age that goes with it, {board} face",
            "h at 20 degC",
            hours,
            handling.STRUCK_AT_TE_H[board],
            "at 20 C",
        )
        for board, hours in (("unsealed", 12.0), ("impermeable", 9.0))
    ),
    _limit(
        "HSE_L23_FILTER",
        "what a man may lift near the body at the waist",
        "kg",
        25.0,
        handling.LIFT_KG,
        "guidance, no limit",
        status="second-hand",
    ),
    _limit(
        "ISO_8502_4",
        "face over the dew point, at every hour until the coat is dry",
        "K",
        3.0,
        SHEET.dew_margin_K,
        "3 C (5 F); UFC 3-190-06 9.6.6 adds: and rising",
    ),
    _limit(
        "MARINE_PAINTING",
        "most humidity of the air for a coat",
        "%",
        85.0,
        SHEET.max_rh_pct,
        "no paint over 85 %",
    ),
    _limit(
        "UFC_3_190_06",
        "a film does not form under, 40 F",
        "degC",
        _celsius(40.0),
        sealers.FILM_STOPS_C,
        "7.4.1",
        "0.5",
    ),
    _limit(
        "EN_1992_1_2",
        "moisture under which spalling is unlikely",
        "% of mass",
        3.0,
        moisture.SPALLING_PCT,
        "4.5.1; found on no page",
        status="from memory",
    ),
    _limit(
        "DTU_DS_411",
        "moisture over which no fire is made",
        "% of mass",
        4.0,
        moisture.SPALLING_MOST_PCT,
        "spalling limited within 3 to 4 % for traditional concrete, more research needed",
    ),
    _limit(
        "ACI_201_DEICING",
        "days over 40 F before de-icing salt",
        "d",
        42.0,
        after.SALT_FREE_D,
        "six weeks",
    ),
)
