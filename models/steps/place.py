"""May I pour now? Limits on the concrete as placed and on what the air does to a fresh face."""

import numpy as np
from numpy.typing import ArrayLike

from models.concrete import setting
from models.facts.codes import PLACED_OUT_OF_THE_COLD_C, Code
from models.facts.fresh import CARRIED_H, DRY_PER_WATER, LOST_PER_H
from models.facts.protection import AS_MIXED_AIR_C, AS_MIXED_C, AS_PLACED_C, WATER_MAX_C
from models.units import Array, within

BAG_FRACTION = setting.mix_temperature(  # of the mix's temperature that is the bag's
    dry_kg=DRY_PER_WATER, dry_C=1.0, water_kg=1.0, water_C=0.0
)


def as_placed_C(section_mm: float) -> float:
    """Least concrete temperature as placed and kept in cold weather [degC]. section_mm [mm].

    Source: ACI_306R table 5.1 (55, 50, 45, 40 F).
    """
    return next(limit for most, limit in AS_PLACED_C if section_mm < most)


def least_placed_C(code: Code, section_mm: float, lowest_air_C: ArrayLike) -> Array:
    """Least concrete as placed by the lowest air while it is protected [degC], shape of the air.

    Out of the cold the least of every supplier. section_mm [mm]; lowest_air_C any shape [degC]
    Source: ACI_306R by section; EN_206 and DIN_1045_3 by the air.

    >>> from models.facts.codes import CODES
    >>> [least_placed_C(CODES[key], 50, [6.0, 4.0, -5.0]).tolist() for key in ("ACI", "EN")]
    [[5.0, 13.0, 13.0], [5.0, 5.0, 10.0]]
    """
    air = np.asarray(lowest_air_C, dtype=np.float64)
    rows = code.least_by_air or ((float("-inf"), as_placed_C(section_mm)),)
    least = np.full(air.shape, rows[-1][1])
    for over, value in reversed(rows[:-1]):
        least = np.where(air >= over, value, least)
    return np.where(air <= code.cold_air_C, least, PLACED_OUT_OF_THE_COLD_C)


def as_mixed_C(section_mm: float, lowest_air_C: float) -> float:
    """Least concrete temperature as mixed [degC]. section_mm [mm]; lowest_air_C [degC].

    Source: ACI_306R table 5.1 (60, 65, 70 F for thin sections, 5 F less a class of thickness).
    """
    row = next(limits for most, limits in AS_MIXED_C if section_mm < most)
    return row[sum(lowest_air_C <= limit for limit in AS_MIXED_AIR_C)]


def mixed_C(air_C: ArrayLike, bag_C: float | None, water_C: float | None) -> Array:
    """Concrete as placed, from what was mixed and lost on the way [degC], shape of air_C.

    air_C : any shape [degC], -60 to 60; bag_C, water_C : [degC], None: as warm as the air

    Source: ACI_306R (mixing formula; loss on the way from memory).

    >>> float(mixed_C(0.0, 5.0, 60.0).round(1))
    17.6
    """
    air = within("air_C", air_C, -60.0, 60.0, "degC")
    bag, water = (air if given is None else given for given in (bag_C, water_C))
    mixed = BAG_FRACTION * bag + (1 - BAG_FRACTION) * water
    return mixed - LOST_PER_H * CARRIED_H * (mixed - air)


def warm_water(section_mm: float, air_C: float, dry_C: float) -> tuple[float, float]:
    """Mixing water that makes a cold mix as warm as the code asks, and what is then placed [degC].

    The water that gives the least temperature as mixed, at most 60 degC; the mix then loses a
    quarter of its excess over the air in an hour.

    section_mm : [mm]; air_C, dry_C : [degC] of the air and of the bags as they stand, -20 to 60

    Raises InputError outside the ranges. What is placed may still be too cold: then the bags have
    to be warmed too.
    Source: ACI_306R (table 5.1, mixing formula, loss on the way from memory).

    >>> [round(value, 1) for value in warm_water(50, 0.0, 0.0)]
    [58.2, 14.0]
    """
    dry = float(within("dry_C", dry_C, -20.0, 60.0, "degC"))
    air = float(within("air_C", air_C, -60.0, 60.0, "degC"))
    wanted = as_mixed_C(section_mm, air)
    needed = setting.water_temperature_for(
        wanted_C=wanted, dry_kg=DRY_PER_WATER, dry_C=dry, water_kg=1.0
    )
    water = float(np.clip(needed, 0.0, WATER_MAX_C))
    mixed = setting.mix_temperature(dry_kg=DRY_PER_WATER, dry_C=dry, water_kg=1.0, water_C=water)
    return water, mixed - LOST_PER_H * CARRIED_H * (mixed - air)
