"""Moist air over water: saturation pressure, dew point, humidity."""

from models.air import psychrometrics
from tests.published.register.check import Check

TABLE = "annex 4.B; arithmetic on the printed constants 6.112 hPa, 17.62, 243.12 C"
DEW_POINT_C = {  # air C: at humidity 30, 50, 85, 95 %
    5.0: (-11.17, -4.58, 2.69, 4.27),
    10.0: (-6.81, 0.04, 7.59, 9.24),
    15.0: (-2.46, 4.65, 12.50, 14.20),
    20.0: (1.88, 9.26, 17.40, 19.17),
    25.0: (6.21, 13.85, 22.30, 24.14),
    30.0: (10.53, 18.44, 27.20, 29.11),
    35.0: (14.84, 23.02, 32.10, 34.08),
}
SATURATION_HPA = {0.0: 6.112, 5.0: 8.717, 10.0: 12.260, 20.0: 23.326, 30.0: 42.337, 35.0: 56.128}
THREE_UNDER_PCT = {
    5.0: 81.0,
    10.0: 81.6,
    15.0: 82.3,
    20.0: 82.9,
    25.0: 83.5,
    30.0: 84.0,
    35.0: 84.5,
}
SPREAD_AT_85_K = {5.0: 2.31, 20.0: 2.60, 35.0: 2.90}


def _dew(air_C: float, rh_pct: float, dew_C: float) -> Check:
    return Check(
        "WMO_8",
        f"dew point at {air_C:g} degC, {rh_pct:g} %",
        "degC",
        dew_C,
        lambda: float(psychrometrics.dew_point(air_C, rh_pct / 100)),
        "0.006",
        "mathematics",
        TABLE,
    )


def _saturation(air_C: float, hPa: float) -> Check:
    return Check(
        "WMO_8",
        f"saturation pressure at {air_C:g} degC",
        "hPa",
        hPa,
        lambda: float(psychrometrics.saturation_pressure(air_C)),
        "0.0006",
        "mathematics",
        TABLE,
    )


def _three_under(air_C: float, pct: float) -> Check:
    return Check(
        "WMO_8",
        f"humidity with the dew point 3 K under {air_C:g} degC",
        "%",
        pct,
        lambda: 100 * float(psychrometrics.rh_fraction(air_C, air_C - 3.0)),
        "0.06",
        "mathematics",
        TABLE,
    )


def _spread(air_C: float, spread_K: float) -> Check:
    return Check(
        "WMO_8",
        f"air over its dew point at {air_C:g} degC, 85 %",
        "K",
        spread_K,
        lambda: air_C - float(psychrometrics.dew_point(air_C, 0.85)),
        "0.006",
        "mathematics",
        TABLE,
    )


CHECKS = (
    *(_saturation(air, hPa) for air, hPa in SATURATION_HPA.items()),
    *(
        _dew(air, rh, dew)
        for air, row in DEW_POINT_C.items()
        for rh, dew in zip((30.0, 50.0, 85.0, 95.0), row, strict=True)
    ),
    *(_three_under(air, pct) for air, pct in THREE_UNDER_PCT.items()),
    *(_spread(air, kelvin) for air, kelvin in SPREAD_AT_85_K.items()),
)
