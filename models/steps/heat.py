"""First heating of a piece that stands by a fire."""

import numpy as np

from models.facts.after import FIRE_ADVICE, FIRE_AGE_D
from models.facts.moisture import (
    CONSTANT_MASS_PCT,
    FIRE_PROBE_RH,
    SPALLING_MOST_PCT,
    SPALLING_PCT,
)
from models.quantile import quantile
from models.results import Need
from models.steps.dry import DAY_H, Drying, constant_days, dry_since, mass_is_constant
from models.steps.opening import Course, StepOpening


def first_heating(course: Course, drying: Drying, section_mm: float) -> StepOpening:
    """Twenty-eight days and dry, whichever comes later; rain closes it again.

    Dry is 3 % by mass, or up to 4 % where the test depth is at 75 % and the mass is constant over
    the days of the section; and no rain in those days.

    section_mm : [mm]
    Source: EN_1992_1_2, DTU_DS_411, COMMON_PRACTICE.
    """
    dried, days = drying.dried, constant_days(section_mm)
    settled = mass_is_constant(drying, section_mm) & (dried.probe_rh <= FIRE_PROBE_RH)
    dry = (dried.by_mass_pct <= SPALLING_PCT) | (settled & (dried.by_mass_pct <= SPALLING_MOST_PCT))
    fair = dry_since(drying, DAY_H * days)
    rows = np.arange(len(course.hour))[:, None]
    reached = fair & dry & (course.hour[:, None] >= DAY_H * FIRE_AGE_D)
    last_reached = np.maximum.accumulate(np.where(reached, rows, -1), axis=0)
    last_wet = np.maximum.accumulate(np.where(fair, -1, rows), axis=0)
    may = last_reached > last_wet  # a damp day takes nothing back, rain does
    opens = np.where(may.any(axis=0), course.hour[np.argmax(may, axis=0)], np.inf)
    row = int(min(DAY_H * FIRE_AGE_D, course.hour[-1]))
    low, high = (quantile(dried.by_mass_pct[row], course.weight, q) for q in (0.1, 0.9))
    return StepOpening(
        "first-heating",
        Need("age", FIRE_AGE_D, "d"),
        opens,
        ("EN_1992_1_2", "DTU_DS_411", "BRANZ_SORPTION", "COMMON_PRACTICE"),
        FIRE_ADVICE,
        chance=may @ course.weight,
        also=f"and dry, whichever is later: {SPALLING_PCT:g} % by mass, or {SPALLING_MOST_PCT:g} %"
        f" with {FIRE_PROBE_RH:.0%} at the test depth and under {CONSTANT_MASS_PCT:g} % of mass"
        f" lost or gained in {days} days in the open without rain",
        note=f"about {low:.1f} to {high:.1f} % by mass at {row / DAY_H:.0f} days; weigh it to be"
        " sure",
        never=f"this air does not dry it so far within {course.hour[-1] / DAY_H:.0f} days; under a"
        " roof or in a warm dry room it dries sooner",
    )
