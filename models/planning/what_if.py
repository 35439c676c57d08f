"""What would bring strip and turn earlier: another way for the same pour, computed anew."""

from dataclasses import replace
from datetime import datetime

import numpy as np

from models.concrete.section import Covering
from models.message import Message
from models.planning.default_plan import Way
from models.planning.windows import span
from models.results import StepWindow
from models.simulation import cases
from models.simulation import plan as plans
from models.simulation.physics import Simulation, under
from models.simulation.plan import Plan, PlanEntry
from models.simulation.scenario import Scenario
from models.steps import registry

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
    more = Covering(from_h, None, "blanket", faces="all")
    heated = replace(more, kind="heated enclosure", setpoint_C=HEATED_C, heater="electric")
    base = {s.step: np.inf if s.safe is None else scenario.hour(s.safe) for s in waiting}
    reach = np.ceil(max(base.values())) + 1
    out: dict[str, tuple[Message, ...]] = {}
    for change, cover in (
        (Message("blanket_from_now"), more),
        (Message("heat_from_now", {"setpoint_C": HEATED_C}), heated),
    ):
        moved = _sure_hours(scenario, simulation, PlanEntry("cover", from_h, cover=cover), reach)
        for step in (one.step for one in waiting if one.step in moved):
            gain = base[step] - moved[step]
            if np.isfinite(gain) and gain >= 0.75:
                text = Message("earlier_by_h", {"change": change, "gain_h": gain})
                if gain >= 48:
                    text = Message("earlier_by_days", {"change": change, "gain_days": gain / 24})
            elif np.isfinite(moved[step]) and not np.isfinite(base[step]):
                text = Message("sure_at", {"change": change, "at": scenario.clock(moved[step])})
            else:
                continue
            out[step] = (*out.get(step, ()), text)
    return out


def _sure_hours(
    scenario: Scenario, simulation: Simulation, cover: PlanEntry, reach_h: float
) -> dict[str, float]:
    """Sure hours of strip and turn under the plan of a pour with one more cover [h].

    The mould goes when the plan says; where it or the turn has no hour, as soon as that cover lets.
    reach_h : what comes later is of no use [h], infinite: all of it
    """
    now_h, members, plan = cover.at_h, simulation.members, simulation.plan
    plan = Plan(tuple(e for e in plan.entries if e.cover is None or e.set_by != "default"))
    plan = plan.adding(cover)  # in place of the cover that an alert asks for
    if not np.isfinite(reach_h + plan.hour("strip")):
        told = plans.told(scenario, now_h).adding(cover)
        return Way(scenario, members, now_h, told, soon=True).mould_hours()
    case = cases.case_of(scenario, under(members, plan, int(reach_h)), now_h)
    return {
        step: span(case.trajectory, criterion(case), case.confidence, now_h).safe
        for step in ("strip", "turn")
        if (criterion := registry.known(step).criterion) is not None
    }
