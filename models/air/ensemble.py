"""The members of a weather service's ensemble, hour by hour, as it served them."""

from collections.abc import Callable
from dataclasses import dataclass, field, fields
from typing import Any

import numpy as np

from models.errors import InputError
from models.units import Array, within

LEAST_MEMBERS = 8  # fewer say nothing of the spread, OWN_JUDGEMENT
LIMITS = {  # column -> (least, most)
    "air_C": (-60.0, 60.0),
    "dew_point_C": (-80.0, 40.0),
    "wind_m_s": (0.0, 75.0),
    "rain_mm": (0.0, 300.0),
    "cloud_fraction": (0.0, 1.0),
}


def _nothing() -> Array:
    return np.empty((0, 0))


def padded(rows: Array, first: int, end: int) -> Array:
    """Rows first to end - 1 of (hours, ...), in their unit; NaN where there is none.

    Source: definition [unit of the rows].
    """
    out = np.full((end - first, *rows.shape[1:]), np.nan)
    low, high = max(first, 0), min(end, len(rows))
    if high > low:
        out[low - first : high - first] = rows[low:high]
    return out


@dataclass(frozen=True)
class Ensemble:
    """Columns (hours, k), a member each, the same member in every column; NaN: not served.

    air_C, dew_point_C [degC]; wind_m_s [m/s] at 10 m; rain_mm [mm] in the hour that begins
    there; cloud_fraction 0 to 1. A column that is left out is NaN throughout.
    """

    air_C: Array
    dew_point_C: Array = field(default_factory=_nothing)
    wind_m_s: Array = field(default_factory=_nothing)
    rain_mm: Array = field(default_factory=_nothing)
    cloud_fraction: Array = field(default_factory=_nothing)

    def __post_init__(self) -> None:
        shape = np.shape(self.air_C)
        if len(shape) != 2 or 0 in shape:
            raise InputError("ensemble", shape, "no members", "(hours, members)")
        for name, (low, high) in LIMITS.items():
            column = np.asarray(getattr(self, name), dtype=np.float64)
            if not column.size and name != "air_C":
                column = np.full(shape, np.nan)
            if column.shape != shape:
                wrong = "shape differs from air_C"
                raise InputError(f"ensemble {name}", column.shape, wrong, f"{shape}")
            within(f"ensemble {name}", column[~np.isnan(column)], low, high)
            object.__setattr__(self, name, column)

    @property
    def hours(self) -> int:
        return int(self.air_C.shape[0])

    def spread_K(self) -> Array:
        """Standard deviation of the members' air temperature (hours,) [K]; NaN under eight."""
        known = np.isfinite(self.air_C)
        count = known.sum(axis=1)
        enough = count >= LEAST_MEMBERS
        mean = np.where(known, self.air_C, 0.0).sum(axis=1) / np.maximum(count, 1)
        apart = np.where(known, self.air_C - mean[:, None], 0.0)
        spread = np.sqrt((apart**2).sum(axis=1) / np.maximum(count - 1, 1))
        return np.where(enough, spread, np.nan)

    def rows(self, first: int, end: int) -> "Ensemble":
        """Rows first to end - 1; those it does not have are NaN."""
        return self._each(lambda column: padded(column, first, end))

    def chosen(self, members: "np.ndarray[Any, np.dtype[np.int_]]") -> "Ensemble":
        """These members, in this order, as often as they are named."""
        return self._each(lambda column: column[:, members])

    def _each(self, change: Callable[[Array], Array]) -> "Ensemble":
        columns: dict[str, Any] = {f.name: change(getattr(self, f.name)) for f in fields(self)}
        return Ensemble(**columns)
