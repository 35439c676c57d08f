"""What would bring strip and turn earlier: another way for the same pour, computed anew."""

from dataclasses import replace
from datetime import datetime

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
    base = {s.step: np.inf if s.safe is None else scenario.hour(s.safe) for s in waiting}
    reach = np.ceil(max(base.values())) + 1
    out: dict[str, tuple[Message, ...]] = {}
    changes = (Message("blanket_from_now"), Message("heat_from_now", {"setpoint_C": HEATED_C}))
    ways = [(PlanEntry("cover", from_h, cover=cover),) for cover in (more, heated)]
    asked = Asked(("strip", "turn"), reach)
    table = compare(scenario, simulation, ways, from_h, asked)
    for change, row in zip(changes, table, strict=True):
        moved = row.hours
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
