"""Frost apart from the windows: what if it froze while young, and what later frosts may do."""

from dataclasses import replace

import numpy as np

from models.facts.frost import FREEZING_POINT_C, REPEATED_MPA, ROOM_FOR_ICE_RH
from models.message import Message, Value
from models.planning.alerts import TOLD, watched
from models.planning.windows import span, unsettled
from models.quantile import quantile
from models.results import FrostBranch
from models.simulation import cases, looks
from models.simulation.physics import Simulation
from models.simulation.scenario import Scenario
from models.steps import strip, turn


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
    strips = strip.strip(frosted, case.needs_MPa, strip.least_te_h(case))
    opening = turn.turn(case) if step == "turn" else strips
    return span(frosted, opening, case.confidence, now_h).safe


def later(scenario: Scenario, simulation: Simulation, now_h: float) -> Message | None:
    """A frost ahead of a piece that bears one, but is too wet and too weak for many.

    Frost while it is drier, or once it has the strength for repeated freezing, gets no word.

    Source: ACI_306R_CYCLES (24 MPa while critically saturated); POWERS_1962 for room for the ice.
    """
    trajectory, drying = simulation.trajectory, simulation.drying
    if drying is None or not scenario.exposed_to_frost:
        return None
    hour = trajectory.hour
    rows = watched(hour, now_h)
    need_MPa = trajectory.frost_need_MPa(scenario.code.frost_MPa)
    bears_one = trajectory.strength_MPa[rows] >= need_MPa
    weak = trajectory.strength_mean_MPa[rows] < REPEATED_MPA
    wet = drying.dried.probe_rh[rows] > ROOM_FOR_ICE_RH
    cold = trajectory.coldest_C[rows] < FREEZING_POINT_C
    harms = bears_one & weak & wet & cold
    chance = float(trajectory.weight @ harms.any(axis=0))
    if chance <= 1 - scenario.rules.confidence:
        return None
    by_row = np.maximum.accumulate(harms, axis=0) @ trajectory.weight
    first = int(np.argmax(by_row > 1 - scenario.rules.confidence))
    lowest = np.where(harms, trajectory.coldest_C[rows], np.inf).min(axis=0)
    values: dict[str, Value] = {"chance": chance, "least_MPa": REPEATED_MPA}
    values["from_at"] = scenario.clock(max(float(hour[rows][first]), now_h))
    values["lowest_C"] = quantile(lowest, trajectory.weight * np.isfinite(lowest) / chance, 0.5)
    return Message("frost_later", values)


def _hour(scenario: Scenario, hour: float) -> Message:
    at = scenario.clock(hour)
    return Message("not_in_sight") if at is None else Message("at_hour", {"at": at})
