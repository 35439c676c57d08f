"""What a weather service says is looked at before it counts: the impossible becomes missing.

Nothing is repaired by a guess; each loss comes back in words. A missing value then blocks what
depends on it, which an impossible one would not.
"""

import numpy as np

from models.air.series import dew_point_of
from models.units import Array

JUMP_K = 12.0  # more than the air changes in an hour, but for rare fronts
COLDEST_DEW_POINT_C = -80.0
ROUNDING_K = 0.5  # dew point above the air by no more than this is rounding


def kept(name: str, column: Array, low: float, high: float) -> tuple[Array, list[str]]:
    """The column with everything outside [low, high] missing."""
    bad = np.isfinite(column) & ~((column >= low) & (column <= high)) | np.isinf(column)
    if not bad.any():
        return column, []
    worst = column[bad][0]
    note = f"{name}: {int(bad.sum())} hours outside {low:g} to {high:g}, as {worst:g}, left out"
    return np.where(bad, np.nan, column), [note]


def without_spikes(air_C: Array) -> tuple[Array, list[str]]:
    """A lone hour that jumps away and back is missing; a jump that stays is told only."""
    step = np.diff(air_C)
    jump = np.abs(step) > JUMP_K
    lone = np.zeros(air_C.shape, dtype=bool)
    lone[1:-1] = jump[:-1] & jump[1:] & (np.sign(step[:-1]) != np.sign(step[1:]))
    stays = jump & ~(lone[:-1] | lone[1:])
    notes = []
    if lone.any():
        first = float(air_C[lone][0])
        notes.append(f"air temperature: {int(lone.sum())} lone spikes, as {first:g} C, left out")
    if stays.any():
        notes.append(f"air temperature: {int(stays.sum())} jumps of more than {JUMP_K:g} K an hour")
    return np.where(lone, np.nan, air_C), notes


def dew_points(air_C: Array, dew_point_C: Array, rh_fraction: Array) -> tuple[Array, list[str]]:
    """The dew point at each hour: as told where it can be, else from the humidity, else missing.

    Where both are told and disagree, the dew point counts: humidity is the rounder number.
    """
    notes = []
    above = dew_point_C > air_C + ROUNDING_K
    if above.any():
        notes.append(f"dew point: {int(above.sum())} hours above the air temperature, left out")
    told = np.where(above, np.nan, np.minimum(dew_point_C, air_C))
    told = np.where(np.isnan(air_C), np.nan, told)
    computed = dew_point_of(air_C, 100.0 * rh_fraction)
    need = np.isnan(told) & (computed >= COLDEST_DEW_POINT_C)
    if need.any():
        notes.append(f"dew point: {int(need.sum())} hours computed from the humidity")
    return np.where(need, computed, told), notes
