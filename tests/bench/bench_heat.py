"""What the heat kernel and a whole projection cost: `python tests/bench/bench_heat.py`.

Prints, asserts nothing. The baseline is scipy's solve_ivp (BDF, rtol 1e-6) on the same equations,
24 cells of concrete and 3 of board, 28 days, 15-minute output, one member at a time.
"""

import os
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
from scipy.integrate import solve_ivp

sys.path.insert(0, str(Path(__file__).parents[2]))

from models.air.place import Site
from models.air.series import AirSeries
from models.concrete import heat
from models.concrete.mixture import Mixture
from models.facts.materials import BOARDS
from models.piece.shape import Shape
from models.planning import default_plan, pour_check, timeline
from models.simulation import drying, physics
from models.simulation.scenario import Placement, Scenario
from tests.support import sections
from tests.support.step_errors import members_of, most_missed_K

CELLS, BOARD_CELLS = 24, 3
POURED_AT = datetime(2025, 10, 20, 16, tzinfo=UTC)
GAS = 8.314462618
N = CELLS + BOARD_CELLS
K, RC, HEAT, TAU_H, BETA, ENERGY_K = 2.0, 2.35e6, 1.2e8, 14.0, 0.9, 40e3 / GAS
DX, DB, BOARD = 0.05 / CELLS, 0.016 / BOARD_CELLS, BOARDS["melamine"]
CAPACITY = np.repeat((RC * DX, BOARD.density_kg_m3 * BOARD.c_J_kgK * DB), (CELLS, BOARD_CELLS))
BETWEEN = np.repeat(
    (K / DX, 1 / (DX / 2 / K + DB / 2 / BOARD.k_W_mK), BOARD.k_W_mK / DB),
    (CELLS - 1, 1, BOARD_CELLS - 1),
)
ABOVE = 1 / (1 / 18.0 + 0.05 + DX / 2 / K)
BELOW = 1 / (1 / 14.0 + DB / 2 / BOARD.k_W_mK)


def spent(work: Callable[[], object], repeats: int = 5) -> tuple[float, float]:
    """Least processor seconds (all threads) and wall seconds of a few runs."""
    cpu, wall = [], []
    for _ in range(repeats):
        c, w = time.process_time(), time.perf_counter()
        work()
        cpu.append(time.process_time() - c)
        wall.append(time.perf_counter() - w)
    return min(cpu), min(wall)


def air_C(hours: int) -> np.ndarray:
    return 9 + 5 * np.sin(2 * np.pi * np.arange(hours) / 24)


def kernel_run(members: int, hours: int, cells: int | None = CELLS) -> heat.Histories:
    one = np.ones(members)
    return heat.temperature(
        heat.Column(50.0, 16.0, BOARDS["melamine"], cells=cells),
        sections.schedule(R_top=0.05, board=True),
        sections.exposure(air_C(hours + 2), 18.0, 14.0, hours + 1, members),
        heat.Kinetics(1.2e8 * one, 14 * one, 0.9 * one, 40 * one, 0 * one),
        np.linspace(14.0, 20.0, members),
        hours,
    )


def baseline_run(hours: int, tight: bool = False, smooth: bool = False) -> np.ndarray:
    """Mean temperature of one member, hourly; as fast as solve_ivp goes at its rtol, or tight.

    smooth : the sine itself; else hourly values joined by lines, as a record is, whose kinks
        cost an adaptive integrator most of its steps
    """
    clock, air = np.arange(hours + 2.0), air_C(hours + 2)

    def change(t: float, y: np.ndarray) -> np.ndarray:
        T, age = y[:N], np.maximum(y[N:], 1e-6)
        a = 9 + 5 * np.sin(2 * np.pi * t / 24) if smooth else np.interp(t, clock, air)
        flow = np.empty(N + 1)
        flow[0], flow[-1] = ABOVE * (a - T[0]), BELOW * (T[-1] - a)
        flow[1:-1] = BETWEEN * (T[:-1] - T[1:])
        pace = np.exp(ENERGY_K * (1 / 293.15 - 1 / (T[:CELLS] + 273.15)))
        x = (TAU_H / age) ** BETA
        rate = 3600 * (flow[:-1] - flow[1:]) / CAPACITY
        rate[:CELLS] += HEAT * np.exp(-x) * x * BETA / age * pace / RC
        return np.concatenate((rate, pace))

    start = np.concatenate((np.full(CELLS, 17.0), np.full(BOARD_CELLS, air[0]), np.zeros(CELLS)))
    with np.errstate(invalid="ignore", over="ignore"):
        done = solve_ivp(
            change,
            (0, hours),
            start,
            method="BDF",
            t_eval=np.linspace(0, hours, 4 * hours + 1),
            **({"rtol": 1e-8, "atol": 1e-8, "max_step": 1.0} if tight else {"rtol": 1e-6}),
        )
    return np.asarray(done.y[:CELLS, ::4].mean(axis=0))


def one_run(hours: int, cells: int | None) -> np.ndarray:
    """Mean temperature of the baseline's member, hourly."""
    return heat.temperature(
        heat.Column(50.0, 16.0, BOARDS["melamine"], cells=cells),
        sections.schedule(R_top=0.05, R_side=1e9, board=True),
        sections.exposure(air_C(hours + 2), 18.0, 14.0, hours + 1),
        heat.Kinetics(*(np.array([v]) for v in (1.2e8, 14.0, 0.9, 40.0, 0.0))),
        np.array([17.0]),
        hours,
    ).mean_C[:, 0]


def scenario() -> tuple[Scenario, AirSeries]:
    hours = 72 + 240
    air = air_C(hours)
    same = np.ones(hours)
    record = AirSeries(
        POURED_AT - timedelta(hours=72),
        air,
        air - 4,
        3 * same,
        0 * same,
        0.4 * same,
        np.nan * same,
        POURED_AT,
        "a made-up record",
    )
    pour = Scenario(
        "bench",
        Site("open yard", 41.5, -74.0),
        Mixture("general-purpose"),
        Shape("panel", 1800.0, 900.0, 50.0),
        Placement(POURED_AT, 17.0),
    )
    return pour, record


def first_call() -> None:
    """Seconds from nothing to the first answer, compiled code on disk or not."""
    code = (
        "import time; t = time.perf_counter()\n"
        "import sys; sys.path.insert(0, 'tests/bench')\n"
        "import bench_heat as b; b.kernel_run(64, 672)\n"
        "print(f'{time.perf_counter() - t:.2f}')"
    )
    for words, cache in (("nothing compiled", f"/tmp/bench-{os.getpid()}"), ("compiled", None)):
        environment = dict(os.environ, **({"NUMBA_CACHE_DIR": cache} if cache else {}))
        out = subprocess.run(
            [sys.executable, "-c", code],
            env=environment,
            capture_output=True,
            text=True,
            check=True,
        )
        print(f"  start to first 64 members x 28 d, {words:17s} {out.stdout.strip():>8} s")


def steps_missed() -> None:
    """What the steps miss of four seasons of Newark in 2013, 64 members each; with an hour each
    behind 48 h, as it would be, and as it is."""
    print("most that steps miss, by a record of hours, 28 d [K] (wanted 0.1)")
    print("  poured  place     section  hourly: mean  coldest  top    as it is: mean  coldest  top")
    for month, day in ((1, 14), (4, 10), (7, 10), (11, 20)):
        for kind, thickness_mm in (("open yard", 25), ("open yard", 100), ("covered", 50)):
            members = members_of(month, day, kind, float(thickness_mm))
            hourly, usual = most_missed_K(members, None), most_missed_K(members, members.rough)
            print(
                f"  {day:2d}/{month:02d}   {kind:9s} {thickness_mm:4d} mm"
                + "".join(
                    f"{one:13.3f}{two:9.3f}{three:6.2f}    "
                    for one, two, three in (hourly.values(), usual.values())
                ),
                f"{int(members.rough[48:].sum()):4d} rough hours",
                flush=True,
            )


def main() -> None:
    hours = 672
    members = 64
    started = time.perf_counter()
    kernel_run(members, hours)
    print(f"first call in this process {time.perf_counter() - started:10.3f} s")
    kernel = spent(lambda: kernel_run(members, hours))
    base = spent(lambda: baseline_run(hours), repeats=2)
    each = kernel[0] / members
    print(f"kernel, 64 members x 28 d  {1e3 * kernel[0]:10.1f} ms core, {kernel[1]:.3f} s wall")
    print(f"  a member                 {1e3 * each:10.3f} ms of core")
    easy = spent(lambda: baseline_run(hours, smooth=True), repeats=2)
    print(f"solve_ivp, one member      {1e3 * base[0]:10.1f} ms of core on the hourly record")
    print(f"                           {1e3 * easy[0]:10.1f} ms of core on a smooth sine")
    print(f"ratio of core-seconds      {base[0] / each:10.0f} : 1 on the hourly record")
    print(f"                           {easy[0] / each:10.0f} : 1 on the sine (wanted 1000)")
    own = spent(lambda: kernel_run(members, hours, None))[0] / members
    print(f"  with its own six cells   {easy[0] / own:10.0f} : 1 on the sine, {1e3 * own:.3f} ms")
    print("growth of core time (1.00 is proportional)")
    for words, bigger, factor in (
        ("members 64 -> 256", lambda: kernel_run(256, hours), 4),
        ("cells 24 -> 48", lambda: kernel_run(members, hours, 48), 2),
        ("days 28 -> 84", lambda: kernel_run(members, 3 * hours), 3),
    ):
        print(f"  {words:24s} {spent(bigger, 3)[0] / kernel[0] / factor:10.2f}")
    tight = baseline_run(hours, tight=True)
    for cells in (CELLS, None):
        off = np.abs(one_run(hours, cells) - tight).max()
        print(
            f"largest difference         {off:10.3f} K from a tight solve_ivp (wanted 0.05),"
            f" {cells or 'own'} cells"
        )

    steps_missed()
    pour, record = scenario()
    now = POURED_AT + timedelta(hours=5)
    through = default_plan.simulated(pour, record, now, hours)
    assert isinstance(through, physics.Simulation)
    whole = spent(lambda: timeline.project(pour, record, now), 3)
    simulation = spent(lambda: physics.simulate(pour, record, now, hours), 3)
    dries = spent(lambda: drying.settled(pour, through, 5.0), 3)
    opened = spent(lambda: timeline.planned(pour, through, 5.0)[0], 3)
    print(f"whole projection           {1e3 * whole[0]:10.1f} ms of core")
    print(
        f"  without its drying       {1e3 * (whole[0] - dries[0]):10.1f} ms (heat to windows: 60)"
    )
    print(f"  air, mix, heat, strength {1e3 * simulation[0]:10.1f} ms")
    print(f"  criteria and windows     {1e3 * opened[0]:10.1f} ms")
    check = spent(lambda: pour_check.check(pour, record, now), 2)
    print(
        f"seven-day pour check       {1e3 * check[0]:10.1f} ms core, {1e3 * check[1]:.0f} ms wall"
        " (wanted 2000 ms of two cores)"
    )
    first_call()


if __name__ == "__main__":
    main()
