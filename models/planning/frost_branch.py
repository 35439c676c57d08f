"""What if it froze while it was young: told apart from the windows, once, with how to settle it."""

from dataclasses import replace

import numpy as np

from models.message import Message, Value
from models.planning.windows import span, unsettled
from models.quantile import quantile
from models.results import FrostBranch
from models.simulation import cases, looks
from models.simulation.physics import Simulation
from models.simulation.scenario import Scenario
from models.steps import strip, turn

TOLD = 0.05  # a chance of frost under it is not told, OWN_JUDGEMENT


def branch(scenario: Scenario, simulation: Simulation, now_h: float) -> FrostBranch | None:
    """The same plan on a piece that froze; None where that is hardly possible.

    Every member counts by its chance to freeze, with less strength from then on.
    """
    trajectory = simulation.trajectory
    came = simulation.frozen_by(now_h)
    chance = simulation.frozen_by(trajectory.hour[-1])
    if chance < TOLD:
        return None
    depth = trajectory.frost_depth
    corner, _ = looks.strength_left(depth)
    weight = trajectory.weight * trajectory.harm_chance / chance
    strip_h, turn_h = (_safe_h(scenario, simulation, step, now_h) for step in ("strip", "turn"))
    at = scenario.clock(simulation.frost_passes(0.5 * chance))
    depth_mm = scenario.shape.section_mm * quantile(depth, weight, 0.5)
    left = quantile(corner, weight, 0.5)
    open_question = unsettled(scenario, simulation, now_h)
    values: dict[str, Value] = {"depth_mm": depth_mm, "strength_left": left}
    values["strip"] = _hour(scenario, strip_h)
    values["turn"] = _hour(scenario, turn_h)
    values["settles"] = (Message("look_settles"),) if open_question >= TOLD else ()
    return FrostBranch(
        chance,
        came,
        at,
        depth_mm,
        left,
        scenario.clock(strip_h),
        scenario.clock(turn_h),
        Message("if_it_froze", values),
    )


def _safe_h(scenario: Scenario, simulation: Simulation, step: str, now_h: float) -> float:
    """When a step would be safe [h], of members that froze, under the plan it is judged by."""
    judged = simulation.before.get(step, simulation)
    trajectory = judged.trajectory
    weight = trajectory.weight * trajectory.harm_chance
    if weight.sum() <= 0:
        return float("inf")
    corner, mean = looks.strength_left(trajectory.frost_depth)
    since = trajectory.hour[:, None] >= trajectory.frozen_h
    frosted = replace(
        trajectory,
        weight=weight / weight.sum(),
        strength_MPa=np.where(since, corner, 1.0) * trajectory.strength_MPa,
        strength_mean_MPa=np.where(since, mean, 1.0) * trajectory.strength_mean_MPa,
    )
    case = cases.case_of(scenario, replace(judged, trajectory=frosted), now_h)
    opening = turn.turn(case) if step == "turn" else strip.strip(frosted, case.needs_MPa)
    return span(frosted, opening, case.confidence, now_h).safe


def _hour(scenario: Scenario, hour: float) -> Message:
    at = scenario.clock(hour)
    return Message("not_in_sight") if at is None else Message("at_hour", {"at": at})
