"""Turn the piece over: the strength it has against the strength this move needs."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from models.facts.handling import TURN_FLOOR_MPA
from models.facts.protection import COVERS
from models.message import Message, Value
from models.piece import quantities
from models.piece.handling import Way, hands_for, ways_of_turning
from models.results import Need
from models.steps.case import Case
from models.steps.opening import StepOpening, Trajectory
from models.units import Array, Mask

CURLS_AFTER_H = 48.0  # one face bare to the air this long, the other shut: COMMON_PRACTICE


def turn(
    trajectory: Trajectory,
    ways: tuple[Way, ...],
    mass_kg: float,
    chosen_MPa: Mapping[str, float],
    after_h: Array,
) -> StepOpening:
    """By the gentlest way, after stripping. after_h : (members,) [h] of stripping."""
    gentle, rough = ways[0], ways[-1]
    need = max(chosen_MPa.get("turn", gentle.need_MPa), gentle.need_MPa, TURN_FLOOR_MPA)
    opens = np.maximum(trajectory.first(trajectory.strength_MPa, need), after_h)
    note = [Message("turn_bending", {"turned": gentle.key, "bending_MPa": gentle.stress_MPa})]
    if rough is not gentle:
        values: dict[str, Value] = {
            "turned": rough.key,
            "need_MPa": rough.need_MPa,
            "bending_MPa": rough.stress_MPa,
        }
        note.append(Message("turn_rougher", values))
    return StepOpening(
        "turn",
        Need(Message("strength_to_turn", {"turned": gentle.key}), need, "MPa"),
        opens,
        ("ACI_318", "PCI_HANDLING", "COMMON_PRACTICE"),
        (
            Message("lift_with", {"mass_kg": mass_kg, "hands": hands_for(mass_kg)}),
            Message("break_suction"),
        ),
        shown=trajectory.strength_MPa,
        after="strip",
        note=tuple(note),
        missed=Message("missed_turn"),
    )


def by_the_bare_face(opening: StepOpening, trajectory: Trajectory, bare: Mask) -> StepOpening:
    """The same with its end: one face has dried alone for two days, however long it was covered.

    bare : (rows, members) hours in which one face dries and the other cannot
    Nobody can turn it before it is strong: where it dried sooner than that there is no end.
    """
    dried = trajectory.first(np.cumsum(bare, axis=0), CURLS_AFTER_H)
    return replace(opening, closes_h=np.where(dried > opening.opens_h, dried, np.inf))


def of_case(case: Case) -> StepOpening:
    """Turning, of one pour; with the end that a bare face sets to it, once drying is reckoned."""
    shape = case.setup.shape
    opening = turn(
        case.trajectory,
        ways_of_turning(shape, case.density_kg_m3),
        quantities.mass_kg(shape.volume_l, case.density_kg_m3),
        case.needs_MPa,
        case.off_h,
    )
    bare = _bare_on_one_face(case)
    return opening if bare is None else by_the_bare_face(opening, case.trajectory, bare)


def _bare_on_one_face(case: Case) -> Mask | None:
    """Hours in which the upper face dries and the lower cannot, (rows, members): only of a panel
    off its mould whose wet cure was ended. None: it cannot be, or drying is not reckoned yet."""
    done = case.setup.done
    ended = any(step in done for step in ("end-wet-cure", "sand", "hone", "coat-1"))
    if case.dried is None or case.setup.shape.kind != "panel" or "strip" not in done or not ended:
        return None
    lies_h = [
        guard.from_h for guard in case.guards if guard.to_h is None and COVERS[guard.kind].sealed
    ]  # until it is marked as taken off
    until = np.inf if "uncover" in done else min(lies_h, default=np.inf)
    hour = case.trajectory.hour
    seen = (hour >= done["strip"]) & (hour < until)
    return case.dried.open_top & ~case.dried.wet_top & seen[:, None]
