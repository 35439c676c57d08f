"""What the pour check costs: `python tests/bench/bench_pour_check.py`. Prints, asserts nothing.

Wanted: a week of 168 starts x 6 protections x 64 members within 2 s of two cores; a what-if on one
pour within 150 ms. Wall times mean something only on a machine that does nothing else.
"""

import os
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import partial

import numpy as np

from models.air.place import Site
from models.air.series import AirSeries
from models.concrete.mixture import Mixture
from models.concrete.section import Covering
from models.piece.shape import Shape
from models.planning import pour_check
from models.simulation.scenario import Placement, Scenario, ShopRules

ASKED = datetime(2025, 10, 20, 16, tzinfo=UTC)
FIVE = tuple(
    Covering(0.0, None, kind, setpoint_C=15.0 if kind == "heated enclosure" else None)
    for kind in ("film", "wet cover", "blanket", "two blankets", "heated enclosure")
)


def spent(work: Callable[[], object], repeats: int = 5) -> tuple[float, float]:
    """Least processor seconds (all threads) and wall seconds of a few runs."""
    cpu, wall = [], []
    for _ in range(repeats):
        c, w = time.process_time(), time.perf_counter()
        work()
        cpu.append(time.process_time() - c)
        wall.append(time.perf_counter() - w)
    return min(cpu), min(wall)


def record(mean_C: float) -> AirSeries:
    hours = 96 + 24 * 11
    air = mean_C + 5 * np.sin(2 * np.pi * np.arange(hours) / 24)
    same = np.ones(hours)
    return AirSeries(
        ASKED - timedelta(hours=96),
        air,
        air - 4,
        3 * same,
        0 * same,
        0.4 * same,
        np.nan * same,
        ASKED,
        "a made-up record",
    )


def shop(kind: str, *, room: bool, told_C: float | None) -> Scenario:
    rules = ShopRules(owned=FIVE, indoors=Site("unheated room") if room else None)
    return Scenario(
        "bench",
        Site("open yard", 41.5, -74.0),
        Mixture(kind),
        Shape("panel", 1800.0, 900.0, 50.0),
        Placement(ASKED, told_C),
        rules=rules,
    )


def main() -> None:
    print(f"load of the machine before: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    print(f"{'':58s}{'options':>8}{'core s':>8}{'wall s':>8}")
    for words, pour, mean_C in (
        ("mild, 6 ways", shop("general-purpose", room=False, told_C=20.0), 16.0),
        (
            "cold, 6 ways, each with warm water besides",
            shop("general-purpose", room=False, told_C=None),
            4.0,
        ),
        (
            "cold, 8 ways with the shop's room, warm water besides",
            shop("general-purpose", room=True, told_C=None),
            4.0,
        ),
        ("mild, 6 ways, a rapid mix", shop("rapid-setting", room=False, told_C=20.0), 16.0),
    ):
        air = record(mean_C)
        looks = (
            ("week", partial(pour_check.check, pour, air, ASKED)),
            ("brief", partial(pour_check.check, pour, air, ASKED, brief=True)),
            ("one hour", partial(pour_check.check, pour, air, ASKED, only=ASKED)),
        )
        for look, work in looks:
            options = len(work().options)
            core, wall = spent(work)
            print(f"{words + ': ' + look:58s}{options:8d}{core:8.3f}{wall:8.3f}")
    pour, air = shop("general-purpose", room=False, told_C=15.0), record(5.0)
    turn = iter(range(1000))

    def what_if() -> object:
        shift = replace(pour, placement=replace(pour.placement, concrete_C=15.0 + next(turn) / 10))
        return pour_check.check(shift, air, ASKED, brief=True)

    core, wall = spent(what_if)
    print(
        f"a what-if (other concrete each time): {1e3 * core:.0f} ms core, {1e3 * wall:.0f} ms"
        " wall (wanted 150)"
    )


if __name__ == "__main__":
    main()
