"""Bending stress of flat pieces under their own weight."""

from models.facts.handling import FIFTH_MOMENT
from models.piece import handling
from tests.published.register.check import Check


def _stress(
    quantity: str,
    MPa: float,
    tolerance: str,
    span_mm: float,
    thickness_mm: float,
    density: float = 2400.0,
    moment_coefficient: float = 0.125,
    net_fraction: float = 1.0,
) -> Check:
    return Check(
        "ELEMENTARY_BEAM",
        quantity,
        "MPa",
        MPa,
        lambda: handling.bending_stress_MPa(
            span_mm,
            thickness_mm,
            density,
            moment_coefficient=moment_coefficient,
            net_fraction=net_fraction,
        ),
        tolerance,
        "mathematics",
        f"statics at {density:g} kg/m3 and 9.807 m/s2",
    )


CHECKS = (
    _stress("1800 x 50 mm held at its ends", 1.487 / 1.3, "0.5 %", 1800.0, 50.0),
    _stress(
        "1800 x 50 mm at the fifth points",
        0.255 / 1.3,
        "0.5 %",
        1800.0,
        50.0,
        moment_coefficient=FIFTH_MOMENT,
    ),
    _stress("1800 x 900 mm on edge", 0.083 / 1.3, "1 %", 1800.0, 900.0),
    _stress("1500 x 50 mm held at its ends", 0.794, "0.5 %", 1500.0, 50.0),
    _stress("1640 x 22 mm desk panel", 1.84, "0.5 %", 1640.0, 22.0, 2050.0),
    _stress(
        "1640 x 22 mm across its opening",
        2.26,
        "0.5 %",
        1640.0,
        22.0,
        2050.0,
        net_fraction=505.0 / 620.0,
    ),
)
