"""The members of an ensemble as a row keeps them: whole numbers, only hours that were served."""

from typing import Any

import numpy as np

from models.air.ensemble import Ensemble
from models.units import Array

# column -> steps in one of its unit
STEPS = {"air_C": 10, "dew_point_C": 10, "wind_m_s": 10, "rain_mm": 10, "cloud_fraction": 100}


def packed(ensemble: Ensemble) -> dict[str, Any] | None:
    """JSON of the rows and members that hold an air temperature; None when none does."""
    known = np.isfinite(ensemble.air_C)
    rows, speak = np.flatnonzero(known.any(axis=1)), np.flatnonzero(known.any(axis=0))
    if not len(rows):
        return None
    first, end = int(rows[0]), int(rows[-1]) + 1
    present = ensemble.chosen(speak).rows(first, end)
    columns = {name: _whole(getattr(present, name), step) for name, step in STEPS.items()}
    filled = {name: values for name, values in columns.items() if values is not None}
    return {"first": first, "hours": end - first, "members": len(speak), "columns": filled}


def unpacked(row: dict[str, Any], hour_count: int) -> Ensemble:
    """The ensemble on the hours of its run."""
    shape = (row["hours"], row["members"])
    columns = {
        name: np.array([np.nan if v is None else v for v in values], dtype=np.float64).reshape(
            shape
        )
        / STEPS[name]
        for name, values in row["columns"].items()
    }
    first = row["first"]
    return Ensemble(**columns).rows(-first, hour_count - first)


def _whole(column: Array, step: int) -> list[int | None] | None:
    known = np.isfinite(column)
    if not known.any():
        return None
    whole = np.rint(np.where(known, column, 0.0) * step).astype(int).ravel().tolist()
    return [v if ok else None for v, ok in zip(whole, known.ravel().tolist(), strict=True)]
