"""Turn the piece over: the strength it has against the strength this move needs."""

import numpy as np

from models.facts.handling import TURN_FLOOR_MPA
from models.gates.gate import Course, Need, Opening
from models.piece.handling import Way, hands_for

CURLS_AFTER_H = 48.0  # one face bare this long: COMMON_PRACTICE


def turn(
    course: Course, ways: tuple[Way, ...], mass_kg: float, chosen_MPa: dict[str, float],
    after_h: np.ndarray, stripped_h: float | None,
) -> Opening:  # fmt: skip
    """By the gentlest way; after stripping, before the bare face has curled it."""
    gentle, rough = ways[0], ways[-1]
    need = max(chosen_MPa.get("turn", gentle.need_MPa), gentle.need_MPa, TURN_FLOOR_MPA)
    opens = np.maximum(course.first(course.strength_MPa, need), after_h)
    closes = None
    if stripped_h is not None:
        closes = np.full(course.members, stripped_h + CURLS_AFTER_H)
    other = (
        f" {rough.words.capitalize()} it would need {rough.need_MPa:.0f} MPa"
        f" (bending {rough.stress_MPa:.1f} MPa with the jerk)."
        if rough is not gentle
        else ""
    )
    return Opening(
        "turn", Need(f"strength, {gentle.words}", need, "MPa"), opens,
        ("ACI_318", "PCI_HANDLING", "COMMON_PRACTICE"),
        (
            f"{mass_kg:.0f} kg: {hands_for(mass_kg)}; foam under the edge, nobody beneath.",
            "Break the suction first; clamp the mould board or a strongback on.",
        ),
        closes_h=closes, shown=course.strength_MPa, after="strip",
        note=f"{gentle.words.capitalize()}, bending is {gentle.stress_MPa:.2f} MPa.{other}",
        missed="One face has dried: damp it, wait a day, then turn.",
    )  # fmt: skip
