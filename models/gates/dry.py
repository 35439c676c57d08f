"""Dry enough to seal: time factors of the diffusion law, until the section itself is computed."""

import numpy as np

from models.facts.moisture import D1_MM2_D, TEMPERATURE_Q_R_K, TIME_FACTOR
from models.facts.sealers import Chemistry
from models.gates.gate import Course
from models.units import KELVIN, Array

OPEN_AIR_RH = 0.50  # air for which the time factors hold


def drying_days(section_mm: float, target_rh: float, faces: int = 2, air_C: float = 20.0) -> float:
    """Days until the pore humidity at the test depth falls to a target in air of 50 % [d].

    t = Fo a^2 / D1, a half the thickness when both faces dry; D by exp(2700 K (1/293 - 1/T)).

    section_mm [mm]; target_rh dimensionless, one of 0.95, 0.90, 0.85, 0.80, 0.75; faces 1 or 2
    air_C [degC]
    Source: BAZANT_NAJJAR_1972 with CEB-FIP values, time factors of 10-finish-facts section 2.4.
    """
    a = section_mm / (2 if faces == 2 else 1)
    factor = np.exp(TEMPERATURE_Q_R_K * (1 / 293.15 - 1 / (air_C + KELVIN)))
    return float(TIME_FACTOR[round(target_rh, 2)] * a**2 / D1_MM2_D / factor)


def dry_at(course: Course, section_mm: float, chemistry: Chemistry, open_from_h: Array) -> Array:
    """Hour at which each member is dry enough [h], (members,); infinite: not within the course.

    Each dry hour counts by its temperature and by how far the air is under the target humidity;
    hours of rain count against it: an hour of rain takes back six hours.

    open_from_h : (members,) [h] when both faces are open to the air
    Source: BAZANT_NAJJAR_1972 (time factors); rewetting OWN_JUDGEMENT.
    """
    target = chemistry.dry_rh_fraction
    needed_h = 24 * drying_days(section_mm, target)
    warm = np.exp(TEMPERATURE_Q_R_K * (1 / 293.15 - 1 / (course.air_C + KELVIN)))
    pull = np.clip((target - course.rh) / (target - OPEN_AIR_RH), 0.0, 1.2)
    wet = course.rain_mm > 0.1
    gained = np.where(wet, -6.0, warm * pull)
    counted = np.where(course.hour[:, None] > open_from_h, gained, 0.0)
    total = np.cumsum(counted, axis=0)
    floor = np.minimum(np.minimum.accumulate(total, axis=0), 0.0)  # never wetter than at the start
    return course.first(np.maximum.accumulate(total - floor, axis=0), needed_h)
