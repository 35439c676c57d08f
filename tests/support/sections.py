"""Sections in air that stays as it is: what the kernels of heat and moisture are asked."""

from dataclasses import replace

import numpy as np

from models.concrete import heat, moisture, moisture_laws
from models.facts import moisture as facts
from models.units import Array


def schedule(
    R_top: float = 0.0,
    R_bottom: float = 0.0,
    R_side: float = 0.0,
    board: bool = False,
    sides: bool = False,
) -> heat.Schedule:
    """The same covers [m2K/W] and board all the time, dry."""
    values = (0.0, R_top, R_bottom, R_side, float(board), float(sides), 0.0, np.nan, np.nan)
    return heat.Schedule(*(np.array([value]) for value in values))


def exposure(
    air_C: float | Array, film_top: float, film_low: float, hours: int, members: int = 1
) -> heat.Exposure:
    """The same film coefficients [W/m2K] at every hour; air_C one value or (hours + 1,) [degC]."""
    same = np.ones((hours + 1, members))
    air = np.asarray(air_C, dtype=np.float64).reshape(-1, 1) * same
    return heat.Exposure(0.0, film_top * same, film_low * same, film_top * same, air, air, 0 * same)


def inert(members: int = 1) -> heat.Kinetics:
    """Concrete that gives no heat; age still counts at 40 kJ/mol."""
    one = np.ones(members)
    return heat.Kinetics(0 * one, 10 * one, one, 40 * one, 0 * one)


def printed_law(fck_MPa: float, members: int = 1, surface_mm: float = 0.0) -> moisture.Law:
    """The law of drying as printed, alike in all members."""
    one = np.ones(members)
    D1 = float(moisture_laws.diffusivity_at_saturation(fck_MPa))
    printed = (D1, facts.ALPHA, facts.HC, facts.TEMPERATURE_Q_R_K, surface_mm, 1.0)
    D1_mm2_d, alpha, hc, Q_R_K, surface, sorption = (value * one for value in printed)
    return moisture.Law(D1_mm2_d, alpha, hc, Q_R_K, surface, sorption)


def still_air(
    rh: float, hours: int, members: int = 1, *, faces: int = 2, temperature_C: float = 20.0
) -> moisture.Conditions:
    """The same air at every hour on one or both faces; no self-desiccation."""
    air = np.full((hours, members), rh)
    low = air if faces == 2 else np.full_like(air, np.nan)
    warm = np.full_like(air, temperature_C)
    return moisture.Conditions(air, low, warm, np.zeros((hours + 1, members)))


def days_to(
    section_mm: float, target_rh: float, faces: int = 2, air_C: float = 20.0, air_rh: float = 0.50
) -> float:
    """Days until a saturated section of fck 30 in steady air has a humidity at the test depth.

    A slab of 50 mm of such a diffusivity is solved that 400 hours are its time factor of one.
    """
    law = printed_law(30.0)
    half, unit = section_mm / faces, 50.0 / faces
    D1 = float(law.D1_mm2_d[0] * moisture_laws.temperature_factor(air_C))
    scaled = replace(law, D1_mm2_d=law.D1_mm2_d * 0 + unit**2 / 400 * 24, Q_R_K=0 * law.Q_R_K)
    deep = 1 - facts.DEPTH_TWO_FACES if faces == 2 else facts.DEPTH_ONE_FACE
    air = still_air(air_rh, 4000, faces=faces)
    through = moisture.drying(50.0, scaled, air, probes=(deep,), cells=64, steps_per_hour=4)
    humidity = through.probe_rh[::-1, 0]  # falling in time: rising for the interpolation
    return float(np.interp(target_rh, humidity, through.hour[::-1])) * half**2 / D1 / 400
