"""Long-wave radiation of a clear sky."""

from models.air import sky
from models.units import KELVIN, STEFAN_BOLTZMANN_W_M2K4
from tests.published.register.check import Check

EXAMPLE = "worked example of the EnergyPlus Engineering Reference: 293 K, dew point 283 K, clear"
NIGHT = "arithmetic on the printed formula: air 5, dew point 3 degC, clear, emissivity 0.9"


def _sky_W_m2() -> float:
    loss = float(sky.net_sky_loss(293.0 - KELVIN, 283.0 - KELVIN, 0.0, 1.0))
    return STEFAN_BOLTZMANN_W_M2K4 * 293.0**4 - loss


def _night_loss() -> float:
    return float(sky.net_sky_loss(5.0, 3.0, 0.0, 0.9))


def _fall(wind_m_s: float, kelvin: float) -> Check:
    def ours() -> float:
        exchange = float(sky.convection(wind_m_s)) + float(sky.radiative_coefficient(5.0, 0.9))
        return _night_loss() / exchange

    return Check(
        "ASHRAE_NIGHT_SKY",
        f"face cut off from below, under the air, {wind_m_s:g} m/s",
        "K",
        kelvin,
        ours,
        "5 %",
        "mathematics",
        NIGHT,
    )


CHECKS = (
    Check(
        "ASHRAE_NIGHT_SKY",
        "emissivity of a clear sky",
        "-",
        0.815,
        lambda: float(sky.sky_emissivity(283.0 - KELVIN, 0.0)),
        "0.001",
        "page",
        EXAMPLE,
    ),
    Check(
        "ASHRAE_NIGHT_SKY",
        "radiation of a clear sky",
        "W/m2",
        340.6,
        _sky_W_m2,
        "0.5",
        "page",
        EXAMPLE,
    ),
    Check(
        "ASHRAE_NIGHT_SKY",
        "net loss of a level face",
        "W/m2",
        62.0,
        _night_loss,
        "0.5",
        "mathematics",
        NIGHT,
    ),
    _fall(2.0, 3.5),
    _fall(0.0, 6.2),
)
