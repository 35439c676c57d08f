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

AIR_ALL_ROUND = Message("last_air_all_round", {"wait_h": AIR_BEFORE_SANDING_H})


def sand(case: Case) -> StepOpening:
    """Grains hold and the face is no longer green; some air all round, any patch hard enough.

    Not before the end of the damp cure, unless it is sanded wet: dry dust would take its water.
    """
    members = case.trajectory.members
    bare_h = case.planned_h["end-wet-cure"]
    if case.setup.covered:
        bare_h = max(bare_h, case.planned_h["uncover"])
    air_h = case.planned_h["strip"] + AIR_BEFORE_SANDING_H
    patched_h = patch.hard_h(case.trajectory, case.setup.done.get("patch"), PATCH_SAND_H)
    conditions = (
        Condition(AIR_ALL_ROUND, np.full(members, air_h)),
        Condition(Message("last_damp_cure"), np.full(members, bare_h)),
        Condition(Message("last_patch", {"wait_h": PATCH_SAND_H}), patched_h),
    )
    after = "end-wet-cure" if "strip" in case.setup.done else "strip"
    note = (Message("check_nail_scratch"), Message("sand_wet_in_cure"))
    return _worked(case, "sand", conditions, (DUST,), after, note)


def hone(case: Case) -> StepOpening:
    """Hone without plucking grains, once it was sanded or may be; later it is only harder work."""
    sanded_h = np.full(case.trajectory.members, case.planned_h["sand"])
    if not np.isfinite(case.planned_h["sand"]):
        sanded_h = sand(case).opens_h
    conditions = (Condition(Message("last_worked"), sanded_h),)
    return _worked(case, "hone", conditions, (DUST, Message("wet_honing")), "sand")


def _worked(
    case: Case,
    step: str,
    conditions: tuple[Condition, ...],
    cautions: tuple[Message, ...],
    after: str,
    note: Sentence = (),
) -> StepOpening:
    """The strength of a step at the slowest place, not before its conditions."""
    trajectory, need = case.trajectory, needed(step, case.needs_MPa)
    strong_h = trajectory.first(trajectory.strength_MPa, need)
    return StepOpening(
        step,
        Need(Message("strength_slowest"), need, "MPa"),
        np.maximum.reduce([strong_h, *(one.opens_h for one in conditions)]),
        STEP_STRENGTH[step].sources,
        cautions,
        shown=trajectory.strength_MPa,
        after=after,
        conditions=conditions,
        note=note,
    )
