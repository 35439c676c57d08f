"""Heat of two measured cements by the three-parameter curve fitted to each."""

from models.concrete import hydration
from tests.published.register.check import Check

RECORDS = {  # record: hours, measured J/g, fitted (J/g, tau h, beta)
    122: (
        (6.0, 12.0, 24.0, 48.0, 72.0, 168.0, 262.0),
        (38.0, 143.0, 230.0, 304.0, 338.0, 375.0, 388.0),
        (408.2, 13.43, 0.979),
    ),
    116: (
        (6.0, 12.0, 24.0, 48.0, 72.0, 168.0, 617.0),
        (35.0, 96.0, 184.0, 246.0, 277.0, 325.0, 367.0),
        (383.7, 17.37, 0.803),
    ),
}


def _heat(record: int, hours: float, measured: float, fitted: tuple[float, float, float]) -> Check:
    heat, tau_h, beta = fitted
    return Check(
        "SMILAUER_2025",
        f"heat of cement {record} after {hours:g} h at 20 degC",
        "J/g",
        measured,
        lambda: (
            heat * float(hydration.degree_of_hydration(hours, ultimate=1.0, tau_h=tau_h, beta=beta))
        ),
        "15",
        "fit",
        f"isothermal record beside the curve fitted to it, {heat:g} J/g, {tau_h:g} h, {beta:g}",
    )


CHECKS = tuple(
    _heat(record, hours, measured, fitted)
    for record, (ages, heats, fitted) in RECORDS.items()
    for hours, measured in zip(ages, heats, strict=True)
)
