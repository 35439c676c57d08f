"""Freezing before the concrete can bear it."""

import numpy as np

from models.facts.protection import FREEZING_C, FROST_MPA, FROZEN_FRACTION
from models.units import Array


def frozen_at(hour: Array, coldest_C: Array, strength_MPa: Array) -> Array:
    """First hour at which each member freezes before its frost strength [h]; infinite: never.

    hour : (rows,) [h]; coldest_C, strength_MPa : (rows, members) [degC], [MPa]

    Source: ACI_306R (3.5 MPa; European practice asks 5), EN_13670 (0 degC at the surface).
    """
    struck = (coldest_C < FREEZING_C) & (strength_MPa < FROST_MPA)
    first = np.argmax(struck, axis=0)
    return np.where(struck.any(axis=0), hour[first], np.inf)


def after_frost(hour: Array, strength_MPa: Array, frozen_h: Array) -> Array:
    """Strength with early freezing taken into account [MPa], (rows, members): half from then on.

    hour : (rows,) [h]; strength_MPa : (rows, members) [MPa]; frozen_h : (members,) [h]

    Source: ACI_306R (loss up to about 50 %).
    """
    return np.where(hour[:, None] >= frozen_h, FROZEN_FRACTION * strength_MPa, strength_MPa)
