"""Load a piece for its way to the client, and set it up there."""

from dataclasses import replace

import numpy as np

from models.facts.handling import TRAVEL_FACTOR, TURN_FLOOR_MPA
from models.message import Message
from models.piece import quantities
from models.piece.handling import hands_for, strength_needed_MPa
from models.piece.turning import travel_stress_MPa
from models.results import Need
from models.steps.case import Case
from models.steps.opening import Condition, StepOpening
from models.steps.strip import needed as struck_needed
from models.steps.use import FILM, film_through_h

SOURCES = ("ACI_318", "PCI_HANDLING", "ACI_551", "COMMON_PRACTICE")


def load_MPa(case: Case) -> float:
    """Strength that a piece on edge asks for on the road [MPa]: as if it lay flat between its long
    edges under twice its weight, never less than before a turn.

    Source: ACI_318, PCI_HANDLING, ACI_551; floor COMMON_PRACTICE.
    """
    stress_MPa = travel_stress_MPa(case.setup.shape, case.density_kg_m3)
    return max(TURN_FLOOR_MPA, strength_needed_MPa(stress_MPa), case.needs_MPa.get("load", 0.0))


def load(case: Case) -> StepOpening:
    """Strong enough for kerbs, out of its mould, and its film so hard that no wrap sticks to it."""
    mass_kg = quantities.mass_kg(case.setup.shape.volume_l, case.density_kg_m3)
    return _on_its_way(
        case,
        "load",
        load_MPa(case),
        case.setup.last_coat if case.setup.sealed else "strip",
        Message("load_on_edge", {"mass_kg": mass_kg, "hands": hands_for(mass_kg)}),
    )


def install(case: Case) -> StepOpening:
    """After the road, strong enough for things on it; from then on its place is the owner's."""
    need_MPa = max(load_MPa(case), struck_needed("light-use", case.needs_MPa))
    mass_kg = quantities.mass_kg(case.setup.shape.volume_l, case.density_kg_m3)
    floor = Message("install_floor", {"mass_kg": mass_kg})
    return _on_its_way(case, "install", need_MPa, "load", floor)


def _on_its_way(
    case: Case, step: str, need_MPa: float, after: str, caution: Message
) -> StepOpening:
    trajectory, stripped_h = case.trajectory, case.planned_h["strip"]
    strong = trajectory.first(trajectory.strength_MPa, need_MPa)
    opening = StepOpening(
        step,
        Need(Message("strength_slowest"), need_MPa, "MPa"),
        np.maximum(strong, stripped_h),
        SOURCES,
        (caution,),
        shown=trajectory.strength_MPa,
        note=(Message("travel_jerk", {"factor": TRAVEL_FACTOR}),),
        after=after,
    )
    if not case.setup.sealed:
        return opening
    film, waits = film_through_h(case)
    return replace(
        opening,
        opens_h=np.maximum(opening.opens_h, film),
        conditions=(Condition(FILM, film),),
        waits_for=waits,
    )
