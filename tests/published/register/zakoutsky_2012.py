"""Hydration of a cement in the warm and in the cold, by calorimetry."""

from models.concrete import maturity
from tests.published.register.check import Check


def _warm_to_cold() -> float:
    warm, cold = maturity.rate([30.0, 5.0], activation_energy_kJ_mol=32.2)
    return float(warm / cold)


CHECKS = (
    Check(
        "ZAKOUTSKY_2012",
        "rate at 30 to 5 degC, 32.2 kJ/mol",
        "-",
        3.0,
        _warm_to_cold,
        "0.4",
        "page",
        "abstract: about three times earlier",
    ),
)
