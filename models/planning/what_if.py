"""What would bring strip and turn earlier: another way for the same pour, computed anew."""

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from models.concrete.section import Covering
from models.message import Message
from models.planning.compare import Asked, compare
from models.results import StepWindow
from models.simulation.physics import Simulation
from models.simulation.plan import PlanEntry
from models.simulation.scenario import Scenario

HEATED_C = 20.0


def earlier(
    scenario: Scenario, simulation: Simulation, now: datetime, steps: tuple[StepWindow, ...]
) -> dict[str, tuple[Message, ...]]:
    """How much earlier strip and turn come under one more blanket, or with electric heat at 20
    degC: other plans of the same members. Heat that burns is never proposed.
    """
    waiting = [s for s in steps if s.step in ("strip", "turn") and s.state == "not yet"]
    if not waiting:
        return {}
    now_h = scenario.hour(now)
    from_h = max(0.0, now_h)
    more = Covering(from_h, None, "blanket", faces="sides")
    heated = replace(more, kind="heated enclosure", setpoint_C=HEATED_C, heater="electric")
    base = [np.inf if s.safe is None else scenario.hour(s.safe) for s in waiting]
    reach = np.ceil(max(base)) + 1
    out: dict[str, tuple[Message, ...]] = {}
    changes = (Message("blanket_from_now"), Message("heat_from_now", {"setpoint_C": HEATED_C}))
    ways = [(PlanEntry("cover", from_h, cover=cover),) for cover in (more, heated)]
    asked = Asked(("strip", "turn"), reach)
    table = compare(scenario, simulation, ways, from_h, asked)
    for change, row in zip(changes, table, strict=True):
        moved = row.hours
        for one in waiting:
            moved_at = scenario.clock(moved.get(one.step, np.inf))
            told = told_sooner(change, one.safe, moved_at)
            out[one.step] = (*out.get(one.step, ()), *told)
    return out


def told_sooner(
    change: Message, safe_at: datetime | None, moved_at: datetime | None
) -> tuple[Message, ...]:
    """How much earlier a step is safe by a change, or from when at all; nothing where it is by less
    than three quarters of an hour. Source: definition."""
    if moved_at is None:
        return ()
    if safe_at is None:
        return (Message("sure_at", {"change": change, "at": moved_at}),)
    gain_h = (safe_at - moved_at) / timedelta(hours=1)
    if gain_h >= 48:
        return (Message("earlier_by_days", {"change": change, "gain_days": gain_h / 24}),)
    return (Message("earlier_by_h", {"change": change, "gain_h": gain_h}),) * (gain_h >= 0.75)
