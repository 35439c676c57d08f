"""How much mix, how many bags, how heavy; pressure of the fresh mix."""

import math

from numpy.typing import ArrayLike

from models.facts.fresh import HEAVIEST_KG_M3, PLAIN_KG_M3, WASTE_FRACTION
from models.units import GRAVITY_M_S2, Array, within


def mass_kg(volume_l: float, density_kg_m3: float = PLAIN_KG_M3) -> float:
    """Mass of a piece [kg]: volume x density.

    volume_l : [l], 0 to 1e5; density_kg_m3 : [kg/m3], 500 to 3000

    Raises InputError outside the ranges. Source: definition.
    """
    V = float(within("volume_l", volume_l, 0.0, 1e5, "l"))
    return V * float(within("density_kg_m3", density_kg_m3, 500.0, 3000.0, "kg/m3")) / 1e3


def bags(
    volume_l: float, bag_yield_l: float, waste_fraction: float = WASTE_FRACTION
) -> tuple[float, int]:
    """Bags for a volume: net, and whole bags with waste, dimensionless.

    volume_l : [l], 0 to 1e5; bag_yield_l : [l] a bag, 0.5 to 100; waste_fraction 0 to 0.5

    Raises InputError outside the ranges. Source: the bag's own yield; waste COMMON_PRACTICE.

    >>> bags(81.0, 16.99)[1]
    6
    """
    V = float(within("volume_l", volume_l, 0.0, 1e5, "l"))
    each = float(within("bag_yield_l", bag_yield_l, 0.5, 100.0, "l"))
    waste = float(within("waste_fraction", waste_fraction, 0.0, 0.5))
    net = V / each
    return net, math.ceil(net * (1 + waste) - 1e-9)


def fluid_pressure_kPa(depth_m: ArrayLike, density_kg_m3: float = HEAVIEST_KG_M3) -> Array:
    """Pressure of the fresh mix at a depth [kPa]: the full liquid head.

    depth_m : any shape [m], 0 to 20; density_kg_m3 : [kg/m3], 500 to 3000

    Raises InputError outside the ranges. Source: CIRIA_108 upper bound, ACI_347 (p = w h).

    >>> float(fluid_pressure_kPa(0.45).round(2))
    10.59
    """
    h = within("depth_m", depth_m, 0.0, 20.0, "m")
    return within("density_kg_m3", density_kg_m3, 500.0, 3000.0) * GRAVITY_M_S2 * h / 1e3
