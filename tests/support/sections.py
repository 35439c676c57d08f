"""Sections in air that stays as it is."""

from dataclasses import replace

import numpy as np

from models.concrete import moisture, moisture_laws
from models.facts import moisture as facts


def days_to(
    section_mm: float, target_rh: float, faces: int = 2, air_C: float = 20.0, air_rh: float = 0.50
) -> float:
    """Days until a saturated section of fck 30 in steady air has a humidity at the test depth.

    A slab of 50 mm of such a diffusivity is solved that 400 hours are its time factor of one.
    """
    law = moisture.Law.of_strength(30.0)
    half, unit = section_mm / faces, 50.0 / faces
    D1 = float(law.D1_mm2_d[0] * moisture_laws.temperature_factor(air_C))
    scaled = replace(law, D1_mm2_d=law.D1_mm2_d * 0 + unit**2 / 400 * 24, Q_R_K=0 * law.Q_R_K)
    deep = 1 - facts.DEPTH_TWO_FACES if faces == 2 else facts.DEPTH_ONE_FACE
    air = moisture.Conditions.steady(air_rh, 4000, faces=faces)
    through = moisture.drying(50.0, scaled, air, probes=(deep,), cells=64, steps_per_hour=4)
    humidity = through.probe_rh[::-1, 0]  # falling in time: rising for the interpolation
    return float(np.interp(target_rh, humidity, through.hour[::-1])) * half**2 / D1 / 400
