"""First heating of a piece that stands by a fire."""

import numpy as np

from models.facts.after import FIRE_ADVICE, FIRE_AGE_D
from models.facts.moisture import CONSTANT_MASS_PCT, FIRE_PROBE_RH, SPALLING_MOST_PCT, SPALLING_PCT
from models.message import Message
from models.results import Need
from models.steps.case import Case
from models.steps.dry import DAY_H, constant_days, dry_since, mass_stands_still
from models.steps.opening import StepOpening


def first_heating(case: Case) -> StepOpening:
    """Twenty-eight days and dry, whichever comes later; rain closes it again.

    Dry is 3 % by mass, or up to 4 % where the test depth is at 75 % and the mass is constant over
    the days of the section; and no rain in those days.

    Source: EN_1992_1_2, DTU_DS_411, COMMON_PRACTICE.
    """
    trajectory, drying, section_mm = case.trajectory, case.drying, case.setup.shape.thickest_mm
    dried, days = drying.dried, constant_days(section_mm)
    settled = mass_stands_still(drying, section_mm) & (dried.probe_rh <= FIRE_PROBE_RH)
    dry = (dried.by_mass_pct <= SPALLING_PCT) | (settled & (dried.by_mass_pct <= SPALLING_MOST_PCT))
    fair = dry_since(drying, DAY_H * days)
    rows = np.arange(len(trajectory.hour))[:, None]
    reached = fair & dry & (trajectory.hour[:, None] >= DAY_H * FIRE_AGE_D)
    last_reached = np.maximum.accumulate(np.where(reached, rows, -1), axis=0)
    last_wet = np.maximum.accumulate(np.where(fair, -1, rows), axis=0)
    may = last_reached > last_wet  # a damp day takes nothing back, rain does
    opens = np.where(may.any(axis=0), trajectory.hour[np.argmax(may, axis=0)], np.inf)
    row = int(min(DAY_H * FIRE_AGE_D, trajectory.hour[-1]))
    low, high = (trajectory.quantile(dried.by_mass_pct[row], q) for q in (0.1, 0.9))
    return StepOpening(
        "first-heating",
        Need(Message("age"), FIRE_AGE_D, "d"),
        opens,
        ("EN_1992_1_2", "DTU_DS_411", "BRANZ_SORPTION", "COMMON_PRACTICE"),
        tuple(Message(code) for code in FIRE_ADVICE),
        chance=may @ trajectory.weight,
        also=(
            Message(
                "and_dry_for_fire",
                {
                    "dry_pct": SPALLING_PCT,
                    "most_pct": SPALLING_MOST_PCT,
                    "probe_rh": FIRE_PROBE_RH,
                    "constant_pct": CONSTANT_MASS_PCT,
                    "within_d": days,
                },
            ),
        ),
        note=(
            Message("moisture_then", {"low_pct": low, "high_pct": high, "after_d": row / DAY_H}),
        ),
        never=Message("air_does_not_dry", {"within_d": trajectory.hour[-1] / DAY_H}),
    )
