"""Share of the 28-day strength by age, equation 2-1."""

from models.concrete import strength
from tests.published.register.check import Check

AGES_D = (1.0, 3.0, 7.0, 14.0, 28.0, 91.0, 365.0)
ROWS = (  # cement and curing, a d, b, shares at those ages
    ("Type I moist", 4.0, 0.85, (0.2062, 0.4580, 0.7035, 0.8805, 1.0072, 1.1186, 1.1615)),
    ("Type III moist", 2.3, 0.92, (0.3106, 0.5929, 0.8009, 0.9223, 0.9979, 1.0579, 1.0796)),
    ("Type I steam", 1.0, 0.95, (0.5128, 0.7792, 0.9150, 0.9790, 1.0145, 1.0406, 1.0496)),
    ("Type III steam", 0.70, 0.98, (0.5952, 0.8242, 0.9259, 0.9709, 0.9950, 1.0125, 1.0184)),
)


def _share(kind: str, a_d: float, b: float, days: float, share: float) -> Check:
    return Check(
        "ACI_209R",
        f"share of the 28-day strength at {days:g} d, {kind}",
        "-",
        share,
        lambda: float(strength.aci_209_fraction(days, a_d, b)),
        "1e-4",
        "mathematics",
        f"arithmetic on the printed coefficients {a_d:g}, {b:g}",
    )


CHECKS = tuple(
    _share(kind, a_d, b, days, share)
    for kind, a_d, b, row in ROWS
    for days, share in zip(AGES_D, row, strict=True)
)
