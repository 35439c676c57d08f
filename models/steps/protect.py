"""Take the cold-weather protection off: frost strength, and no sudden chill."""

import numpy as np

from models.facts.air import WET_MM_H
from models.facts.frost import SOAKED_MPA
from models.facts.protection import COOLING_K_24H, NIGHT_AHEAD_H, OFF_WITHIN_K, PROTECTION_D
from models.message import Message, Sentence, Value
from models.results import Need
from models.steps.case import Case
from models.steps.opening import Condition, StepOpening, Trajectory
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


def rained_out_h(trajectory: Trajectory, from_h: Array) -> Array:
    """Hour after the last rain that would reach each member while it bears no frost wet [h].

    from_h : (members,) [h], when it bears one dry; 0 where no such rain falls
    Source: CSA_A23_1 (7 MPa), POWERS_1962 (room for ice until water from outside fills it).
    """
    wet_h = trajectory.first(trajectory.strength_MPa, SOAKED_MPA)
    hour = trajectory.hour[:, None]
    falls = (trajectory.rain_mm > WET_MM_H) & (hour >= np.floor(from_h)) & (hour < wet_h)
    last: Array = np.where(falls, hour + 1, 0.0).max(axis=0)
    return np.minimum(last, np.where(np.isfinite(wet_h), wet_h, last))


def uncover(case: Case) -> StepOpening:
    """Strength for one frost at the coldest place, the days of protection, and a face that will not
    fall by more than 11 K in the night to come. In cold weather what is wet, or would be rained on
    uncovered, waits until it bears a frost wet.

    Under a heater it need not come by itself: the heat is turned down first, as fast as the section
    bears; without one, hours come and go with the nights.
    """
    trajectory, code = case.trajectory, case.code
    days = PROTECTION_D["exposed" if case.setup.exposed_to_frost else "not exposed"][case.quick]
    guarded = trajectory.air_C[: int(24 * days) + 1].min(axis=0) <= code.cold_air_C
    need_MPa = trajectory.frost_need_MPa(code.frost_MPa)
    strong = trajectory.first(trajectory.strength_MPa, need_MPa)
    kept_h = np.where(guarded & (code.key == "ACI"), 24.0 * days, 0.0)
    dry_h = np.where(guarded, rained_out_h(trajectory, strong), 0.0)
    ready = np.maximum(np.maximum(strong, kept_h), dry_h)
    fall = trajectory.top_C - lowest_ahead(trajectory.air_C, NIGHT_AHEAD_H)
    limit = cooling_limit_K(case.setup.shape.thickest_mm)
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
    told_MPa = trajectory.told_frost_need_MPa(code.frost_MPa)
    cautions: tuple[Message, ...] = (Message("loosen_first", {"fall_K": limit, "in_h": 24}),)
    if told_MPa > code.frost_MPa:
        cautions += (Message("wet_bears_less", {"dry_MPa": code.frost_MPa, "wet_MPa": told_MPa}),)
    return StepOpening(
        "uncover",
        Need(Message("strength_coldest"), told_MPa, "MPa"),
        opens,
        tuple(dict.fromkeys(("ACI_306_1", "ACI_306R", *code.sources, "EN_13670", "CSA_A23_1"))),
        cautions,
        chance=chance,
        shown=trajectory.strength_MPa,
        conditions=(
            Condition(Message("last_protection_days", {"days_d": days}), kept_h),
            Condition(Message("last_no_rain_on_it", {"need_MPa": SOAKED_MPA}), dry_h),
            Condition(Message("last_face_within", {"within_K": OFF_WITHIN_K}), opens),
        ),
        also=(Message("and_face_within", {"within_K": OFF_WITHIN_K}),),
        note=note,
    )
