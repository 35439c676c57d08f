"""The acts of a plan as they are told: steps, covers laid and taken off, coats."""

from datetime import datetime

from models import results
from models.concrete.section import Covering
from models.results import CoatPlan
from models.simulation.plan import Plan
from models.simulation.scenario import Scenario


def entries(
    scenario: Scenario, plan: Plan, coats: CoatPlan | None
) -> tuple[results.PlanEntry, ...]:
    """The plan as it is told, with covers that were told of and the coats, by the clock."""
    meant = {one.step for one in scenario.plan}
    rows = [_laid(one, scenario.instant(one.from_h), "logged") for one in scenario.coverings]
    rows += [
        results.PlanEntry("uncover", scenario.instant(one.to_h), "logged", one.kind)
        for one in scenario.coverings
        if one.to_h is not None
    ]
    for one in plan.entries:
        at, lies = scenario.instant(one.at_h), one.cover
        if lies is None:
            film = "film" if one.step == "cover" else None
            rows.append(results.PlanEntry(one.step, at, one.set_by, film, one.heat, one.place))
            continue
        rows.append(_laid(lies, at, one.set_by))
        if lies.to_h is not None:
            ends = scenario.instant(lies.to_h)
            rows.append(results.PlanEntry("uncover", ends, one.set_by, lies.kind))
    known = {one.step for one in rows}
    for coat in coats.coats if coats is not None else ():
        if coat.at is not None and coat.step not in known:
            set_by = "maker" if coat.step in meant else "default"
            rows.append(results.PlanEntry(coat.step, coat.at, set_by))
    return tuple(sorted(rows, key=lambda one: one.at))


def _laid(one: Covering, at: datetime, set_by: str) -> results.PlanEntry:
    faces = one.reach if one.insulates else None
    return results.PlanEntry("cover", at, set_by, one.kind, one.setpoint_C, faces=faces)
