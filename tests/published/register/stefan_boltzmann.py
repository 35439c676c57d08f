"""Linear coefficient of long-wave exchange."""

from models.air import sky
from tests.published.register.check import Check


def _slope(air_C: float, W_m2K: float) -> Check:
    return Check(
        "STEFAN_BOLTZMANN",
        f"long-wave coefficient at {air_C:g} degC, emissivity 0.9",
        "W/m2K",
        W_m2K,
        lambda: float(sky.radiative_coefficient(air_C, 0.9)),
        "0.005",
        "mathematics",
        "4 x emissivity x constant x T^3",
    )


CHECKS = (_slope(0.0, 4.16), _slope(10.0, 4.63), _slope(20.0, 5.14))
