"""Every way of turning a piece with its hour, and why one is none for it."""

from dataclasses import replace

import numpy as np

from models.facts.cements import LATEST_GAIN_H
from models.facts.handling import ADHESION_KN_M2
from models.message import Message, Value
from models.piece import quantities
from models.piece import turning as ways
from models.piece.handling import team_kg
from models.piece.turning import Way
from models.planning.what_if import told_sooner
from models.planning.windows import span
from models.results import StepWindow, TurningWay
from models.simulation import cases
from models.simulation.physics import Simulation
from models.simulation.scenario import Scenario
from models.steps import registry, turn
from models.steps.case import Case
from models.steps.opening import Span


def told(
    scenario: Scenario,
    simulation: Simulation | None,
    windows: tuple[StepWindow, ...],
    now_h: float,
) -> tuple[TurningWay, ...]:
    """Every way, in the order of its hour, those that turn it and that the shop can do first.

    simulation : by which the turn is judged; None: there is no weather, and no way has an hour
    windows : of all steps; where the turn has no sure hour (frost, readings that disagree) no way
        has one, but where only the way proposed asks for more than the mix reaches

    Source: models.piece.turning.
    """
    window = next((one for one in windows if one.step == "turn"), None)
    if window is None or window.state == "done":
        return ()
    shape, density = scenario.shape, scenario.mixture.density_kg_m3
    rules, board = scenario.rules, scenario.mould.material
    found = ways.turning_ways(shape, density, ADHESION_KN_M2[board])
    first = ways.proposed(found, rules.gear)
    case = None if simulation is None else cases.case_of(scenario, simulation, now_h)
    reach_MPa = np.inf if simulation is None else _reach_MPa(scenario, simulation)
    beyond = window.state == "not yet" and window.reason is None and first.need_MPa > reach_MPa
    out = []
    for way in found:
        need_MPa = max(way.need_MPa, rules.needs_MPa.get("turn", 0.0))
        when = None if case is None else _span(case, need_MPa, now_h)
        out.append(_one(scenario, way, need_MPa, when, window, way is first, beyond))
    works = [one for one in out if one.need_MPa <= reach_MPa and _light_enough(scenario, one)]
    out = [
        one
        if one in works
        else replace(one, not_this_way=_why_not(scenario, one, works, reach_MPa))
        for one in out
    ]
    return tuple(sorted(out, key=_rank))


def sooner(window: StepWindow, ways: tuple[TurningWay, ...]) -> tuple[Message, ...]:
    """With what gear, that the shop has not, a piece is turned hours earlier, or at all: that of
    the way which asks least. window : of the turn; ways : of told()

    Source: models.piece.turning.
    """
    other = next((one for one in ways if one.turns and not one.can and one.safe is not None), None)
    if window.state != "not yet" or other is None or other.not_this_way or other.safe is None:
        return ()
    gear: dict[str, Value] = {"gear": other.gear[0]}
    return told_sooner(Message("with_gear", gear), window.safe, other.safe)


def _one(
    scenario: Scenario,
    way: Way,
    need_MPa: float,
    when: Span | None,
    window: StepWindow,
    is_first: bool,
    beyond: bool,
) -> TurningWay:
    shape, density = scenario.shape, scenario.mixture.density_kg_m3
    mass_kg = quantities.mass_kg(shape.volume_l, density)
    people = ways.people(way, mass_kg, min(shape.length_mm, shape.width_mm))
    hands = Message("way_hoist")
    if people is not None:
        hands = Message("way_people" if way.lifted == 1 else "way_people_half", {"people": people})
    sure = when is not None and (window.safe is not None or beyond)
    likely = when is not None and window.p50 is not None
    return TurningWay(
        way.key,
        round(way.stress_MPa, 3),
        round(need_MPa, 2),
        scenario.clock(when.p50) if when is not None and likely else None,
        scenario.clock(when.safe) if when is not None and sure else None,
        way.turns,
        is_first,
        people,
        hands,
        way.gear,
        ways.can(way, scenario.rules.gear),
        level=window.level,
    )


def _span(case: Case, need_MPa: float, now_h: float) -> Span:
    """When the members have the strength, never before it is stripped."""
    opening = turn.turn(case)
    strong = case.trajectory.first(case.trajectory.strength_MPa, need_MPa)
    opens = np.maximum(strong, case.planned_h["strip"])
    opening = replace(opening, opens_h=opens, closes_h=None)
    return span(case.trajectory, opening, case.confidence, now_h)


def _reach_MPa(scenario: Scenario, simulation: Simulation) -> float:
    """Strength that the mix ever has at 20 degC, at the level of the turn [MPa]."""
    prior, weight = simulation.prior, simulation.trajectory.weight
    ever = prior.strength_at(np.full(prior.members, LATEST_GAIN_H))
    level = registry.level_of("turn", scenario.rules.confidence)
    return simulation.trajectory.quantile(ever, 1 - level) if len(weight) else np.inf


def _light_enough(scenario: Scenario, one: TurningWay) -> bool:
    """Whether as many lift it as the shop told; a hoist lifts for them."""
    lifters = scenario.rules.lifters
    if lifters is None or "hoist" in scenario.rules.gear:
        return True
    return one.people is not None and one.people <= lifters


def _why_not(
    scenario: Scenario, one: TurningWay, works: list[TurningWay], reach_MPa: float
) -> Message:
    """Why a way is none, and which one is: one that does the same, the shop's own before others."""
    alike = sorted((other for other in works if other.turns or not one.turns), key=_rank)
    instead = (
        Message("way_instead", {"turned": alike[0].way}) if alike else Message("way_none_instead")
    )
    if one.need_MPa > reach_MPa:
        values: dict[str, Value] = {
            "need_MPa": one.need_MPa,
            "reach_MPa": reach_MPa,
            "instead": instead,
        }
        return Message("not_this_way", values)
    lifters = scenario.rules.lifters or 1
    return Message(
        "not_by_so_few",
        {"people": lifters, "team_kg": team_kg(min(lifters, 4)), "instead": instead},
    )


def _rank(one: TurningWay) -> tuple[bool, bool, bool, float]:
    """Those that work first, then the shop's own, then what turns it, by what each asks."""
    return one.not_this_way is not None, not one.can, not one.turns, one.need_MPa
