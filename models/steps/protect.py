"""Take the cold-weather protection off: frost strength, and no sudden chill."""

import numpy as np

from models.facts.protection import COOLING_K_24H, NIGHT_AHEAD_H, OFF_WITHIN_K, PROTECTION_D
from models.message import Message, Sentence, Value
from models.results import Need
from models.steps.case import Case
from models.steps.opening import Condition, StepOpening
from models.units import Array


def cooling_limit_K(section_mm: float) -> float:
    """Largest drop of the surface in 24 h after protection ends [K]. section_mm [mm].

    Source: ACI_306R table 5.1 (50, 40, 30, 20 F).
    """
    return next(limit for most, limit in COOLING_K_24H if section_mm < most)


def lowest_ahead(values: Array, rows: int) -> Array:
    """Least value from each row to so many rows ahead [unit of the values], (rows, members).

    values : (rows, members) [any unit]; what lies past the last row does not count
    Source: definition.
    """
    least, have = values.copy(), 1
    while have <= rows:  # two windows that overlap make a longer one
        step = min(have, rows + 1 - have)
        least[:-step] = np.minimum(least[:-step], least[step:])
        have += step
    return least


def uncover(case: Case) -> StepOpening:
    """Strength for one frost at the coldest place, the days of protection, and a face that will not
    fall by more than 11 K in the night to come.

    Under a heater it need not come by itself: the heat is turned down first, as fast as the section
    bears; without one, hours come and go with the nights.
    """
    trajectory, code = case.trajectory, case.code
    strong = trajectory.first(trajectory.strength_MPa, code.frost_MPa)
    days = PROTECTION_D["exposed" if case.setup.exposed_to_frost else "not exposed"][case.quick]
    guarded = trajectory.air_C[: int(24 * days) + 1].min(axis=0) <= code.cold_air_C
    kept_h = np.where(guarded & (code.key == "ACI"), 24.0 * days, 0.0)
    ready = np.maximum(strong, kept_h)
    fall = trajectory.top_C - lowest_ahead(trajectory.air_C, NIGHT_AHEAD_H)
    limit = cooling_limit_K(case.setup.shape.section_mm)
    chance: Array | None = None
    note: Sentence = ()
    if any(covering.heats for covering in case.coverings):
        at = np.minimum(ready, trajectory.hour[-1]).astype(int)
        over_K = np.maximum(fall[at, np.arange(trajectory.members)] - OFF_WITHIN_K, 0.0)
        opens = ready + 24.0 / limit * over_K
        over_h = trajectory.quantile(24.0 / limit * over_K, 0.5)
        if over_h >= 1:
            values: dict[str, Value] = {"fall_K": limit, "in_h": 24, "over_h": over_h}
            note = (Message("turn_heat_down_first", values),)
    else:
        may = (trajectory.hour[:, None] >= ready) & (fall <= OFF_WITHIN_K)
        row = np.argmax(may, axis=0)
        known = may[row, np.arange(trajectory.members)]
        opens = np.where(known, np.maximum(trajectory.hour[row], ready), np.inf)
        chance = may @ trajectory.weight
    return StepOpening(
        "uncover",
        Need(Message("strength_coldest"), code.frost_MPa, "MPa"),
        opens,
        tuple(dict.fromkeys(("ACI_306R", *code.sources, "EN_13670"))),
        (Message("loosen_first", {"fall_K": limit, "in_h": 24}),),
        chance=chance,
        shown=trajectory.strength_MPa,
        conditions=(
            Condition(Message("last_protection_days", {"days_d": days}), kept_h),
            Condition(Message("last_face_within", {"within_K": OFF_WITHIN_K}), opens),
        ),
        also=(Message("and_face_within", {"within_K": OFF_WITHIN_K}),),
        note=note,
    )
