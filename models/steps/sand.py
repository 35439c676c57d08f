"""Sand and hone."""

from collections.abc import Mapping

import numpy as np

from models.facts.after import PATCH_SAND_H
from models.facts.handling import STEP_STRENGTH
from models.message import Message
from models.results import Need
from models.steps import patch
from models.steps.case import Case
from models.steps.opening import DUST, StepOpening, Trajectory
from models.steps.strip import needed
from models.units import Array

AIR_BEFORE_SANDING_H = 4.0  # COMMON_PRACTICE: a few hours to a day with air all round


def sand(trajectory: Trajectory, chosen_MPa: Mapping[str, float], ready_h: Array) -> StepOpening:
    """Grains hold and the face is no longer green; some air all round first.

    ready_h : (members,) [h] stripped with some air since, and any patch hard enough
    """
    need = needed("sand", chosen_MPa)
    opens = np.maximum(trajectory.first(trajectory.strength_MPa, need), ready_h)
    return StepOpening(
        "sand",
        Need(Message("strength_slowest"), need, "MPa"),
        opens,
        STEP_STRENGTH["sand"].sources,
        (DUST,),
        shown=trajectory.strength_MPa,
        after="strip",
        note=(Message("check_nail_scratch"),),
    )


def hone(trajectory: Trajectory, chosen_MPa: Mapping[str, float], sanded_h: Array) -> StepOpening:
    """Hone without plucking grains, after sanding; later it is only harder work.

    sanded_h : (members,) [h] sanded, or when it may be
    """
    need = needed("hone", chosen_MPa)
    opens = np.maximum(trajectory.first(trajectory.strength_MPa, need), sanded_h)
    return StepOpening(
        "hone",
        Need(Message("strength_slowest"), need, "MPa"),
        opens,
        STEP_STRENGTH["hone"].sources,
        (DUST, Message("wet_honing")),
        shown=trajectory.strength_MPa,
        after="sand",
    )


def of_case(case: Case) -> StepOpening:
    """Sanding, of one pour: with some air all round, and any patch hard enough."""
    patched = patch.hard_h(case.trajectory, case.setup.done.get("patch"), PATCH_SAND_H)
    ready = np.maximum(case.off_h + AIR_BEFORE_SANDING_H, patched)
    return sand(case.trajectory, case.needs_MPa, ready)


def hone_of_case(case: Case) -> StepOpening:
    """Honing, of one pour: after it was sanded, or may be."""
    done = case.setup.done
    sanded = (
        np.full(case.trajectory.members, done["sand"]) if "sand" in done else of_case(case).opens_h
    )
    return hone(case.trajectory, case.needs_MPa, sanded)
