"""What one pour costs, windows, alerts, earlier-if and 28 days: `python tests/bench/bench_pour.py`.

Prints the processor time and counts the sweeps of heat, in member steps; asserts nothing. Wanted:
60 ms of core for the frost pour, 40 for the mild one, median of 20, on a machine that does nothing
else.
"""

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from statistics import median

import numpy as np

from models.air.place import Site
from models.air.series import AirSeries
from models.concrete import _heat_kernel
from models.concrete.mixture import Mixture
from models.piece.shape import Shape
from models.planning import timeline
from models.simulation.scenario import Placement, Scenario

POURED = datetime(2025, 11, 20, 16, tzinfo=UTC)
NOW = POURED + timedelta(hours=2)
REPEATS = 20


def record(mean_C: float, days: int = 10) -> AirSeries:
    hours = 96 + 24 * days
    air = mean_C + 5 * np.sin(2 * np.pi * (np.arange(hours) - 3) / 24)
    same = np.ones(hours)
    begin = POURED - timedelta(hours=96)
    return AirSeries(
        begin, air, air - 4, 3 * same, 0 * same, 0.4 * same, np.nan * same, POURED, "made up"
    )


def pour(placed_C: float) -> Scenario:
    return Scenario(
        "bench",
        Site("open yard", 41.5, -74.0),
        Mixture("general-purpose"),
        Shape("panel", 1800.0, 900.0, 50.0),
        Placement(POURED, placed_C),
    )


@contextmanager
def counted() -> Iterator[list[tuple[int, int]]]:
    """Members and steps of every sweep of the heat kernel."""
    found: list[tuple[int, int]] = []
    sweep = _heat_kernel.sweep

    def counting(first: int, last: int, steps, outside, layers, cement, course, out) -> None:  # type: ignore[no-untyped-def]
        found.append((last - first, len(steps.dt_h) - course.begin))
        sweep(first, last, steps, outside, layers, cement, course, out)

    _heat_kernel.sweep = counting
    try:
        yield found
    finally:
        _heat_kernel.sweep = sweep


def main() -> None:
    print(f"load of the machine before: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    for name, scenario, air in (
        ("frost", pour(15.0), record(1.0)),
        ("mild", pour(20.0), record(16.0)),
    ):
        timeline.project(scenario, air, NOW)
        spent = []
        for _ in range(REPEATS):
            begin = time.process_time()
            timeline.project(scenario, air, NOW)
            spent.append(1e3 * (time.process_time() - begin))
        with counted() as sweeps:
            timeline.project(scenario, air, NOW)
        steps = sum(members * many for members, many in sweeps)
        print(
            f"{name:6s} median {median(spent):4.0f} ms, least {min(spent):4.0f} ms of core;"
            f" {len(sweeps)} sweeps of heat, {steps:,} member steps"
        )


if __name__ == "__main__":
    main()
