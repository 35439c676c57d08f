"""What a thumb that moves costs: `python tests/bench/bench_what_if.py`.

Forty moves of a cover's hour, and forty of the hour of stripping, on a frost pour and on a mild
one. Prints the processor time of one move at 50 and 95 %, and of the first, which draws the
members; asserts nothing. Wanted: 95 % under 150 ms of one core.
"""

import os
import time
from collections.abc import Iterator
from datetime import timedelta

import numpy as np
from bench_pour import (  # type: ignore[import-not-found]  # a script beside this one
    NOW,
    pour,
    record,
)

from models.planning import trial
from models.simulation.meant import Meant

MOVES = 40


def moves(what: str) -> Iterator[Meant]:
    for k in range(MOVES):
        at = NOW + timedelta(minutes=15 * (k + 1))
        yield Meant(what, at, "blanket", faces="all") if what == "cover" else Meant(what, at)


def main() -> None:
    print(f"load of the machine before: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    for name, scenario, air in (
        ("frost", pour(15.0), record(1.0)),
        ("mild", pour(20.0), record(16.0)),
    ):
        trial.basis(scenario, air, NOW)
        begin = time.process_time()
        basis = trial.basis(scenario, air, NOW)
        assert isinstance(basis, trial.Basis)
        first = 1e3 * (time.process_time() - begin)
        for what in ("cover", "strip"):
            spent = []
            for one in moves(what):
                begin = time.process_time()
                trial.tried(basis, (one,), (one,), covered=what == "cover")
                spent.append(1e3 * (time.process_time() - begin))
            p50, p95 = np.percentile(spent, (50, 95))
            print(
                f"{name:6s} {what:6s} p50 {p50:4.0f} ms, p95 {p95:4.0f} ms of core;"
                f" members once {first:4.0f} ms"
            )


if __name__ == "__main__":
    main()
