"""What mars a face and weakens nothing, told while it can be kept off."""

import numpy as np

from models.facts.air import WET_MM_H
from models.facts.blemishes import (
    EFFLORESCES_AHEAD_H,
    EFFLORESCES_C,
    EFFLORESCES_CHANCE,
    EFFLORESCES_FOR_D,
    EFFLORESCES_H,
    POLYMER_WET_H,
    SUGARY_BOARDS,
)
from models.message import Message, Value
from models.simulation.in_force import covered_until, schedule
from models.simulation.physics import Simulation
from models.simulation.scenario import Scenario
from models.units import Array


def told(scenario: Scenario, simulation: Simulation, now_h: float) -> list[Message]:
    """What threatens the face from now on."""
    return [*_efflorescence(scenario, simulation, now_h), *_kept_wet(scenario, now_h)]


def before(scenario: Scenario) -> list[Message]:
    """What to do to the mould before the concrete comes.

    Source: CONCRETE_SOCIETY_733.
    """
    return [Message("wood_sugar")] if scenario.mould.material in SUGARY_BOARDS else []


def _efflorescence(scenario: Scenario, simulation: Simulation, now_h: float) -> tuple[Message, ...]:
    """That the bare young face will likely be cold and wet for hours on end, by rain or dew.

    Source: CONCRETE_EFFLORESCENCE; OWN_JUDGEMENT for the hours.
    """
    trajectory = simulation.trajectory
    hour = trajectory.hour
    in_force = schedule(scenario, None, simulation.plan)
    at = np.searchsorted(in_force.from_h, hour, side="right") - 1
    set_h = trajectory.first(trajectory.te_mean_h, trajectory.final_set_h)
    bare = (in_force.R_top[at] == 0) & (hour > trajectory.hour_by(set_h, 0.5))
    if not bare.any():
        return ()
    until_h = min(now_h + EFFLORESCES_AHEAD_H, hour[np.argmax(bare)] + 24 * EFFLORESCES_FOR_D)
    ahead = bare & (hour >= now_h) & (hour <= until_h)
    ahead[simulation.trajectory.forecast_rows :] = False
    rows = np.flatnonzero(ahead)
    if not len(rows):
        return ()
    face_C = trajectory.top_C[rows]
    wet = (trajectory.rain_mm[rows] > WET_MM_H) | (face_C <= trajectory.dew_point_C[rows])
    damp = wet & (face_C < EFFLORESCES_C)
    span = int(EFFLORESCES_H)
    counted: Array = np.zeros((len(rows) + 1, trajectory.members))
    np.cumsum(damp, axis=0, out=counted[1:])
    if len(counted) <= span:
        return ()
    whole = (counted[span:] - counted[:-span]) >= span
    chance = float(trajectory.weight @ whole.any(axis=0))
    if chance < EFFLORESCES_CHANCE:
        return ()
    first = int(np.argmax((whole @ trajectory.weight) >= 0.5 * chance))
    from_at = scenario.instant(float(hour[rows[first]]))
    values: dict[str, Value] = {"chance": chance, "from_at": from_at, "under_C": EFFLORESCES_C}
    return (Message("efflorescence", values),)


def _kept_wet(scenario: Scenario, now_h: float) -> tuple[Message, ...]:
    """That a mix with polymer is meant to lie wet for longer than its polymer bears.

    Source: ACI_548_3R.
    """
    if not scenario.mixture.keeps_its_water:
        return ()
    off_h = scenario.done_h.get("uncover", np.inf)
    wet = (one for one in scenario.coverings if one.kind == "wet cover")
    if not any(covered_until(one, off_h) > max(now_h, one.from_h + POLYMER_WET_H) for one in wet):
        return ()
    return (Message("polymer_kept_wet", {"most_h": POLYMER_WET_H}),)
