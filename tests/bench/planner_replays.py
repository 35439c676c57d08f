"""How often promised hours hold: `python tests/bench/planner_replays.py [replays] [seed]`.

Prints, asserts nothing. Each replay asks on a random hour of 2013 for two alike pieces in one mould
on a forecast that misses as in pour_check_replays.py, and then looks at what came: the record as it
was, one member of mix and site as the truth. An inside check of the concrete, an outside one of the
weather. A piece whose mould was not let go by its planned start counts as not held.
"""

import sys
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from models.planning import courses, shop_plan
from models.planning.courses import Kind
from models.planning.honesty import Share
from models.planning.orders import MouldThere, Order, Part, Shop
from models.planning.working_day import WorkingDays
from models.simulation.scenario import Placement
from tests.replays import record_2013 as record
from tests.replays import replayed_checks as checks

HOURS = 72 + 24 * 36
MEMBERS = 64
courses.DAYS = 5  # of starts, so that many hours can be asked about


def words(share: Share) -> str:
    low, high = share.interval
    return (
        f"{share.part} of {share.whole}  {share.part / share.whole:.0%}  ({low:.0%} to {high:.0%})"
    )


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    random = np.random.default_rng(int(sys.argv[2]) if len(sys.argv) > 2 else 2013)
    held: dict[str, list[bool]] = {"piece, even odds": [], "piece, sure": []}
    held |= {"order, even odds": [], "order, sure": []}
    unpromised, covered, done, k = 0, 0, 0, 0
    while done < count:
        k += 1
        station = str(random.choice(record.STATIONS))
        asked = datetime(2013, 1, 10, tzinfo=UTC) + timedelta(hours=int(random.integers(24 * 300)))
        begin = asked - timedelta(hours=72)
        came, _ = record.series_2013(station, begin, begin + timedelta(hours=HOURS)).bridged()
        if not (np.isfinite(came.air_C).all() and np.isfinite(came.dew_point_C).all()):
            continue
        done += 1
        scenario = checks.scenario(random, station, asked, record)
        scenario = replace(scenario, rules=replace(scenario.rules, indoors=None))
        told = checks.forecast(random, came, asked, biased=k % 3 == 0)
        told = told.between(begin, asked + timedelta(days=11))
        days = WorkingDays(asked, "America/New_York")
        shop = Shop(days, hands=2, confidence=0.9)
        kind = Kind("piece", scenario, told)
        order = Order("order", asked + timedelta(days=14), (Part("piece", 2),))
        plan = shop_plan.plan(
            shop, [order], [MouldThere("mould", ("piece",))], {"piece": kind}, gains=False
        )
        if any(one.way.code != "way_bare" for one in plan.poured):
            covered += 1
            continue
        (promise,) = plan.promises
        member = int(random.integers(MEMBERS))
        ready, in_time = [], True
        for one in plan.poured:
            at_h = days.hour(one.at)
            pour = replace(scenario, placement=Placement(one.at))
            seen = replace(came, issued_at=came.end)
            found = courses.followed(pour, seen, days, at_h, one.way, MEMBERS)
            if found is None:
                continue
            finished = days.soonest(found.ready_h[member : member + 1])[0] + kind.work.finish.hours
            ready.append(finished)
            in_time &= bool(found.strip_h[member] <= days.hour(one.strip_at))
            for name, hour in (("even odds", one.ready_even), ("sure", one.ready_sure)):
                if hour is not None:
                    held[f"piece, {name}"].append(bool(finished <= days.hour(hour) + 0.25))
        if promise.at_even is None or not ready:
            unpromised += 1
            continue
        for name, hour in (("even odds", promise.at_even), ("sure", promise.at_sure)):
            if hour is not None:
                held[f"order, {name}"].append(in_time and max(ready) <= days.hour(hour) + 0.25)
    print(f"{done} replays, {unpromised} without a promise, {covered} under covers left out")
    for name, kept in held.items():
        print(f"  {name:20s} held {words(Share(sum(kept), len(kept))) if kept else 'none'}")


if __name__ == "__main__":
    main()
