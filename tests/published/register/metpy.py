"""Moist air by another formula of the same vapour: Bolton 1980, as an open library prints it."""

from models.air import psychrometrics
from tests.published.register.check import Check

BOLTON = "examples in the documentation of MetPy 1.5; Bolton 1980 has other constants"


def _dew_of(hPa: float, air_C: float) -> float:
    share = hPa / float(psychrometrics.saturation_pressure(air_C))
    return float(psychrometrics.dew_point(air_C, share))


CHECKS = (
    Check(
        "METPY",
        "dew point of vapour at 22 hPa",
        "degC",
        19.0291018,
        lambda: _dew_of(22.0, 30.0),
        "0.05",
        "library",
        BOLTON,
    ),
    Check(
        "METPY",
        "humidity at 25 degC, dew point 12 degC",
        "%",
        44.2484765,
        lambda: 100 * float(psychrometrics.rh_fraction(25.0, 12.0)),
        "0.2",
        "library",
        BOLTON,
    ),
    Check(
        "METPY",
        "saturation pressure at 25 degC",
        "hPa",
        31.6742944,
        lambda: float(psychrometrics.saturation_pressure(25.0)),
        "0.3 %",
        "library",
        BOLTON,
    ),
)
