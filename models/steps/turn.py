"""Turn the piece over: the strength it has against the strength this move needs."""

from collections.abc import Mapping

import numpy as np

from models.facts.handling import ADHESION_KN_M2, TURN_FLOOR_MPA
from models.facts.moisture import CURLS_AFTER_H
from models.facts.protection import COVERS
from models.message import Message, Value
from models.piece import quantities
from models.piece.handling import hands_for
from models.piece.shape import Shape
from models.piece.turning import proposed, proposed_for, turning_ways
from models.results import Need
from models.steps.case import Case
from models.steps.opening import StepOpening
from models.units import Mask


def needed(
    shape: Shape,
    density_kg_m3: float,
    board: str,
    chosen_MPa: Mapping[str, float],
    gear: tuple[str, ...] = (),
) -> float:
    """Strength the way of turning asks for that asks least of what the shop can do, or the shop's
    own number over it [MPa].

    board : of the mould, a key of facts.handling.ADHESION_KN_M2; gear : of turning.GEAR
    Source: ACI_318 and PCI_HANDLING for the bending, COMMON_PRACTICE for the floor.
    """
    asks = proposed_for(shape, density_kg_m3, board, gear).need_MPa
    return max(chosen_MPa.get("turn", asks), asks, TURN_FLOOR_MPA)


def turn(case: Case) -> StepOpening:
    """By the way that asks least, after stripping; its end, once drying is known, is the hour at
    which one face has dried alone for two days, however long it was covered.

    Nobody can turn it before it is strong: where it dried sooner than that there is no end.
    """
    shape, trajectory, density = case.setup.shape, case.trajectory, case.density_kg_m3
    board = case.setup.board
    ways = turning_ways(shape, density, ADHESION_KN_M2[board])
    gentle, rough = proposed(ways, case.gear), ways[-1]
    need = needed(shape, density, board, case.needs_MPa, case.gear)
    opens = np.maximum(trajectory.first(trajectory.strength_MPa, need), case.planned_h["strip"])
    note = [Message("turn_bending", {"turned": gentle.key, "bending_MPa": gentle.stress_MPa})]
    if rough.stress_MPa > gentle.stress_MPa:
        values: dict[str, Value] = {
            "turned": rough.key,
            "need_MPa": rough.need_MPa,
            "bending_MPa": rough.stress_MPa,
        }
        note.append(Message("turn_rougher", values))
    closes, bare = None, _bare_on_one_face(case)
    if bare is not None:
        dried = trajectory.first(np.cumsum(bare, axis=0), CURLS_AFTER_H)
        closes = np.where(dried > opens, dried, np.inf)
    mass_kg = quantities.mass_kg(shape.volume_l, density)
    return StepOpening(
        "turn",
        Need(Message("strength_to_turn", {"turned": gentle.key}), need, "MPa"),
        opens,
        ("ACI_318", "PCI_HANDLING", "VDI_BV_BS_6205", "COMMON_PRACTICE"),
        (
            Message("lift_with", {"mass_kg": mass_kg, "hands": hands_for(mass_kg)}),
            Message("break_suction"),
        ),
        closes_h=closes,
        shown=trajectory.strength_MPa,
        after="strip",
        note=tuple(note),
        missed=Message("missed_turn"),
    )


def _bare_on_one_face(case: Case) -> Mask | None:
    """Hours in which the upper face dries and the lower cannot, (rows, members): only of a panel
    off its mould whose wet cure was ended. None: it cannot be, or drying is not computed yet."""
    done = case.setup.done
    ended = any(step in done for step in ("end-wet-cure", "sand", "hone", "coat-1"))
    if case.dried is None or case.setup.shape.like != "panel" or "strip" not in done or not ended:
        return None
    lies_h = [
        covering.from_h
        for covering in case.coverings
        if covering.to_h is None and COVERS[covering.kind].sealed
    ]  # until it is marked as taken off
    until = np.inf if "uncover" in done else min(lies_h, default=np.inf)
    hour = case.trajectory.hour
    lies_open = (hour >= done["strip"]) & (hour < until)
    return case.dried.open_top & ~case.dried.wet_top & lies_open[:, None]
