"""Share of the 28-day strength by age, equation 2-1, beside the curves of our classes.

Cements of today harden faster on the first days than the standard's: measured with no slag and ash
in BOXCRETE_STRENGTH, 0.48 after 1 d and 0.70 after 3 d. Our classes stand between them.
"""

from models.concrete import strength
from models.facts.cements import CLASSES, DORMANT_FRACTION, GAIN_POWER, REFERENCE_28D_MPA
from tests.published.register.check import Check

AGES_D = (1.0, 3.0, 7.0, 14.0, 28.0, 91.0)
ROWS = (  # cement and curing, our class, a d, b, shares at those ages
    (
        "Type I moist",
        "general-purpose",
        4.0,
        0.85,
        (0.2062, 0.4580, 0.7035, 0.8805, 1.0072, 1.1186),
    ),
    ("Type III moist", "high-early", 2.3, 0.92, (0.3106, 0.5929, 0.8009, 0.9223, 0.9979, 1.0579)),
)


def ours_at(days: float, kind: str) -> float:
    """Share of its 28-day strength that the curve of a class gives, of the class's own strength."""
    mix = CLASSES[kind]
    s = mix.gain.s * (mix.strength_MPa_28d / REFERENCE_28D_MPA) ** GAIN_POWER
    share = strength.strength(
        24 * days,
        strength_28d_MPa=1.0,
        rate_constant_h=strength.AGE_28_H * s**2,
        exponent=mix.gain.exponent,
        dormant_h=DORMANT_FRACTION * mix.initial_set_h,
    )
    return float(share)


def _share(cement: str, kind: str, a_d: float, b: float, days: float, share: float) -> Check:
    return Check(
        "ACI_209R",
        f"share of the 28-day strength at {days:g} d, {cement} beside class {kind}",
        "-",
        share,
        lambda: ours_at(days, kind),
        {1.0: "34 %", 3.0: "16 %"}.get(days, "8 %"),
        "mathematics",
        f"arithmetic on the printed coefficients {a_d:g}, {b:g}",
    )


CHECKS = tuple(
    _share(cement, kind, a_d, b, days, share)
    for cement, kind, a_d, b, row in ROWS
    for days, share in zip(AGES_D, row, strict=True)
)
