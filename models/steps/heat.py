"""First heating of a piece that stands by a fire: fires one after the other, each hotter."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from models.facts.after import FIRE_ADVICE, FIRE_AGE_D, FIRE_APART_H, FIRE_STAGES
from models.facts.moisture import CONSTANT_MASS_PCT, FIRE_PROBE_RH, SPALLING_MOST_PCT, SPALLING_PCT
from models.message import Message
from models.results import Need
from models.steps.case import Case
from models.steps.dry import DAY_H, constant_days, dry_since, mass_stands_still
from models.steps.opening import StepOpening, before
from models.units import Mask

FIRST = "first-heating"
LATER = tuple(f"fire-{number}" for number in range(2, len(FIRE_STAGES) + 1))
NO_YES = Message("fire_no_yes")


def first_heating(case: Case) -> StepOpening:
    """Twenty-eight days and dry, whichever comes later; rain closes it again.

    Dry is 3 % by mass, or up to 4 % where the test depth is at 75 % and the mass is constant over
    the days of the section; and no rain in those days.

    Source: EN_1992_1_2, DTU_DS_411, COMMON_PRACTICE.
    """
    trajectory, dried, may = case.trajectory, case.drying.dried, _dry(case)
    opens = np.where(may.any(axis=0), trajectory.hour[np.argmax(may, axis=0)], np.inf)
    row = int(min(DAY_H * FIRE_AGE_D, trajectory.hour[-1]))
    low, high = (trajectory.quantile(dried.by_mass_pct[row], q) for q in (0.1, 0.9))
    opening = StepOpening(
        FIRST,
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
                    "within_d": constant_days(case.setup.shape.thickest_mm),
                },
            ),
        ),
        note=(
            Message("moisture_then", {"low_pct": low, "high_pct": high, "after_d": row / DAY_H}),
            _stage(1),
        ),
        never=Message("air_does_not_dry", {"within_d": trajectory.hour[-1] / DAY_H}),
    )
    return _by_burner(case, opening)


def fire(number: int) -> Callable[[Case], StepOpening]:
    """The criterion of a later fire: a day after the one before it, and as dry and as old as the
    first asks, whoever lit that; after rain the piece dries again, the fire before is repeated, and
    this one follows a day later.

    Source: COMMON_PRACTICE; EN_1992_1_2 and DTU_DS_411 for dry.
    """
    under = FIRST if number == 2 else f"fire-{number - 1}"

    def later(case: Case) -> StepOpening:
        trajectory, last_h = case.trajectory, case.done_h(under)
        hour = trajectory.hour[:, None]
        rained = np.maximum.accumulate(case.drying.wet_top & (hour > last_h), axis=0)
        dry = _dry(case)
        dry_a_day = dry & (before(dry.astype(float), trajectory.hour, FIRE_APART_H) >= 1.0)
        may = (hour >= last_h + FIRE_APART_H) & dry & (~rained | dry_a_day)
        opens = np.where(may.any(axis=0), trajectory.hour[np.argmax(may, axis=0)], np.inf)
        wet = float(rained[-1] @ trajectory.weight) >= 0.5
        again = (Message("fire_back", {"number": float(number - 1)}), _stage(number - 1))
        opening = StepOpening(
            f"fire-{number}",
            Need(Message("since_last_fire_h"), FIRE_APART_H, "h"),
            opens,
            ("EN_1992_1_2", "DTU_DS_411", "COMMON_PRACTICE"),
            (Message("moist_spalls"),),
            chance=may @ trajectory.weight,
            note=(*(again if wet else ()), _stage(number)),
            after=under,
            never=Message("air_does_not_dry", {"within_d": trajectory.hour[-1] / DAY_H}),
        )
        return _by_burner(case, opening)

    return later


def _dry(case: Case) -> Mask:
    """Whether a piece is old and dry enough for a fire, and was no more wet since, (rows, members);
    its thickest part dries last.

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
    may: Mask = last_reached > last_wet  # a damp day takes nothing back, rain does
    return may


def _stage(number: int) -> Message:
    """What is burned in one fire, and what to look, listen and feel for."""
    burn_min, most_C = FIRE_STAGES[number - 1]
    values = {"number": float(number), "stages": float(len(FIRE_STAGES))}
    return Message("fire_stage", {**values, "burn_min": burn_min, "most_C": most_C})


def _by_burner(case: Case, opening: StepOpening) -> StepOpening:
    """Of a piece that a burner goes in: closed until somebody said that a fitter was there."""
    if not case.setup.burner:
        return opening
    cautions = (Message("burner_asks"), *opening.cautions)
    if case.setup.burner_fitted:
        return replace(opening, cautions=cautions)
    never = np.full(case.trajectory.members, np.inf)
    chance = None if opening.chance is None else np.zeros_like(opening.chance)
    note = (NO_YES, *opening.note)
    return replace(
        opening, opens_h=never, chance=chance, cautions=cautions, note=note, never=NO_YES
    )
