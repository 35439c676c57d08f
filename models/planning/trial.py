"""Another plan tried out on the members of a pour, as quick as a thumb moves: its next steps, its
frost. What the projection tells beside them (alerts, coats, what comes earlier) is left out.
"""

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

import numpy as np

from models.air.series import AirSeries
from models.concrete.sweeps import Sweeps
from models.errors import Unknown
from models.planning import alerts, default_plan, windows
from models.planning.default_plan import Way
from models.results import Trial, TriedStep
from models.simulation import cases, physics
from models.simulation import plan as plans
from models.simulation.meant import Meant
from models.simulation.physics import HORIZON_H, Simulation
from models.simulation.plan import Plan, PlanEntry
from models.simulation.scenario import DRYING_KINDS, Scenario
from models.steps import registry
from models.units import Array

STAGES = ("mould", "cure", "face")  # what a fresh face asks for goes by the hand
NEXT = 3


@dataclass(frozen=True)
class Basis:
    """What all trials of a pour have in common; they go on from where they part.

    stands : the piece as it is planned, nothing counted that is only meant
    asked : the cover that an alert asks for and that the windows of the projection hang on
    known : the piece in its mould as planned, on which no hour of stripping has a bearing
    """

    scenario: Scenario
    stands: Simulation
    asked: PlanEntry | None
    now: datetime
    known: Mapping[Hashable, Simulation] = field(default_factory=dict)

    @property
    def weight(self) -> Array | None:
        """Of the members, where readings of drying weigh them, which no trial computes; or None."""
        read = any(one.kind in DRYING_KINDS for one in self.scenario.observations)
        return self.stands.trajectory.weight if read else None


def basis(scenario: Scenario, air: AirSeries | Unknown, now: datetime) -> Basis | Unknown:
    """The members of a pour as its projection draws them; Unknown without weather."""
    scenario.checked_against(now)
    scenario = scenario.without_wrong_readings()
    if isinstance(air, Unknown):
        return air
    hours = int(np.clip(max(HORIZON_H, scenario.hour(now) + 240), HORIZON_H, 90 * 24))
    stands = default_plan.hardened(scenario, air, now, hours)
    if isinstance(stands, Unknown):
        return stands
    _, asked = alerts.foreseen(scenario, stands, now)
    one = Basis(scenario, stands, asked, now)
    in_mould = _way(one, scenario.plan, covered=False)
    in_mould.stripped()
    return replace(one, known=in_mould.known)


def tried(
    one: Basis,
    plan: tuple[Meant, ...],
    counted: tuple[Meant, ...] = (),
    *,
    covered: bool = False,
    also: tuple[str, ...] = (),
) -> Trial:
    """The next steps under a plan, and the frost of the watched hours.

    plan : all that is meant; counted : what of it is thought done, the rest lowers no risk
    covered : whether it says what lies on the piece, so that no cover is taken for granted
    also : steps besides whose chance at the hour at which they are meant is wanted

    Raises InputError for a plan that cannot be.
    """
    found = _way(one, plan, covered=covered)
    scenario, members, now_h = found.scenario, found.members, found.now_h
    whole, judged = found.stripped()
    whole, cured = found.cured(whole)
    judged = _weighed(one, {**judged, **cured})
    listed = _listed(scenario, now_h, also)
    unjudged = [key for key in listed if key not in judged]
    damp = judged.get("end-wet-cure")
    simulation = None if damp is None else replace(damp, plan=whole.filled(damp.plan.entries))
    ends_h = min(whole.hour("end-wet-cure"), whole.hour("uncover"))
    if simulation is None or not _settled(scenario, simulation, now_h, unjudged, ends_h):
        meant_h = [whole.hour(key) for key in unjudged if np.isfinite(whole.hour(key))]
        simulation = found.until(whole, max(meant_h, default=0.0) + 1.0, *unjudged)
        while not _settled(scenario, simulation, now_h, unjudged):
            hours = len(simulation.trajectory.hour) - 1
            if hours >= members.rows:
                break
            simulation = found.under(whole, min(2 * hours, members.rows))
        simulation = _weighed(one, {"": simulation})[""]
    if "hone" in listed:
        simulation = replace(simulation, plan=found.sanded(simulation.plan, simulation))
    steps = [
        _step(scenario, judged.get(key, simulation), key, simulation.plan, one.now)
        for key in listed
    ]
    steps.sort(key=lambda step: _soonest(scenario, step))
    frost, lowest_C = _cold(one, members, simulation.plan, replace(scenario, plan=counted), now_h)
    return Trial(tuple(steps), frost, lowest_C)


def _way(one: Basis, plan: tuple[Meant, ...], *, covered: bool) -> Way:
    """The plan that is being found; with the cover that an alert asks for unless one is told."""
    scenario = replace(one.scenario, plan=plan)
    now_h = scenario.hour(one.now)
    told = plans.told(scenario, now_h)
    if one.asked is not None and not covered:
        told = told.adding(one.asked)
    return Way(scenario, _members(one, plan), now_h, told, known=dict(one.known))


def _members(one: Basis, plan: tuple[Meant, ...]) -> physics.Members:
    """The members with another plan; what this trial computes is not kept, so that the basis stays
    as small as it was, and trials may run side by side."""
    base = one.stands.members
    kept = Sweeps(list(base.sweeps.known))
    scenario = replace(base.scenario, plan=plan)
    return replace(base, scenario=scenario, sweeps=kept, known=dict(base.known))


def _settled(
    scenario: Scenario,
    simulation: Simulation,
    now_h: float,
    steps: list[str],
    until_h: float = np.inf,
) -> bool:
    """Whether enough members open by an hour [h] that those after it move no sure hour: an hour is
    told by the members within a standard error of its level.

    until_h : up to here the simulation is that of the plan
    """
    case = cases.case_of(scenario, simulation, now_h)
    weight = simulation.trajectory.weight
    for key in steps:
        criterion = registry.known(key).criterion
        assert criterion is not None
        opening = criterion(case)
        level = registry.level_of_opening(opening, scenario.rules.confidence)
        error = np.sqrt(level * (1 - level) * np.sum(weight**2))
        known = opening.opens_h <= min(until_h, simulation.trajectory.hour[-1])
        if weight[known].sum() < min(level + error + weight.max(), 1.0) - 1e-9:
            return False
    return True


def _weighed(one: Basis, some: dict[str, Simulation]) -> dict[str, Simulation]:
    weight = one.weight
    if weight is None:
        return some
    return {
        key: replace(each, trajectory=replace(each.trajectory, weight=weight))
        for key, each in some.items()
    }


def _listed(scenario: Scenario, now_h: float, also: tuple[str, ...]) -> list[str]:
    """The next steps of the pour from the mould to the face, and those that are asked for."""
    setup = cases.setup_of(scenario, now_h)
    ahead = [
        key
        for key, step in registry.of_pour(setup)
        if step.stage in STAGES
        and key not in setup.done
        and not registry.overtaken(key, setup.done)
    ]
    return [key for k, key in enumerate(ahead) if k < NEXT or key in also]


def _step(
    scenario: Scenario, simulation: Simulation, key: str, plan: Plan, now: datetime
) -> TriedStep:
    """One step with its window, and its chance at the hour at which it is meant."""
    now_h = scenario.hour(now)
    criterion = registry.known(key).criterion
    assert criterion is not None
    trajectory = simulation.trajectory
    opening = criterion(cases.case_of(scenario, simulation, now_h))
    when = windows.span(trajectory, opening, scenario.rules.confidence, now_h)
    told = windows.window(scenario, simulation, opening, when, now)
    meant_h = next((each.at_h for each in plan.entries if each.step == key), np.inf)
    set_by = next((each.set_by for each in plan.entries if each.step == key), "default")
    chance = None
    if np.isfinite(meant_h):
        chance = float(trajectory.weight[opening.opens_h <= meant_h + plans.SAME_H].sum())
        if meant_h >= when.safe and told.level is not None:  # who opens later was not followed
            chance = max(chance, told.level)
    return TriedStep(told, scenario.clock(meant_h), set_by, chance)


def _soonest(scenario: Scenario, step: TriedStep) -> float:
    """Hour by which the steps stand in order [h]."""
    at = step.window.safe or step.window.p50 or step.meant_at
    return np.inf if at is None else scenario.hour(at)


def _cold(
    one: Basis, members: physics.Members, plan: Plan, counted: Scenario, now_h: float
) -> tuple[float, float]:
    """Chance that ice harms it in the watched hours, 0 to 1; its coldest corner then, at 10 %
    [degC]. Of covers and heat only those of `counted` are there."""
    acts = plans.told(counted, now_h).entries
    laid = (each for each in acts if each.set_by != "logged" and (each.cover or each.of_place))
    until_h = max(now_h, 0.0) + alerts.WATCHED_H
    found = physics.under(members, plan.confirmed().adding(*laid), int(np.ceil(until_h)) + 1)
    found = _weighed(one, {"": found})[""]
    trajectory = found.trajectory
    chance = max(found.frozen_by(until_h) - one.stands.frozen_by(now_h), 0.0)
    rows = alerts.watched(trajectory.hour, now_h)
    return chance, trajectory.quantile(trajectory.coldest_C[rows].min(axis=0), 0.1)
