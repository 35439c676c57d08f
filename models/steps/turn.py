"""Turn the piece over: the strength it has against the strength this move needs."""

from dataclasses import replace

import numpy as np

from models.facts.handling import TURN_FLOOR_MPA
from models.piece.handling import Way, hands_for
from models.results import Need
from models.steps.opening import Course, StepOpening
from models.units import Array, Mask

CURLS_AFTER_H = 48.0  # one face bare to the air this long, the other shut: COMMON_PRACTICE


def turn(
    course: Course,
    ways: tuple[Way, ...],
    mass_kg: float,
    chosen_MPa: dict[str, float],
    after_h: Array,
) -> StepOpening:
    """By the gentlest way, after stripping. after_h : (members,) [h] of stripping."""
    gentle, rough = ways[0], ways[-1]
    need = max(chosen_MPa.get("turn", gentle.need_MPa), gentle.need_MPa, TURN_FLOOR_MPA)
    opens = np.maximum(course.first(course.strength_MPa, need), after_h)
    other = (
        f" {rough.words.capitalize()} it would need {rough.need_MPa:.0f} MPa"
        f" (bending {rough.stress_MPa:.1f} MPa with the jerk)."
        if rough is not gentle
        else ""
    )
    return StepOpening(
        "turn",
        Need(f"strength, {gentle.words}", need, "MPa"),
        opens,
        ("ACI_318", "PCI_HANDLING", "COMMON_PRACTICE"),
        (
            f"{mass_kg:.0f} kg: {hands_for(mass_kg)}; foam under the edge, nobody beneath.",
            "Break the suction first; clamp the mould board or a strongback on.",
        ),
        shown=course.strength_MPa,
        after="strip",
        note=f"{gentle.words.capitalize()}, bending is {gentle.stress_MPa:.2f} MPa.{other}",
        missed="One face has dried: damp it, wait a day, then turn.",
    )


def by_the_bare_face(opening: StepOpening, course: Course, bare: Mask) -> StepOpening:
    """The same with its end: one face has dried alone for two days, however long it was covered.

    bare : (rows, members) hours in which one face dries and the other cannot
    Nobody can turn it before it is strong: where it dried sooner than that there is no end.
    """
    dried = course.first(np.cumsum(bare, axis=0), CURLS_AFTER_H)
    return replace(opening, closes_h=np.where(dried > opening.opens_h, dried, np.inf))
