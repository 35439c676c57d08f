"""What would bring strip and turn earlier: another way for the same pour, computed anew."""

from dataclasses import replace
from datetime import datetime

import numpy as np

from models.air.series import AirSeries
from models.concrete.section import Covering
from models.errors import Unknown
from models.message import Message
from models.planning.windows import span
from models.results import StepWindow
from models.simulation import moments
from models.simulation.physics import HORIZON_H, simulate
from models.simulation.scenario import Scenario
from models.steps import strip, turn

WHAT_IF_MEMBERS = 24
HEATED_C = 20.0


def earlier(
    scenario: Scenario, air: AirSeries, now: datetime, steps: tuple[StepWindow, ...]
) -> dict[str, tuple[Message, ...]]:
    """How much earlier strip and turn come under one more blanket, or with electric heat at 20
    degC: recomputed. Heat that burns is never proposed.
    """
    waiting = [s for s in steps if s.step in ("strip", "turn") and s.state == "not yet"]
    if not waiting:
        return {}
    late = [s.safe for s in waiting if s.safe is not None]
    reach = max((scenario.hour(at) for at in late), default=HORIZON_H) + 24
    now_h = max(0.0, scenario.hour(now))
    more = Covering(now_h, None, "blanket", faces="all")
    heated = replace(more, kind="heated enclosure", setpoint_C=HEATED_C, heater="electric")
    blanket = replace(scenario, coverings=(*scenario.coverings, more))
    warm = replace(scenario, coverings=(heated,))
    out: dict[str, tuple[Message, ...]] = {}
    base = safe_hours(scenario, air, now, reach)
    reach = min(reach, max(base.values(), default=reach))  # only what comes earlier is told
    for change, other in (
        (Message("blanket_from_now"), blanket),
        (Message("heat_from_now", {"setpoint_C": HEATED_C}), warm),
    ):
        moved = safe_hours(other, air, now, reach)
        for step in (one.step for one in waiting if one.step in base and one.step in moved):
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


def safe_hours(scenario: Scenario, air: AirSeries, now: datetime, reach: float) -> dict[str, float]:
    """Sure hours of strip and turn from placing for a what-if, with fewer members [h]."""
    hours = int(np.clip(np.ceil(reach), 24, HORIZON_H))
    simulation = simulate(scenario, air, now, hours, WHAT_IF_MEMBERS)
    if isinstance(simulation, Unknown):
        return {}
    case = moments.case_of(scenario, simulation, 0.0)
    off = strip.strip(case.trajectory, case.needs_MPa)
    return {
        o.step: span(case.trajectory, o, case.confidence, 0.0).safe for o in (off, turn.turn(case))
    }
