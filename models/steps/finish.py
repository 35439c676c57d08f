"""Finish the face while it can be worked; cover it when it no longer marks."""

from models.facts.fresh import BLEED_END_FRACTION, NO_BLEED_FRACTION
from models.message import Message
from models.piece.shape import Shape
from models.results import Need
from models.steps.case import Case
from models.steps.opening import GLOVES, StepOpening


def finish(case: Case) -> StepOpening:
    """Float and trowel between the end of bleeding and the initial set."""
    trajectory, kind = case.trajectory, case.mix
    fraction = BLEED_END_FRACTION if kind.bleeds else NO_BLEED_FRACTION
    begin = fraction * trajectory.initial_set_h
    return StepOpening(
        "finish",
        Need(Message("of_initial_set"), fraction, ""),
        trajectory.first(trajectory.te_mean_h, begin),
        ("ASTM_C403", "COMMON_PRACTICE"),
        (GLOVES, Message("no_bleed_water"), *_inserts(case.setup.shape)),
        closes_h=trajectory.first(trajectory.te_mean_h, trajectory.initial_set_h),
        shown=trajectory.te_mean_h / trajectory.initial_set_h,
        note=(Message("check_thumb", {"mark_mm": 6}),) if kind.bleeds else (),
        missed=Message("missed_finish"),
        by_check=True,
    )


def cover(case: Case) -> StepOpening:
    """Film or wet cover on, once the face no longer marks; at once where it dries too fast."""
    trajectory, rate, shape = case.trajectory, case.evaporation_kg_m2h, case.setup.shape
    limit = case.evaporation_limit_kg_m2h
    hasty = rate > limit
    begin = 0.0 * trajectory.initial_set_h if hasty else trajectory.initial_set_h
    need = (
        Need(Message("early_evaporation"), limit, "kg/m2h")
        if hasty
        else Need(Message("of_initial_set"), 1.0, "")
    )
    note = Message(
        "evaporation_passes" if hasty else "evaporation_stays",
        {"rate_kg_m2h": rate, "limit_kg_m2h": limit},
    )
    return StepOpening(
        "cover",
        need,
        trajectory.first(trajectory.te_mean_h, begin),
        ("UNO_1998", "ACI_305R", "ASTM_C403"),
        (
            *(() if shape.film_may_lie else (Message("film_off_fresh_face"),)),
            *(() if shape.trowelled else _inserts(shape)),
        ),
        closes_h=trajectory.first(trajectory.te_mean_h, trajectory.final_set_h),
        note=(note,),
        missed=Message("missed_cover"),
        by_check=True,
    )


def _inserts(shape: Shape) -> tuple[Message, ...]:
    """What is cast in is looked at once more, while it can still be moved."""
    return (Message("inserts_still_level"),) if shape.inserts else ()
