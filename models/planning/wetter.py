"""What more water costs a mix, and what loosens it without."""

from dataclasses import dataclass

import numpy as np

from models.concrete import heat_prior, prior, strength
from models.concrete.hydration import ultimate_degree
from models.concrete.mixture import WATER_CEMENT, Mixture
from models.facts.amounts import (
    HIGH_RANGE_SAVES,
    PLASTICISER_SAVES,
    SHRINKAGE_B3,
    SLUMP_MM_PER_L_M3,
)
from models.facts.cements import SET_DEGREE
from models.facts.handling import STEP_STRENGTH
from models.message import Message
from models.units import Array, number_within

MEMBERS = 64


@dataclass(frozen=True)
class Wetter:
    """What so much water more does: ratio before and after, strength at 28 days [MPa], hours until
    the walls come off and until it sets, both at 20 degC [h], shrinkage and slump.

    strip_later_h : infinite where it never gets so strong; `instead` : what loosens it otherwise
    """

    water_l: float
    before_wc: float
    after_wc: float
    before_MPa: float
    after_MPa: float
    strip_later_h: float
    set_later_h: float
    shrinkage_ratio: float
    slump_mm: float
    instead: Message

    @property
    def lost_MPa(self) -> float:
        return self.before_MPa - self.after_MPa


def wetter(mixture: Mixture, water_l: float, concrete_l: float) -> Wetter:
    """What water costs that goes into so much concrete on top of what the mix has.

    water_l : [l], 0 to 200; concrete_l : [l], above 0 to 1e5

    Raises InputError outside the ranges. Hours are those of the median mix kept at 20 degC;
    strength and hours by the laws of the timeline (strength.added_water_factor, concrete.prior),
    the set by the degree of hydration that goes with the water (SCHINDLER_2003). Source: Abrams
    1918; BAZANT_BAWEJA_2000 for shrinkage; CC_SLUMP; ASTM_C494.
    """
    added = number_within("water_l", water_l, 0.0, 200.0, "l")
    number_within("concrete_l", concrete_l, 1e-3, 1e5, "l")
    mix = mixture.resolved()
    before = mix.water_cement
    after = before + added / (mix.cement_kg_m3 * concrete_l / 1e3)
    fraction = float(strength.added_water_factor(before, after - before))
    members = prior.draw(mixture, MEMBERS)
    weaker = prior.draw(mixture, MEMBERS, water_factor=fraction)
    need = STEP_STRENGTH["strip"].default_MPa
    at_h, later_h = (float(np.median(one.age_at(need))) for one in (members, weaker))
    MPa = members.named_28d_MPa
    water = np.array([before, after]) * mix.cement_kg_m3
    shrunk = shrinkage(water, np.array([MPa, fraction * MPa]))
    return Wetter(
        added,
        before,
        after,
        MPa,
        fraction * MPa,
        later_h - at_h if np.isfinite(at_h) else np.inf,
        float(np.diff(set_h(mixture, np.array([before, after])))[0]),
        float(shrunk[1] / shrunk[0]),
        float(SLUMP_MM_PER_L_M3 * (water[1] - water[0])),
        _instead((after - before) / after),
    )


def shrinkage(water_kg_m3: Array, mean_MPa: Array) -> Array:
    """Drying shrinkage in the end in half-dry air, dimensionless.

    water_kg_m3 : any shape [kg/m3]; mean_MPa : broadcastable [MPa] at 28 days
    Source: BAZANT_BAWEJA_2000, from memory.

    >>> (1e6 * shrinkage(np.array([165.0, 170.0]), np.array([28.0, 28.0]))).round().tolist()
    [609.0, 631.0]
    """
    of_water, power, by_strength, rest = SHRINKAGE_B3
    whole: Array = of_water * water_kg_m3**power * mean_MPa**by_strength + rest
    return whole * 1e-6


def set_h(mixture: Mixture, water_cement: Array) -> Array:
    """Initial set with other water at 20 degC [h]: the age at which the degree of hydration is 0.15
    of the ratio, in proportion to that of the mix as it is.

    water_cement : any shape, dimensionless; beyond 0.9 it is held there
    Source: SCHINDLER_2003, MILLS_1966.
    """
    mix, heat = mixture.resolved(), heat_prior.hydration(mixture)
    ratios = np.clip(np.append(water_cement, mix.water_cement), *WATER_CEMENT)
    part = SET_DEGREE[0] * ratios / ultimate_degree(ratios)
    age = mix.hydration_tau_h * (-np.log(part)) ** (-1.0 / heat.beta)
    ages: Array = mix.initial_set_h * age[:-1] / age[-1]
    return ages


def _instead(share: float) -> Message:
    """What gives the same slump without the water, by the share of all water that is asked for."""
    if share <= PLASTICISER_SAVES:
        return Message("instead_plasticiser", {"saves_pct": 100 * PLASTICISER_SAVES})
    if share <= HIGH_RANGE_SAVES:
        return Message("instead_high_range", {"saves_pct": 100 * HIGH_RANGE_SAVES})
    return Message("instead_other_mix", {"saves_pct": 100 * HIGH_RANGE_SAVES})
