"""What a plan costs: `python tests/bench/bench_planner.py`. Prints, asserts nothing.

Fifteen pieces of four kinds in four moulds, two dates, two weeks of weather. Wanted: the solver
within 2 s of one core to a gap that is told; the whole answer with nothing cached within 20 s.
"""

import os
import time
from datetime import UTC, datetime, timedelta

import numpy as np

from models.air.place import Site
from models.air.series import AirSeries
from models.concrete.mixture import Mixture
from models.concrete.section import Covering
from models.piece.shape import Opening, Shape
from models.planning import mould_plan, orders, shop_plan
from models.planning.courses import Kind, courses
from models.planning.orders import MouldThere, Order, Part, Shop
from models.planning.working_day import WorkingDays
from models.simulation.scenario import Placement, Scenario, ShopRules

ASKED = datetime(2025, 10, 6, 11, tzinfo=UTC)
ZONE = "America/New_York"


def record(mean_C: float = 14.0, days: int = 14) -> AirSeries:
    """Two weeks ahead, made up: a day's swing, and a cold spell in the second week."""
    hours = 96 + 24 * days
    at = np.arange(hours)
    air = mean_C + 5 * np.sin(2 * np.pi * (at - 15) / 24) - 3 * (at > 96 + 24 * 7)
    same = np.ones(hours)
    begin = ASKED - timedelta(hours=96)
    return AirSeries(
        begin, air, air - 4, 2 * same, 0 * same, 0.4 * same, np.nan * same, ASKED, "made up"
    )


SHAPES = {
    "bench seat": Shape("panel", 1500.0, 420.0, 60.0),
    "leg": Shape("panel", 400.0, 380.0, 70.0),
    "planter": Shape("box", 700.0, 700.0, height_mm=600.0, wall_mm=50.0),
    "top": Shape("panel", 1400.0, 800.0, 45.0, openings=(Opening(300.0, 300.0),)),
}


def kinds(air: AirSeries) -> dict[str, Kind]:
    rules = ShopRules(owned=(Covering(0.0, None, "blanket"),))
    return {
        key: Kind(
            key,
            Scenario(
                key,
                Site("unheated room", 41.5, -74.0, timezone=ZONE),
                Mixture("general-purpose"),
                shape,
                Placement(ASKED),
                rules=rules,
            ),
            air,
        )
        for key, shape in SHAPES.items()
    }


def wanted() -> list[Order]:
    """Fifteen pieces of four kinds, two dates."""
    return [
        Order(
            "first",
            ASKED + timedelta(days=9),
            (Part("bench seat", 2), Part("leg", 3), Part("top", 2)),
        ),
        Order(
            "second",
            ASKED + timedelta(days=13),
            (Part("planter", 3), Part("leg", 2), Part("bench seat", 2), Part("top", 1)),
        ),
    ]


def moulds() -> list[MouldThere]:
    return [
        MouldThere("seat", ("bench seat",)),
        MouldThere("legs", ("leg",)),
        MouldThere("box", ("planter",)),
        MouldThere("table", ("top", "bench seat"), 20.0),
    ]


def shop() -> Shop:
    return Shop(WorkingDays(ASKED, ZONE), hands=2, confidence=0.9)


def main() -> None:
    print(f"load of the machine before: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    air, here = record(), shop()
    begin, core = time.perf_counter(), time.process_time()
    found = shop_plan.plan(here, wanted(), moulds(), kinds(air))
    print(
        f"whole answer, nothing cached: {time.perf_counter() - begin:.1f} s wall,"
        f" {time.process_time() - core:.1f} s of core (wanted 20)"
    )
    known = {key: courses(one, here.days) for key, one in kinds(air).items()}
    problem = orders.asked(here, wanted(), moulds(), kinds(air), known).problem
    core = time.process_time()
    best = mould_plan.solve(problem)
    print(
        f"solver: {time.process_time() - core:.2f} s of core (wanted 2), {best.how},"
        f" gap {best.gap:.2%}; greedy costs {mould_plan.greedy(problem).cost_h:.0f} h of lateness,"
        f" the plan {best.cost_h:.0f}; {len(problem.castings)} pieces,"
        f" {sum(len(one.choices) for one in problem.castings)} choices"
    )
    for one in found.poured:
        print(f"  {one.at:%a %d %H:%M}  {one.mould:8s} {one.piece.kind:10s} for {one.piece.order}")
    for left in found.left_out:
        print(f"  left out: {left.piece.kind} for {left.piece.order}: {left.why}")
    for told in found.promises:
        print(
            f"  {told.order}: due {told.due:%a %d}, even odds {told.at_even}, sure {told.at_sure},"
            f" late {told.late} {told.why or ''}"
        )
    for gain in found.gains:
        print(f"  one more {gain.what} {gain.kind}: {gain}")


if __name__ == "__main__":
    main()
