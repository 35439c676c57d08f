"""End of the wet cure: enough strength, or the days of the curing class."""

from dataclasses import replace

import numpy as np

from models.facts.curing import (
    DIN_DAYS,
    EN_MEDIUM_DAYS,
    FLOORS_C,
    R_LIMITS,
)
from models.facts.handling import WET_CURE_FRACTION
from models.facts.moisture import BOW_WORTH_MM, SHRINKAGE_PER_RH
from models.message import Message
from models.results import Need
from models.steps.case import Case
from models.steps.dry import Drying
from models.steps.opening import StepOpening, Trajectory


def din_days(surface_C: float, r: float) -> float | None:
    """Least curing days by surface temperature and r = fcm2 / fcm28 [d]; None under 5 degC.

    surface_C [degC]; r dimensionless 0 to 1. Source: EN_13670 (DIN 1045-3 table).
    """
    column = next(k for k, limit in enumerate(R_LIMITS) if r >= limit)
    for row, floor in enumerate(FLOORS_C):
        if surface_C >= floor:
            return DIN_DAYS[row][column]
    return None


def en_medium_days(surface_C: float, curing_class: int) -> float | None:
    """Least curing days at medium strength development [d]; None under 5 degC.

    surface_C [degC]; curing_class 2, 3 or 4. Source: EN_13670 tables F.1 to F.3.
    """
    for row, floor in enumerate(FLOORS_C):
        if surface_C >= floor:
            return EN_MEDIUM_DAYS[curing_class][row]
    return None


def end_wet_cure(trajectory: Trajectory, r: float) -> StepOpening:
    """Seventy per cent of the 28-day strength, or the curing days at the surface's temperature.

    Each hour counts its part of the days asked at its temperature; none under 5 degC.
    """
    need = WET_CURE_FRACTION * trajectory.named_28d_MPa
    column = next(k for k, limit in enumerate(R_LIMITS) if r >= limit)
    days = np.array([row[column] for row in DIN_DAYS])
    band = sum((trajectory.coldest_C < floor).astype(np.intp) for floor in FLOORS_C)
    part = np.where(band < len(days), 1 / (24 * days[np.minimum(band, len(days) - 1)]), 0.0)
    counted = np.concatenate((np.zeros((1, trajectory.members)), np.cumsum(part[1:], axis=0)))
    by_days = np.maximum(trajectory.first(counted, 1.0), 0.0)
    strong = trajectory.first(trajectory.strength_mean_MPa, need)
    both = np.maximum(
        by_days, trajectory.first(trajectory.strength_mean_MPa, 0.5 * trajectory.named_28d_MPa)
    )
    return StepOpening(
        "end-wet-cure",
        Need(Message("strength_section"), need, "MPa"),
        np.minimum(strong, both),
        ("ACI_308R", "EN_13670"),
        (
            Message("open_both_faces"),
            Message("film_off_whole"),
        ),
        shown=trajectory.strength_mean_MPa,
        also=(Message("or_curing_days"),),
    )


def bow_mm(tilt_rh: float, section_mm: float, length_mm: float) -> float:
    """Bow of a piece free to curl whose faces differ in pore humidity [mm].

    shrinkage x difference x length^2 / (8 thickness)

    tilt_rh : dimensionless, difference of the faces of a straight line; section_mm, length_mm [mm]
    Source: EN_1992_1_1 table 3.2 for the shrinkage; beam theory.

    >>> round(bow_mm(0.1, 50.0, 1500.0), 2)
    0.5
    """
    return SHRINKAGE_PER_RH * abs(tilt_rh) * length_mm**2 / (8 * section_mm)


def bow_caution(
    trajectory: Trajectory, drying: Drying, section_mm: float, length_mm: float
) -> tuple[Message, ...]:
    """A word when one face dries ahead of the other by enough to curl the piece.

    section_mm, length_mm [mm]
    Source: EN_1992_1_1, beam theory.
    """
    tilt = drying.dried.tilt_rh
    row = int(np.argmax(np.sort(np.abs(tilt), axis=1)[:, trajectory.members // 2]))
    middle = trajectory.quantile(np.abs(tilt[row]), 0.5)
    bow = bow_mm(middle, section_mm, length_mm)
    if bow < BOW_WORTH_MM:
        return ()
    return (
        Message(
            "one_face_dries_ahead", {"ahead_rh": middle, "bow_mm": bow, "length_mm": length_mm}
        ),
    )


def cure(case: Case) -> StepOpening:
    """The end of the wet cure, of one pour; with a word on its bow, once drying is computed."""
    opening = end_wet_cure(case.trajectory, case.fraction_2d)
    if case.dried is None:
        return opening
    shape = case.setup.shape
    bow = bow_caution(case.trajectory, case.dried, shape.section_mm, shape.length_mm)
    return replace(opening, cautions=(*opening.cautions, *bow))
