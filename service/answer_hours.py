"""The hourly bands of a projection as they are kept: whole steps of what each quantity deserves,
each told by what it differs from the one before.

A step is far under the doubt of its quantity and under what is shown. Strengths and the coldest
corner are rounded down, so that a stored answer never says more than was reckoned.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

import numpy as np

HOUR = timedelta(hours=1)
BANDS: Mapping[str, tuple[float, bool]] = {  # name: its step, whether it is rounded down
    "mean_C": (0.05, False),
    "coldest_C": (0.05, True),
    "air_C": (0.05, False),
    "equivalent_age_h": (0.05, True),
    "ttf_C_h": (0.5, True),
    "strength_MPa": (0.02, True),
    "pore_rh": (0.001, False),
}
QUANTILES = ("p10", "p50", "p90")
SURELY = ("slowest_MPa", "section_MPa")
STRENGTH = BANDS["strength_MPa"]
CHANCE = (0.002, False)
DECIMALS = 3
Kept = Mapping[str, Any]


def packed(hours: Mapping[str, Any]) -> dict[str, Any]:
    """The bands as they are kept, of those of an answer."""
    at = hours["time"]
    return {
        "start": at[0].isoformat(),
        "hours": len(at),
        "until": _iso(hours["forecast_until"]),
        "rain_chance": _steps(hours["rain_chance"], *CHANCE),
        "surely": [
            {"level": one["level"], **{name: _steps(one[name], *STRENGTH) for name in SURELY}}
            for one in hours["surely"]
        ],
        **{
            name: [_steps(hours[name][q], *step) for q in QUANTILES] for name, step in BANDS.items()
        },
    }


def unpacked(kept: Kept) -> Kept:
    """The bands of an answer, of what is kept; rows of before hold them as they were told."""
    if "start" not in kept:
        return kept
    return {
        "time": _times(kept),
        "forecast_until": kept["until"],
        "rain_chance": _values(kept["rain_chance"], CHANCE[0]),
        "surely": [
            {"level": one["level"], **{name: _values(one[name], STRENGTH[0]) for name in SURELY}}
            for one in kept["surely"]
        ],
        **{
            name: {q: _values(steps, step) for q, steps in zip(QUANTILES, kept[name], strict=True)}
            for name, (step, _) in BANDS.items()
        },
    }


def air_by_hour(kept: Kept) -> dict[datetime, float | None]:
    """The likeliest air of each hour [degC]."""
    if "start" in kept:
        middle = kept["air_C"][QUANTILES.index("p50")]
        return dict(zip(_times(kept), _values(middle, BANDS["air_C"][0]), strict=True))
    times = [datetime.fromisoformat(at) for at in kept["time"]]
    return dict(zip(times, kept["air_C"]["p50"], strict=True))


def _times(kept: Kept) -> list[datetime]:
    start = datetime.fromisoformat(kept["start"])
    return [start + k * HOUR for k in range(kept["hours"])]


def _iso(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat()


def _steps(values: Sequence[float | None], step: float, down: bool) -> list[int | None]:
    given = np.array(values, dtype=float)
    known = np.isfinite(given)
    counts = given[known] / step
    counts = np.floor(counts + 1e-9) if down else np.round(counts)
    differ = np.diff(counts.astype(int), prepend=0).tolist()
    if known.all():
        return list(differ)
    told = iter(differ)
    return [next(told) if there else None for there in known]


def _values(steps: Sequence[int | None], step: float) -> list[float | None]:
    known = [one for one in steps if one is not None]
    values = np.round(np.cumsum(known) * step, DECIMALS).tolist() if known else []
    if len(known) == len(steps):
        return list(values)
    told = iter(values)
    return [None if one is None else next(told) for one in steps]
