"""Sand and hone."""

import numpy as np

from models.facts.after import PATCH_SAND_H
from models.facts.handling import AIR_BEFORE_SANDING_H, STEP_STRENGTH
from models.message import Message, Sentence
from models.results import Need
from models.steps import patch
from models.steps.case import Case
from models.steps.opening import DUST, Condition, StepOpening
from models.steps.strip import needed
from models.units import Array

AIR_ALL_ROUND = Message("last_air_all_round", {"wait_h": AIR_BEFORE_SANDING_H})


def sand(case: Case) -> StepOpening:
    """Grains hold and the face is no longer green; some air all round, any patch hard enough."""
    patched = patch.hard_h(case.trajectory, case.setup.done.get("patch"), PATCH_SAND_H)
    ready = np.maximum(case.off_h + AIR_BEFORE_SANDING_H, patched)
    return _worked(case, "sand", ready, (DUST,), "strip", (Message("check_nail_scratch"),))


def hone(case: Case) -> StepOpening:
    """Hone without plucking grains, once it was sanded or may be; later it is only harder work."""
    sanded = case.done_h("sand")
    ready = np.full_like(case.off_h, sanded) if np.isfinite(sanded) else sand(case).opens_h
    return _worked(case, "hone", ready, (DUST, Message("wet_honing")), "sand")


def _worked(
    case: Case,
    step: str,
    ready_h: Array,
    cautions: tuple[Message, ...],
    after: str,
    note: Sentence = (),
) -> StepOpening:
    """The strength of a step at the slowest place, not before ready_h (members,) [h]."""
    trajectory, need = case.trajectory, needed(step, case.needs_MPa)
    return StepOpening(
        step,
        Need(Message("strength_slowest"), need, "MPa"),
        np.maximum(trajectory.first(trajectory.strength_MPa, need), ready_h),
        STEP_STRENGTH[step].sources,
        cautions,
        shown=trajectory.strength_MPa,
        after=after,
        conditions=(Condition(AIR_ALL_ROUND, ready_h),),
        note=note,
    )
