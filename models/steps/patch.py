"""A patch or pinhole slurry: its own clock by temperature; sanding and coats wait for it."""

import numpy as np

from models.facts.after import PATCH_COAT_H, PATCH_LEAST_C, PATCH_SAND_H
from models.message import Message
from models.results import Need
from models.steps.case import Case
from models.steps.opening import DUST, GLOVES, StepOpening, Trajectory
from models.units import Array


def hard_h(trajectory: Trajectory, patched_h: float | None, hours_at_20C: float) -> Array:
    """Hour at which a patch has had its hours at 20 degC, (members,) [h]; 0 without a patch.

    patched_h : [h] from placing, None: nothing was patched; hours_at_20C : [h]
    Source: UFGS_03700 for the hours, equivalent age for the temperature.
    """
    if patched_h is None:
        return np.zeros(trajectory.members)
    age = trajectory.at(trajectory.te_cold_h, patched_h) + hours_at_20C
    return np.maximum(trajectory.first(trajectory.te_cold_h, age), patched_h)


def patch(case: Case) -> StepOpening:
    """The patch that was logged: what it asks for until it may be coated."""
    return StepOpening(
        "patch",
        Need(Message("patch_hours"), PATCH_COAT_H, "h"),
        np.zeros(case.trajectory.members),
        ("UFGS_03700", "COMMON_PRACTICE"),
        (GLOVES, DUST),
        note=(
            Message(
                "patch_care",
                {"least_C": PATCH_LEAST_C, "sand_h": PATCH_SAND_H, "coat_h": PATCH_COAT_H},
            ),
        ),
    )
