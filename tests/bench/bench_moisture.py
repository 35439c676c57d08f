"""What drying costs: `python tests/bench/bench_moisture.py`. Prints, asserts nothing.

Wanted: 64 members x 60 days within 40 ms of one core.
"""

import sys
from datetime import timedelta
from pathlib import Path

import numpy as np

from models.concrete import moisture
from models.errors import Unknown
from models.planning import default_plan, timeline
from models.simulation import drying, physics

sys.path.insert(0, str(Path(__file__).parent))
from bench_heat import (  # type: ignore[import-not-found]  # a script beside this one
    POURED_AT,
    scenario,
    spent,
)

from tests.support import sections

HOURS = 60 * 24


def around(members: int, hours: int = HOURS) -> moisture.Conditions:
    """Daily wave of humidity, six hours of rain a week, mould and film for the first days."""
    hour = np.arange(hours)
    wave = 0.65 + 0.15 * np.sin(2 * np.pi * hour / 24)
    top = np.repeat(np.where(hour % 168 < 6, 1.0, wave)[:, None], members, axis=1)
    low = np.repeat(wave[:, None], members, axis=1)
    top[:72], low[:120] = np.nan, np.nan
    warm = np.repeat((12 + 6 * np.sin(2 * np.pi * hour / 24))[:, None], members, axis=1)
    drop = np.repeat(0.05 * (1 - np.exp(-np.arange(hours + 1.0) / 150))[:, None], members, axis=1)
    return moisture.Conditions(top, low, warm, drop)


def main() -> None:
    def run_of(members: int, hours: int = HOURS, cells: int = moisture.CELLS) -> float:
        law, here = sections.printed_law(30.0, members, 0.75), around(members, hours)
        return float(spent(lambda: moisture.drying(50.0, law, here, cells=cells))[0])

    run_of(2, 24)
    base = run_of(64)
    print(f"64 members x 60 d          {1e3 * base:10.1f} ms of one core (wanted 40)")
    print(f"  a member                 {1e3 * base / 64:10.3f} ms")
    print("growth of core time (1.00 is proportional)")
    print(f"  members 64 -> 256        {run_of(256) / base / 4:10.2f}")
    print(f"  cells 16 -> 32           {run_of(64, cells=32) / base / 2:10.2f}")
    print(f"  days 60 -> 180           {run_of(64, 3 * HOURS) / base / 3:10.2f}")
    fine = moisture.drying(
        50.0, sections.printed_law(30.0, 1, 0.75), around(1), cells=64, steps_per_hour=20
    ).probe_rh
    coarse = moisture.drying(50.0, sections.printed_law(30.0, 1, 0.75), around(1)).probe_rh
    print(
        f"off a fine grid            {np.abs(coarse - fine).max():10.4f} of pore humidity at most"
    )

    pour, record = scenario()
    now = POURED_AT + timedelta(hours=5)
    simulation = default_plan.simulated(pour, record, now, physics.HORIZON_H)
    assert not isinstance(simulation, Unknown)
    whole = spent(lambda: timeline.project(pour, record, now))[0]
    part = spent(lambda: drying.settled(pour, simulation, 5.0))[0]
    print(
        f"whole projection           {1e3 * whole:10.1f} ms of core, drying {1e3 * part:.1f} of it"
    )


if __name__ == "__main__":
    main()
