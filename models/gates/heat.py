"""First heating of a piece that stands by a fire."""

import numpy as np

from models.facts.after import FIRE_ADVICE, FIRE_AGE_D
from models.facts.moisture import FIRE_PROBE_RH, SPALLING_PCT
from models.gates.dry import Drying, mass_is_constant
from models.gates.gate import Course, Need, Opening, quantile

HUMID_RH = 0.85  # as dry as the air lets it be counts only under this, OWN_JUDGEMENT


def first_heating(course: Course, drying: Drying) -> Opening:
    """Twenty-eight days and dry: 3 % by mass, or 75 % at the test depth, or as dry as it gets.

    Source: EN_1992_1_2, COMMON_PRACTICE.
    """
    dried = drying.dried
    settled = mass_is_constant(drying) & (dried.probe_rh <= HUMID_RH)
    dry = (dried.by_mass_pct <= SPALLING_PCT) | (dried.probe_rh <= FIRE_PROBE_RH) | settled
    rows = course.hour[:, None] >= 24 * FIRE_AGE_D
    both = dry & rows
    opens = np.where(both.any(axis=0), course.hour[np.argmax(both, axis=0)], np.inf)
    row = int(min(24 * FIRE_AGE_D, course.hour[-1]))
    low, high = (quantile(dried.by_mass_pct[row], course.weight, q) for q in (0.1, 0.9))
    return Opening(
        "first-heating", Need("age", FIRE_AGE_D, "d"), opens,
        ("EN_1992_1_2", "DTU_DS_411", "BRANZ_SORPTION", "COMMON_PRACTICE"),
        FIRE_ADVICE,
        also=f"and dry: {FIRE_PROBE_RH:.0%} at the test depth, or as dry as this air lets it",
        note=f"about {low:.1f} to {high:.1f} % by mass at {row / 24:.0f} days, and over"
        f" {SPALLING_PCT:g} % only small slow fires drive the rest out; weigh it to be sure",
    )  # fmt: skip
