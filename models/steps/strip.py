"""Take the mould away: knock-outs, the core, the side walls."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from models.facts.blemishes import SUGARY_BOARDS
from models.facts.fresh import CORE_LOCKS_H, LOCKED_AFTER
from models.facts.handling import ADHESION_KN_M2, STEP_STRENGTH, STRUCK_AT_TE_H, UNSEALED_BOARDS
from models.message import Message
from models.piece.handling import strength_needed_MPa
from models.piece.turning import peeled_stress_MPa
from models.results import Need
from models.steps.case import Case
from models.steps.opening import NO_PRY, Condition, StepOpening, Trajectory, level
from models.units import Array

FINAL_SET = Message("last_final_set")


def needed(step: str, chosen_MPa: Mapping[str, float]) -> float:
    """Strength a step asks for [MPa]: the shop's own number, never under the hard floor.

    step : a key of facts.handling; chosen_MPa : the shop's own numbers [MPa]
    Source: CCA_42505 and COMMON_PRACTICE, as in facts.handling.
    """
    row = STEP_STRENGTH[step]
    return max(chosen_MPa.get(step, row.default_MPa), row.floor_MPa)


def knock_out(case: Case) -> StepOpening:
    """Knock-outs and pipes leave after final set, before shrinkage locks them."""
    trajectory = case.trajectory
    opens = trajectory.first(trajectory.te_mean_h, trajectory.final_set_h)
    locks = trajectory.first(trajectory.te_mean_h, LOCKED_AFTER * trajectory.final_set_h)
    return StepOpening(
        "knock-out",
        Need(Message("of_final_set"), 1.0, ""),
        opens,
        ("ASTM_C403", "COMMON_PRACTICE"),
        (NO_PRY,),
        closes_h=_of_the_oldest(case, opens, locks),
        shown=trajectory.te_mean_h / trajectory.final_set_h,
        note=(Message("check_nail_dent"),),
        missed=Message("missed_knock_out"),
        by_check=True,
    )


def _of_the_oldest(case: Case, opens_h: Array, closes_h: Array) -> Array:
    """When what lies deepest closes [h], (members,): the oldest batch is there, as warm as the
    youngest and so much earlier; never before the youngest opens.

    Source: OWN_JUDGEMENT.
    """
    return np.maximum(closes_h - case.older_h, opens_h)


def core(case: Case) -> StepOpening:
    """The inner mould comes out before the outer walls, before shrinkage grips it.

    Shrinkage is counted from the hour at which the shop may rely on the walls, so that who waits
    for that hour always has time.
    """
    trajectory = case.trajectory
    peeled_MPa = peeled_stress_MPa(case.setup.shape, ADHESION_KN_M2[case.setup.board])
    need = max(needed("core", case.needs_MPa), strength_needed_MPa(peeled_MPa))
    set_h = trajectory.first(trajectory.te_mean_h, trajectory.final_set_h)
    opens = np.maximum(trajectory.first(trajectory.strength_mean_MPa, need), set_h)
    safe_h = trajectory.hour_by(opens, level("piece", case.confidence))
    closes = np.full(trajectory.members, np.inf)
    if np.isfinite(safe_h):
        age = trajectory.at(trajectory.te_mean_h, safe_h) + CORE_LOCKS_H
        closes = _of_the_oldest(case, opens, trajectory.first(trajectory.te_mean_h, age))
    return StepOpening(
        "core",
        Need(Message("strength_walls"), need, "MPa"),
        opens,
        STEP_STRENGTH["core"].sources,
        (NO_PRY, Message("slacken_wedges")),
        closes_h=closes,
        shown=trajectory.strength_mean_MPa,
        conditions=(Condition(FINAL_SET, set_h),),
        note=(Message("core_peel", {"bending_MPa": peeled_MPa}),),
        missed=Message("missed_core"),
    )


def least_te_h(case: Case) -> float:
    """Equivalent age before which no side is struck on less than the usual strength [h at 20 degC].

    2 N/mm2 was measured on cubes beside walls of plain Portland cement, with a release agent: at
    12 h in unsealed plywood, at 9 h in boards that take no water. Mixes that harden faster have
    their strength by then, and at the usual need the age is past.

    Source: CCA_42505.
    """
    if case.quick or needed("strip", case.needs_MPa) >= STEP_STRENGTH["strip"].default_MPa:
        return 0.0
    return STRUCK_AT_TE_H["unsealed" if case.setup.board in UNSEALED_BOARDS else "impermeable"]


def strip(
    trajectory: Trajectory, chosen_MPa: Mapping[str, float], from_te_h: float = 0.0
) -> StepOpening:
    """Side walls off: strength at the slowest place, final set, and an equivalent age [h]."""
    need = needed("strip", chosen_MPa)
    set_h = trajectory.first(trajectory.te_cold_h, trajectory.final_set_h)
    opens = np.maximum(trajectory.first(trajectory.strength_MPa, need), set_h)
    aged: tuple[Condition, ...] = ()
    if from_te_h > 0:
        aged_h = trajectory.first(trajectory.te_cold_h, from_te_h)
        opens = np.maximum(opens, aged_h)
        aged = (Condition(Message("last_struck_age", {"age_h": from_te_h, "at_C": 20.0}), aged_h),)
    return StepOpening(
        "strip",
        Need(Message("strength_coldest"), need, "MPa"),
        opens,
        STEP_STRENGTH["strip"].sources,
        (NO_PRY, Message("wet_edges_chip")),
        shown=trajectory.strength_MPa,
        conditions=(Condition(FINAL_SET, set_h), *aged),
    )


def walls(case: Case) -> StepOpening:
    """Side walls off; those of a piece with a core not before that may come out, which goes first.

    Where the class alone tells the strength it waits for its weakest twentieth, as the core does.
    """
    opening = strip(case.trajectory, case.needs_MPa, least_te_h(case))
    if case.setup.board in SUGARY_BOARDS:
        soft = Message("wood_sugar_face")
        opening = replace(opening, cautions=(*opening.cautions, soft))
    if not case.strength_told:
        opening = replace(opening, harm="piece")
    if not case.setup.shape.has_core or "core" in case.setup.done:
        return opening
    core_h = case.trajectory.quantile(core(case).opens_h, level("piece", case.confidence))
    first = np.full(case.trajectory.members, core_h)
    return replace(
        opening,
        opens_h=np.maximum(opening.opens_h, first),
        conditions=(*opening.conditions, Condition(Message("last_core"), first)),
    )
