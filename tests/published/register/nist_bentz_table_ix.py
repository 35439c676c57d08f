"""Age factors printed beside measured activation energies."""

from models.concrete import maturity
from tests.published.register.check import Check


def _factor(
    energy: float, degrees: float, reference_C: float, factor: float, tolerance: str, where: str
) -> Check:
    return Check(
        "NIST_BENTZ_TABLE_IX",
        f"rate at {degrees:g} to {reference_C:g} degC, {energy:g} kJ/mol",
        "-",
        factor,
        lambda: float(
            maturity.rate(degrees, activation_energy_kJ_mol=energy, reference_C=reference_C)
        ),
        tolerance,
        "page",
        where,
    )


CHECKS = (
    _factor(38.2, 15.0, 25.0, 0.585, "0.001", "AmCeram node16, table IX"),
    _factor(38.2, 35.0, 25.0, 1.65, "0.005", "AmCeram node16, table IX"),
    _factor(45.5, 40.0, 20.0, 3.3, "0.05", "ACS2005 node6"),
)
