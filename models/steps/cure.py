"""End of the wet cure: enough strength, or the days of the curing class."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike

from models.concrete.moisture_laws import shrinkage_slope
from models.facts.codes import CURE_OVER_C, Code
from models.facts.curing import DIN_DAYS, FLOORS_C, POLYMER_FILM_C, POLYMER_FILM_H, R_LIMITS
from models.facts.handling import WET_CURE_FRACTION
from models.facts.moisture import BOW_WORTH_MM, CHARACTERISTIC_MPA
from models.message import Message, Value
from models.results import Need
from models.steps.case import Case
from models.steps.dry import Drying
from models.steps.opening import P90, Condition, StepOpening, Trajectory
from models.units import Array

FILM_OFF = Message("film_off_whole")


def din_column(r: float) -> tuple[float, ...]:
    """Least curing days at each of FLOORS_C [d] by r = fcm2 / fcm28, dimensionless 0 to 1.

    Source: EN_13670 (DIN 1045-3 table).
    """
    column = next(k for k, limit in enumerate(R_LIMITS) if r >= limit)
    return tuple(row[column] for row in DIN_DAYS)


def curing_days(surface_C: ArrayLike, days: Sequence[float]) -> Array:
    """Least curing days at a surface temperature [d], any shape [degC]; endless under 5 degC.

    days : at each of FLOORS_C [d], a column of the DIN table or a row of EN_MEDIUM_DAYS
    Source: EN_13670.
    """
    band = sum((np.asarray(surface_C) < floor).astype(np.intp) for floor in FLOORS_C)
    return np.array([*days, np.inf])[band]


def end_wet_cure(
    trajectory: Trajectory,
    r: float,
    code: Code,
    *,
    quick: bool = False,
    keeps_its_water: bool = False,
) -> StepOpening:
    """Seventy per cent of the specified strength in the section, or the days of the code.

    ACI: seven days at 10 degC or more, three of a high-early mix. EN: the days at the surface's
    temperature with half of the specified strength; each hour counts its part of the days asked at
    its temperature, none under 5 degC.

    keeps_its_water : by its polymer: a night under film, as warm as the polymer asks, is enough

    Source: ACI_308R, EN_13670; CONCRETE_NETWORK_GFRC and TYPICAL_SHEET for the polymer.
    """
    need = WET_CURE_FRACTION * trajectory.specified_28d_MPa
    strong = trajectory.first(trajectory.strength_mean_MPa, need)
    days = code.cure_days_quick if quick else code.cure_days
    if days is not None:
        part = (trajectory.coldest_C >= CURE_OVER_C) / (24 * days)
        half = np.zeros(trajectory.members)
    else:
        part = 1 / (24 * curing_days(trajectory.coldest_C, din_column(r)))
        half = trajectory.first(trajectory.strength_mean_MPa, 0.5 * trajectory.specified_28d_MPa)
    both = np.maximum(_whole_h(trajectory, part), half)
    conditions: tuple[Condition, ...] = ()
    number_h = strong  # whichever comes first
    if trajectory.hour_by(both, P90) < trajectory.hour_by(strong, P90):
        conditions, number_h = (Condition(Message("last_curing_days"), both),), half
    opens_h, also = np.minimum(strong, both), _or_days(days)
    if keeps_its_water:
        film_h = _whole_h(trajectory, (trajectory.coldest_C >= POLYMER_FILM_C) / POLYMER_FILM_H)
        if trajectory.hour_by(film_h, P90) < trajectory.hour_by(opens_h, P90):
            conditions, number_h = (Condition(Message("last_polymer_film"), film_h),), opens_h
        opens_h = np.minimum(opens_h, film_h)
        also = Message("or_polymer_film", {"film_h": POLYMER_FILM_H, "over_C": POLYMER_FILM_C})
    return StepOpening(
        "end-wet-cure",
        Need(Message("strength_section"), need, "MPa"),
        opens_h,
        ("ACI_308R", "EN_13670", *(("CONCRETE_NETWORK_GFRC",) if keeps_its_water else ())),
        (Message("open_both_faces"), FILM_OFF),
        shown=trajectory.strength_mean_MPa,
        conditions=conditions,
        number_h=number_h,
        also=(also,),
    )


def _whole_h(trajectory: Trajectory, part: Array) -> Array:
    """Hour at which the parts that each hour counts come to a whole, (members,) [h]."""
    counted = np.concatenate((np.zeros((1, trajectory.members)), np.cumsum(part[1:], axis=0)))
    return np.maximum(trajectory.first(counted, 1.0), 0.0)


def _or_days(days: float | None) -> Message:
    if days is None:
        return Message("or_curing_days")
    return Message("or_days_at", {"days_d": days, "over_C": CURE_OVER_C})


def bow_mm(strain: float, section_mm: float, length_mm: float) -> float:
    """Bow of a piece free to curl whose faces have shrunk by different strains [mm].

    difference x length^2 / (8 thickness)

    strain : dimensionless, difference of the faces of a straight line; section_mm, length_mm [mm]
    Source: beam theory.

    >>> round(bow_mm(150e-6, 50.0, 1500.0), 2)
    0.84
    """
    return abs(strain) * length_mm**2 / (8 * section_mm)


def bow(
    trajectory: Trajectory,
    drying: Drying,
    section_mm: float,
    length_mm: float,
    rows: int | None = None,
) -> tuple[float, float]:
    """By how much one face dries ahead, dimensionless, and the most that curls the piece [mm].

    section_mm, length_mm [mm]; rows : the first so many; not told: all
    Source: EN_1992_1_1 B.11 for the shrinkage, beam theory.
    """
    tilt, mean_rh = np.abs(drying.dried.tilt_rh[:rows]), drying.dried.mean_rh[:rows]
    mean_MPa = trajectory.specified_28d_MPa + CHARACTERISTIC_MPA
    strain = tilt * shrinkage_slope(np.minimum(mean_rh, 1.0), mean_MPa)
    row = int(np.argmax(np.sort(strain, axis=1)[:, trajectory.members // 2]))
    most_mm = bow_mm(trajectory.quantile(strain[row], 0.5), section_mm, length_mm)
    return trajectory.quantile(tilt[row], 0.5), most_mm


def bow_caution(
    trajectory: Trajectory, drying: Drying, section_mm: float, length_mm: float
) -> tuple[Message, ...]:
    """A word when one face dries ahead of the other by enough to curl the piece.

    section_mm, length_mm [mm]
    Source: EN_1992_1_1 B.11 for the shrinkage, beam theory.
    """
    ahead_rh, most_mm = bow(trajectory, drying, section_mm, length_mm)
    if most_mm < BOW_WORTH_MM:
        return ()
    values: dict[str, Value] = {"ahead_rh": ahead_rh, "bow_mm": most_mm, "length_mm": length_mm}
    return (Message("one_face_dries_ahead", values),)


def cure(case: Case) -> StepOpening:
    """The end of the wet cure, of one pour; with a word on its bow, once drying is computed."""
    opening = end_wet_cure(
        case.trajectory,
        case.fraction_2d,
        case.code,
        quick=case.quick,
        keeps_its_water=case.keeps_its_water,
    )
    shape = case.setup.shape
    if shape.film_may_lie:
        kept = tuple(one for one in opening.cautions if one != FILM_OFF)
        opening = replace(opening, cautions=kept)
    if case.dried is None:
        return opening
    bow = bow_caution(case.trajectory, case.dried, shape.section_mm, shape.length_mm)
    return replace(opening, cautions=(*opening.cautions, *bow))
