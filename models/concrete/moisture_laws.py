"""What drying concrete obeys, each a law: diffusivity, sorption, suction, what hydration takes."""

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from models.concrete.hydration import ultimate_degree
from models.facts import moisture as facts
from models.units import KELVIN, Array, within

LARGEST_DRYNESS = 10.0  # (1 - h) / (1 - hc) of bone-dry concrete at the largest hc
# cm3 of capillaries a gram of cement, OWN_JUDGEMENT: cracks, air and sand hold some
LEAST_ROOM = 0.02


def characteristic_MPa(mean_MPa: ArrayLike) -> Array:
    """Characteristic strength that goes with a mean 28-day strength [MPa].

    8 MPa under it; under a mean of 20 MPa six tenths of it, so that there is one for every mix.

    mean_MPa : any shape [MPa], 0.1 to 400
    Raises InputError outside the range.
    Source: CEB_FIP_CHARACTERISTIC; OWN_JUDGEMENT under its weakest class.

    >>> characteristic_MPa([10.0, 20.0, 38.0]).tolist()
    [6.0, 12.0, 30.0]
    """
    mean = within("mean_MPa", mean_MPa, 0.1, 400.0, "MPa")
    return np.maximum(mean - facts.CHARACTERISTIC_MPA, facts.CHARACTERISTIC_SHARE * mean)


def diffusivity_at_saturation(fck_MPa: ArrayLike) -> Array:
    """Diffusivity of saturated concrete at 20 degC, D1 = 1e-8 / fck m2/s [mm2/d].

    fck_MPa : any shape [MPa], 0.05 to 400
    Raises InputError outside the range.
    Source: CEB_FIP_1990 (from memory); BAZANT_NAJJAR_1972 gives about 30 mm2/d.

    >>> float(diffusivity_at_saturation(30.0))
    28.8
    """
    return facts.D1_FCK_MM2_D / within("fck_MPa", fck_MPa, 0.05, 400.0, "MPa")


def diffusivity_by_water(water_cement: ArrayLike) -> Array:
    """Diffusivity of saturated usual concrete at 20 degC by its water alone [mm2/d].

    As much less than 30 at w/c 0.5 as its capillaries hold more: more has to leave for the same
    fall of humidity.

    water_cement : any shape, dimensionless 0.2 to 0.9
    Raises InputError outside the range.
    Source: BAZANT_NAJJAR_1972 for 30; capillary_room; OWN_JUDGEMENT on HEDENBLAD_1997, CRAIG_2011.

    >>> diffusivity_by_water([0.5, 0.7]).round(1).tolist()
    [30.0, 17.0]
    """
    room = capillary_room(facts.SORPTION_WATER_CEMENT) / capillary_room(water_cement)
    return facts.D1_TYPICAL_MM2_D * room


def diffusivity_fraction(
    dryness: ArrayLike, *, alpha: float = facts.ALPHA, n: int = facts.N
) -> Array:
    """D over D1, dimensionless: alpha + (1 - alpha) / (1 + u^n) at the dryness u.

    dryness : any shape, dimensionless, (1 - h) / (1 - hc) of a pore humidity h, 0 to 10
    alpha : 0 to 1; n : 1 to 20, dimensionless
    Raises InputError outside the ranges.
    Source: BAZANT_NAJJAR_1972 with the values of CEB_FIP_1990.

    >>> float(diffusivity_fraction(1.0).round(4))
    0.525
    """
    u = within("dryness", dryness, 0.0, LARGEST_DRYNESS)
    a = float(within("alpha", alpha, 0.0, 1.0))
    fraction: Array = a + (1 - a) / (1 + u ** int(within("n", n, 1, 20)))
    return fraction


def temperature_factor(
    temperature_C: ArrayLike, Q_R_K: ArrayLike = facts.TEMPERATURE_Q_R_K
) -> Array:
    """Diffusivity over that at 20 degC, exp(Q/R (1/293 - 1/T)), dimensionless.

    temperature_C : any shape [degC], -40 to 100; Q_R_K : broadcastable [K], 0 to 10000
    Raises InputError outside the ranges.
    Source: BLACKBEAR_MANUAL for 2700 K.

    >>> float(temperature_factor(10.0).round(3))
    0.722
    """
    T = within("temperature_C", temperature_C, -40.0, 100.0, "degC") + KELVIN
    Q = within("Q_R_K", Q_R_K, 0.0, 1e4, "K")
    fraction: Array = np.exp(Q * (1 / (20.0 + KELVIN) - 1 / T))
    return fraction


def sorptivity(water_cement: ArrayLike) -> Array:
    """Sorptivity of a dry face [mm/min^0.5]: water taken up is this by the root of the minutes.

    A straight line through the two printed values, never under the least that is measured.

    water_cement : any shape, dimensionless 0.2 to 0.9
    Raises InputError outside the range.
    Source: NEVILLE_1996 (0.09 at 0.4, 0.17 at 0.6).

    >>> sorptivity([0.4, 0.6]).round(3).tolist()
    [0.09, 0.17]
    """
    wc = within("water_cement", water_cement, 0.2, 0.9)
    (low_wc, low), (high_wc, high) = facts.SORPTIVITY
    line = low + (high - low) / (high_wc - low_wc) * (wc - low_wc)
    return np.maximum(line, facts.LEAST_SORPTIVITY)


def sealed_drop(water_cement: ArrayLike, hydrated: ArrayLike) -> Array:
    """Pore humidity lost in sealed concrete as the cement takes its water, dimensionless.

    water_cement : any shape, dimensionless 0.2 to 0.9
    hydrated : broadcastable, dimensionless 0 to 1, share of the final degree of hydration
    Raises InputError outside the ranges.
    Source: NBS_RP_1334 (sealed pastes), OWN_JUDGEMENT for the growth.

    >>> float(sealed_drop(0.40, 1.0).round(2))
    0.1
    """
    wc = within("water_cement", water_cement, 0.2, 0.9)
    fraction = within("hydrated", hydrated, 0.0, 1.0)
    at, drop = np.array(facts.SELF_DESICCATION).T
    whole: Array = np.interp(wc, at, drop) * fraction**facts.SELF_POWER
    return whole


def capillary_room(water_cement: ArrayLike) -> Array:
    """Water that the capillaries of a gram of cement hold at the end of its hydration [g].

    water_cement : any shape, dimensionless 0.2 to 0.9
    Raises InputError outside the range.
    Source: POWERS_BROWNYARD with the degree of hydration of MILLS_1966; the floor OWN_JUDGEMENT.

    >>> capillary_room([0.4, 0.5, 0.7]).round(3).tolist()
    [0.15, 0.233, 0.409]
    """
    wc = within("water_cement", water_cement, 0.2, 0.9)
    room: Array = np.maximum(wc - facts.GEL_TAKES * ultimate_degree(wc), LEAST_ROOM)
    return room


def moisture_pct(rh: ArrayLike, water_cement: float = facts.SORPTION_WATER_CEMENT) -> Array:
    """Moisture by mass of dry concrete at a pore humidity [%], 330 kg of cement in a cubic metre.

    rh : any shape, dimensionless 0 to 1; water_cement : dimensionless 0.2 to 0.9
    Raises InputError outside the range.
    Source: BRANZ_SORPTION, POWERS_BROWNYARD, through sorption_table.

    >>> moisture_pct([0.60, 0.85]).round(6).tolist()
    [3.8, 4.9]
    """
    h = within("rh", rh, 0.0, 1.0)
    grid = sorption_table(water_cement)
    by_mass: Array = np.interp(h, np.linspace(0.0, 1.0, len(grid)), grid)
    return by_mass


@lru_cache
def sorption_table(water_cement: float = facts.SORPTION_WATER_CEMENT) -> Array:
    """Moisture by mass at steps of pore humidity from 0 on [%], 330 kg of cement in a cubic metre.

    One measured concrete, taken to be of w/c 0.5; with other water what its gel holds goes with the
    degree of hydration, and what its capillaries hold with their room.

    water_cement : dimensionless 0.2 to 0.9
    Raises InputError outside the range.
    Source: BRANZ_SORPTION from 0.60 on; a straight line to dry under it, OWN_JUDGEMENT;
    POWERS_BROWNYARD and MILLS_1966 for the water.
    """
    count = round(facts.SORPTION_FROM_RH / facts.SORPTION_STEP_RH)
    low = np.linspace(0.0, facts.SORPTION_PCT[0], count + 1)
    table = np.concatenate((low, facts.SORPTION_PCT[1:]))
    in_gel = np.minimum(table, table[round(facts.CAPILLARIES_EMPTY_RH / facts.SORPTION_STEP_RH)])
    measured = facts.SORPTION_WATER_CEMENT
    gel = ultimate_degree(water_cement) / ultimate_degree(measured)
    room = capillary_room(water_cement) / capillary_room(measured)
    whole: Array = gel * in_gel + room * (table - in_gel)
    return whole


def shrinkage(rh: ArrayLike, mean_MPa: ArrayLike) -> Array:
    """Strain by which concrete has shrunk once it has dried to a humidity, dimensionless.

    rh : any shape, dimensionless 0 to 1; mean_MPa : broadcastable [MPa] 28-day strength, 5 to 200
    Raises InputError outside the ranges.
    Source: EN_1992_1_1 B.11.

    >>> float((1e6 * shrinkage(0.60, 38.0)).round())
    432.0
    """
    part: Array = _shrinkage_to_none(mean_MPa) * (1.0 - within("rh", rh, 0.0, 1.0) ** 3)
    return part


def shrinkage_slope(rh: ArrayLike, mean_MPa: ArrayLike) -> Array:
    """Strain for a step of humidity about that humidity, dimensionless: steeper the wetter it is.

    rh : any shape, dimensionless 0 to 1; mean_MPa : broadcastable [MPa] 28-day strength, 5 to 200
    Raises InputError outside the ranges.
    Source: EN_1992_1_1 B.11.

    >>> float((1e3 * shrinkage_slope(0.90, 28.0)).round(2))
    1.51
    """
    slope: Array = _shrinkage_to_none(mean_MPa) * 3.0 * within("rh", rh, 0.0, 1.0) ** 2
    return slope


def _shrinkage_to_none(mean_MPa: ArrayLike) -> Array:
    whole, cement, by_strength, by_humidity = facts.SHRINKAGE
    mean = within("mean_MPa", mean_MPa, 5.0, 200.0, "MPa")
    most: Array = whole * (220.0 + 110.0 * cement) * 1e-6 * np.exp(-by_strength * mean / 10.0)
    return by_humidity * most
