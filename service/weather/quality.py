"""What a weather service says is looked at before it counts: the impossible becomes missing.

Nothing is repaired by a guess; each loss is added to `notes` in words. A missing value then blocks
what depends on it, which an impossible one would not.
"""

import numpy as np

from models.air.psychrometrics import rh_fraction as humidity_of
from models.air.series import dew_point_of
from models.facts.air import HIGHEST_DEW_C
from models.units import Array

JUMP_K = 12.0  # more than the air changes in an hour, but for rare fronts
COLDEST_DEW_POINT_C = -80.0
# told humidity against that of air and dew point, median: recorded answers lie within 0.025, the
# same in degF at 0.07 and more
HUMIDITY_AGREES = 0.05
FROST_FREE_C, LEAST_HOURS = 5.0, 24
ROUNDING_K = 0.5  # dew point above the air by no more than this is rounding


def within(name: str, column: Array, low: float, high: float, notes: list[str]) -> Array:
    """The column with everything outside [low, high] missing."""
    bad = np.isfinite(column) & ~((column >= low) & (column <= high)) | np.isinf(column)
    if not bad.any():
        return column
    worst = column[bad][0]
    span = f"{low:g} to {high:g}"
    notes.append(f"{name}: {int(bad.sum())} hours outside {span}, as {worst:g}, left out")
    return np.where(bad, np.nan, column)


def without_spikes(air_C: Array, notes: list[str]) -> Array:
    """A lone hour that jumps away and back is missing; a jump that stays is told only."""
    step = np.diff(air_C)
    jump = np.abs(step) > JUMP_K
    lone = np.zeros(air_C.shape, dtype=bool)
    lone[1:-1] = jump[:-1] & jump[1:] & (np.sign(step[:-1]) != np.sign(step[1:]))
    stays = jump & ~(lone[:-1] | lone[1:])
    if lone.any():
        first = float(air_C[lone][0])
        notes.append(f"air temperature: {int(lone.sum())} lone spikes, as {first:g} C, left out")
    if stays.any():
        notes.append(f"air temperature: {int(stays.sum())} jumps of more than {JUMP_K:g} K an hour")
    return np.where(lone, np.nan, air_C)


def unit_doubt(air_C: Array, dew_point_C: Array, rh_fraction: Array) -> float | None:
    """By how much the humidity is over that of temperatures in degC; None where it fits.

    Air and dew point in degF under a degC label lie further apart than the humidity allows. Only
    hours over +5 are looked at: under frost services tell humidity over ice or over water.
    """
    reported = np.where(np.isnan(dew_point_C) | (air_C < FROST_FREE_C), np.nan, air_C)
    known = np.isfinite(reported) & np.isfinite(rh_fraction) & (dew_point_C >= COLDEST_DEW_POINT_C)
    if known.sum() < LEAST_HOURS:
        return None
    computed = humidity_of(reported[known], np.minimum(dew_point_C, reported)[known])
    apart = float(np.median(rh_fraction[known] - computed))
    return apart if apart > HUMIDITY_AGREES else None


def dew_points(air_C: Array, dew_point_C: Array, rh_fraction: Array, notes: list[str]) -> Array:
    """The dew point at each hour: as told where it can be, else from the humidity, else missing.

    Where both are told and disagree, the dew point counts: humidity is the rounder number.
    """
    above = dew_point_C > air_C + ROUNDING_K
    if above.any():
        notes.append(f"dew point: {int(above.sum())} hours above the air temperature, left out")
    reported = np.where(above, np.nan, np.minimum(dew_point_C, air_C))
    reported = np.where(np.isnan(air_C), np.nan, reported)
    computed = dew_point_of(air_C, 100.0 * rh_fraction)
    need = np.isnan(reported) & (computed >= COLDEST_DEW_POINT_C) & (computed <= HIGHEST_DEW_C)
    if need.any():
        notes.append(f"dew point: {int(need.sum())} hours computed from the humidity")
    return np.where(need, computed, reported)
