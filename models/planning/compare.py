"""Other plans of a pour beside the one that stands, all on the same members."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from models.planning import windows
from models.planning.coat_plan import Coated
from models.planning.default_plan import Way
from models.planning.sealing import sealed
from models.simulation import cases, drying
from models.simulation import plan as plans
from models.simulation.physics import Simulation, harmed_under, under
from models.simulation.plan import Plan, PlanEntry
from models.simulation.scenario import Scenario

Acts = tuple[PlanEntry, ...]


@dataclass(frozen=True)
class Asked:
    """What is wanted of each plan.

    steps : of the mould, their sure hours; reach_h : later ones are of no use [h], infinite: all
    frost_by_h : [h] until which the chance that ice harms it is wanted, None: it is not
    coats : whether the coats are wanted
    """

    steps: tuple[str, ...] = ()
    reach_h: float = np.inf
    frost_by_h: float | None = None
    coats: bool = False


@dataclass(frozen=True)
class Compared:
    """One row of the table: what is done beside the plan, and what follows.

    hours : sure hours from placing [h], infinite: not within reach
    frost : chance that ice harms it from now to the hour asked, 0 to 1; NaN: not asked
    coated, dried : the coats, and the members that they are planned on
    """

    acts: Acts
    frost: float = np.nan
    hours: Mapping[str, float] = field(default_factory=dict)
    coated: Coated | None = None
    dried: Simulation | None = None


def compare(
    scenario: Scenario, simulation: Simulation, ways: Iterable[Acts], now_h: float, asked: Asked
) -> Iterator[Compared]:
    """The plan of a pour with some acts more, way by way, each worked out as it is asked for.

    now_h : [h] from placing, up to which all plans are alike
    """
    for acts in ways:
        row = Compared(acts)
        if asked.frost_by_h is not None:
            row = replace(row, frost=_frost(simulation, acts, now_h, asked.frost_by_h))
        if asked.steps:
            hours = _sure_hours(scenario, simulation, acts, now_h, asked)
            row = replace(row, hours=hours)
        if asked.coats:
            dried = _dried(scenario, simulation, acts, now_h)
            coated = sealed(scenario, dried, cases.case_of(scenario, dried, now_h), now_h)
            row = replace(row, coated=coated, dried=dried)
        yield row


def _frost(simulation: Simulation, acts: Acts, now_h: float, until_h: float) -> float:
    """Of covers that are laid by these acts: what else is only meant lowers no risk."""
    plan = simulation.plan.confirmed().adding(*acts)
    harmed = harmed_under(simulation, plan, now_h, until_h)
    return max(harmed - simulation.frozen_by(now_h), 0.0)


def _sure_hours(
    scenario: Scenario, simulation: Simulation, acts: Acts, now_h: float, asked: Asked
) -> dict[str, float]:
    """Sure hours of strip and turn [h].

    The mould goes when the plan says; where it or the turn has no hour, as soon as those acts let.
    """
    members, plan = simulation.members, simulation.plan
    plan = Plan(tuple(e for e in plan.entries if e.cover is None or e.set_by != "default"))
    plan = plan.adding(*acts)  # in place of the cover that an alert asks for
    if not np.isfinite(asked.reach_h + plan.hour("strip")):
        told = plans.told(scenario, now_h).adding(*acts)
        found = Way(scenario, members, now_h, told, soon=True).mould_hours()
        return {step: hour for step, hour in found.items() if step in asked.steps}
    case = cases.case_of(scenario, under(members, plan, int(asked.reach_h)), now_h)
    return {step: windows.of_step(case, step, now_h).safe for step in asked.steps}


def _dried(scenario: Scenario, simulation: Simulation, acts: Acts, now_h: float) -> Simulation:
    """The members dried under it as far as the weather is known: no coat is planned beyond."""
    rows = int(np.ceil(max(simulation.known_h, now_h))) + 1
    one = under(simulation.members, simulation.plan.adding(*acts), rows)
    one = replace(one, plan=simulation.plan.adding(*acts))
    return drying.settled(scenario, one, now_h)
