"""Coats: which hours hold for a coat through its drying, the first and the next ones."""

from dataclasses import dataclass

import numpy as np

from models.air import psychrometrics
from models.coating.film import SealerSystem
from models.facts.sealers import CHEMISTRIES, Chemistry
from models.gates.gate import Course, Need, Opening
from models.units import Array, Mask

SPREAD_K = 3.0  # ISO_8502_4: surface over the dew point
HOT_FACE_C = 35.0
REFERENCE_VPD_HPA = float(psychrometrics.saturation_pressure(20.0)) * 0.5  # 20 degC, 50 %
CONDENSING_VPD_HPA = 0.5


@dataclass(frozen=True)
class Sheet:
    """The numbers in force: the product's own where told, else the chemistry's typical ones."""

    chemistry: Chemistry
    coats: int
    recoat_min_h: float
    recoat_max_h: float | None
    min_C: float
    max_C: float
    max_rh: float
    min_age_h: float


def sheet(system: SealerSystem) -> Sheet:
    """Numbers of a sealer system [h, degC, fraction]. Source: product sheet, else TYPICAL_SHEET."""
    typical = CHEMISTRIES[system.chemistry]

    def told(own: float | None, usual: float) -> float:
        return usual if own is None else own

    return Sheet(
        typical, int(told(system.coats, typical.coats)),
        told(system.recoat_min_h, typical.recoat_min_h),
        system.recoat_max_h if system.recoat_max_h is not None else typical.recoat_max_h,
        told(system.min_C, typical.min_C), told(system.max_C, typical.max_C),
        told(system.max_rh_pct, typical.max_rh_pct) / 100,
        24 * told(system.min_age_d, typical.min_age_d),
    )  # fmt: skip


def drying_hours(course: Course, at: Sheet) -> Array:
    """Recoat minimum at each hour and member [h].

    The time at 20 degC and 50 % RH, scaled by the vapour-pressure deficit.

    Source: UNO_1998 ratios in 10-finish-facts section 4.1; TYPICAL_SHEET for the reference time.
    """
    es = psychrometrics.saturation_pressure(np.clip(course.top_C, -60, 90))
    vpd = es - psychrometrics.saturation_pressure(course.dew_point_C)
    return at.recoat_min_h * REFERENCE_VPD_HPA / np.maximum(vpd, CONDENSING_VPD_HPA)


def holding(course: Course, at: Sheet) -> Mask:
    """Whether a coat put on at each hour meets the air through its drying, (rows, members) boolean.

    Dew-point spread, humidity and the low temperature hold until it is dry, rain until it is
    rain-safe; hours beyond the forecast never hold. A coat dries at least its recoat time.

    Source: ISO_8502_4 for the spread and humidity; TYPICAL_SHEET for the rest.
    """
    face = course.top_C
    steady = (face - course.dew_point_C >= SPREAD_K) & (course.rh <= at.max_rh) & (face >= at.min_C)
    start = steady & (face <= min(at.max_C, HOT_FACE_C))
    dry_for = int(np.ceil(max(at.recoat_min_h, 2.0)))
    through = _lasting(steady, dry_for) & _lasting(
        course.rain_mm <= 0.05, int(at.chemistry.rain_free_h)
    )
    known = np.arange(len(course.hour)) + dry_for < course.forecast_rows
    good: Mask = start & through & known[:, None]
    return good


def _lasting(good: Mask, hours: int) -> Mask:
    """Whether `good` holds at an hour and `hours` after it, (rows, members); past the end no."""
    before = np.zeros((1, good.shape[1]), dtype=np.int64)
    count = np.cumsum(np.concatenate((before, good.astype(np.int64))), axis=0)
    rows = good.shape[0]
    end = np.arange(rows) + hours + 1
    inside = end <= rows
    total = count[np.minimum(end, rows)] - count[:rows]
    lasts: Mask = (total >= hours + 1) & inside[:, None]
    return lasts


def coat(
    course: Course, number: int, at: Sheet, holds: Mask, ready_h: Array, last_h: float | None,
    why_ready: str, waits_for: str, after: str,
) -> Opening:  # fmt: skip
    """One coat: ready by member, and hours that hold; the chance is shared over the members."""
    fine = holds & (course.hour[:, None] >= ready_h)
    if last_h is not None:
        fine &= (course.hour <= last_h)[:, None]
    chance = fine @ course.weight
    typical = at.chemistry
    return Opening(
        f"coat-{number}", Need("surface over the dew point", SPREAD_K, "K"), ready_h,
        (*typical.sources, "ISO_8502_4"),
        (
            "The product's own sheet goes first.",
            "Seal while the piece cools, not while the sun warms it.",
        ),
        chance=chance, shown=course.top_C - course.dew_point_C, last_h=last_h,
        note=f"{why_ready} RH up to {at.max_rh:.0%}, {at.min_C:g} to {at.max_C:g} degC, no rain for"
        f" {typical.rain_free_h:g} h.",
        waits_for=waits_for, after=after,
        missed="Too late for a bond: abrade the last coat, wipe, then coat.",
    )  # fmt: skip
