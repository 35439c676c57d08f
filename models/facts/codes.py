"""Rules of concrete by region: ACI in the Americas, EN elsewhere; where they differ. Rows only."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Code:
    """Cold weather and curing of one family of rules.

    cold_air_C : cold weather is air at or under it while the concrete is protected [degC]
    least_by_air : least concrete as placed by the lowest air: (air over, least) [degC], the warmest
        first; what stands in AS_PLACED_C by section where there is none
    frost_MPa : strength that bears one freezing of what is kept dry; wet see frost.SOAKED_MPA
    cure_days, cure_days_quick : moist at cure_over_C or more, ordinary and high-early mixes [d];
        None: by the table of curing days
    """

    key: str
    cold_air_C: float
    least_by_air: tuple[tuple[float, float], ...]
    frost_MPa: float
    cure_days: float | None
    cure_days_quick: float | None
    sources: tuple[str, ...]


CURE_OVER_C = 10.0  # days count at 50 F or more (ACI_318_CURING)
PLACED_OUT_OF_THE_COLD_C = 5.0  # EN_206 5.2.9, the least of every supplier

QUICK = ("high-early", "rapid-setting")  # mixes that count as high-early, as one with accelerator

CODES = {
    # 40 F; 500 psi is one freezing of a section that takes up no water from outside
    # (ACI_306R_CYCLES); 7 and 3 days (ACI_318_CURING)
    "ACI": Code("ACI", 4.4, (), 3.5, 7.0, 3.0, ("ACI_306R", "ACI_306R_CYCLES", "ACI_318_CURING")),
    # air from +5 to -3: 5 degC as placed; under -3: 10, kept for three days
    # (DIN_1045_3, page 10-3); 5 N/mm2 kept from rain and snow, or three days at 10 degC (10-4)
    "EN": Code(
        "EN",
        5.0,
        ((-3.0, 5.0), (float("-inf"), 10.0)),
        5.0,
        None,
        None,
        ("EN_206", "DIN_1045_3", "EN_13670"),
    ),
}
OTHER = {"ACI": "EN", "EN": "ACI"}

AMERICAN_ZONES = (
    "America/",
    "US/",
    "Canada/",
    "Mexico/",
    "Brazil/",
    "Chile/",
    "Pacific/Honolulu",
    "Pacific/Guam",
    "Pacific/Pago_Pago",
    "Pacific/Saipan",
)
AMERICAN_LONGITUDE = -30.0  # west of it lie the Americas: geography
