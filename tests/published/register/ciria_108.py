"""Pressure of a fresh mix on its mould, the full liquid head."""

from models.piece import quantities
from tests.published.register.check import Check

HEAD_KPA = {0.05: 1.18, 0.10: 2.35, 0.30: 7.06, 0.45: 10.59, 0.60: 14.12, 0.75: 17.65}


def _head(depth_m: float, kPa: float) -> Check:
    return Check(
        "CIRIA_108",
        f"pressure at {1e3 * depth_m:.0f} mm, 2400 kg/m3",
        "kPa",
        kPa,
        lambda: float(quantities.fluid_pressure_kPa(depth_m)),
        "0.006",
        "mathematics",
        "upper bound: weight x depth, worked out",
    )


CHECKS = (
    *(_head(*row) for row in HEAD_KPA.items()),
    Check(
        "CIRIA_108",
        "pressure at 1250 mm, 24 kN/m3",
        "kPa",
        30.0,
        lambda: float(quantities.fluid_pressure_kPa(1.25, 24_000 / 9.80665)),
        "0.01",
        "mathematics",
        "weight x depth",
    ),
)
