"""Take the cold-weather protection off: frost strength, and no sudden chill."""

import numpy as np

from models.facts.protection import COOLING_K_24H, FROST_MPA, OFF_WITHIN_K
from models.message import Message
from models.results import Need
from models.steps.opening import Condition, StepOpening, Trajectory


def cooling_limit_K(section_mm: float) -> float:
    """Largest drop of the surface in 24 h after protection ends [K]. section_mm [mm].

    Source: ACI_306R table 5.1 (50, 40, 30, 20 F).
    """
    return next(limit for most, limit in COOLING_K_24H if section_mm < most)


def uncover(trajectory: Trajectory, section_mm: float) -> StepOpening:
    """Frost strength at the coldest place, and a surface within 11 K of the air."""
    strong = trajectory.first(trajectory.strength_MPa, FROST_MPA)
    may = (trajectory.hour[:, None] >= strong) & (
        trajectory.top_C - trajectory.air_C <= OFF_WITHIN_K
    )
    row = np.argmax(may, axis=0)
    known = may[row, np.arange(trajectory.members)]
    opens = np.where(known, np.maximum(trajectory.hour[row], strong), np.inf)
    limit = cooling_limit_K(section_mm)
    return StepOpening(
        "uncover",
        Need(Message("strength_coldest"), FROST_MPA, "MPa"),
        opens,
        ("ACI_306R", "EN_13670"),
        (Message("loosen_first", {"fall_K": limit, "in_h": 24}),),
        shown=trajectory.strength_MPa,
        conditions=(Condition(Message("last_face_within", {"within_K": OFF_WITHIN_K}), opens),),
        also=(Message("and_face_within", {"within_K": OFF_WITHIN_K}),),
    )
