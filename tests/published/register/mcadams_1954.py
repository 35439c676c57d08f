"""Film coefficient of a plate in wind, the old line."""

from models.air import sky
from tests.published.register.check import Check


def _film(wind_m_s: float, W_m2K: float) -> Check:
    return Check(
        "MCADAMS_1954",
        f"film at {wind_m_s:g} m/s",
        "W/m2K",
        W_m2K,
        lambda: float(sky.convection(wind_m_s)),
        "8 %",
        "mathematics",
        "arithmetic on 5.7 + 3.8 v, SolarCollectors.cc of EnergyPlus",
    )


CHECKS = (
    _film(0.0, 5.7),
    _film(1.0, 9.5),
    _film(2.0, 13.3),
    _film(4.87, 24.2),
    _film(8.0, 36.1),
)
