"""Dates beyond the days that are looked at by the hour: of steps of use, and of dry enough to seal.

Only where such a step has no sure hour within these days the piece is followed on, up to a year;
every other answer stays as it is.
"""

from dataclasses import replace

import numpy as np

from models.message import Sentence
from models.planning import sealing
from models.planning.coat_plan import Coated
from models.planning.windows import span
from models.results import CoatPlan
from models.simulation import beyond, cases, drying
from models.simulation.physics import Simulation
from models.simulation.plan import PlanEntry
from models.simulation.scenario import Scenario
from models.steps import registry, use
from models.steps.case import Case, Film
from models.steps.opening import Condition, Span, StepOpening

BARES = ("strip", "turn", "end-wet-cure")  # until then it does not dry
AFTER_FORECAST = "coats_after_forecast"
Listed = list[tuple[StepOpening, Span]]


def of_use(
    step: registry.Step, likely: Case, safe: Case, now_h: float, below_p90: bool
) -> tuple[StepOpening, Span]:
    """A step of use with its span: likely by the likely plan of the coats, sure by the sure one.

    below_p90 : a coat is sure at less than 90 %
    """
    assert step.criterion is not None
    opening = soon = step.criterion(safe)
    when = span(safe.trajectory, opening, safe.confidence, now_h)
    p50 = min(when.p50, when.safe)
    if likely is not safe:
        soon = step.criterion(likely)
        p50 = min(span(likely.trajectory, soon, likely.confidence, now_h).p50, when.safe)
    p90 = np.inf if below_p90 else when.p90
    opening = opening if np.isfinite(when.safe) else soon
    return opening, replace(when, p50=p50, p90=p90)


def with_coats(case: Case, coated: Coated) -> tuple[Case, Case]:
    """A case under the likely and under the sure plan of its coats; one where they are alike."""
    planned = np.isfinite(min(coated.likely_h, coated.safe_h))
    hardened_h = use.hardened_h(case.trajectory) if planned else None
    likely_under = tuple((likely_h, one.sheet) for likely_h, _, one in coated.under)
    safe_under = tuple((safe_h, one.sheet) for _, safe_h, one in coated.under)
    safe = replace(case, coated=Film(coated.safe_h, hardened_h, safe_under))
    if coated.likely_h == coated.safe_h and likely_under == safe_under:
        return safe, safe
    return replace(case, coated=Film(coated.likely_h, hardened_h, likely_under)), safe


def is_below_p90(coated: Coated) -> bool:
    """Whether a coat is sure at the shop's level, and not at 90 %."""
    return any(np.isfinite(when.safe) and not np.isfinite(when.p90) for _, when in coated.openings)


def dated(
    scenario: Scenario, simulation: Simulation, listed: Listed, coated: Coated, now_h: float
) -> tuple[Listed, CoatPlan, dict[str, Simulation]]:
    """Every step with its span, the coats, and the longer simulation of the steps that asked."""
    lacks = {opening.step for opening, when in listed if _lacks(scenario, opening, when)}
    if simulation.truncated or not (lacks or _unready(coated.plan.says)):
        return listed, coated.plan, {}
    longer = beyond.longer(scenario, simulation)
    longer, when_done = _done_later(scenario, longer, lacks, now_h)
    assert simulation.drying is not None
    longer = drying.dried_on(scenario, longer, simulation.drying)
    case = cases.case_of(scenario, longer, now_h)
    likely, safe = with_coats(case, coated)
    below_p90 = is_below_p90(coated)
    waits = _waits_for(scenario, longer, case, coated, now_h)
    ready_h = case.trajectory.hour_by(np.maximum.reduce([one.opens_h for one in waits]), 0.5)
    out: Listed = []
    for opening, when in listed:
        step = registry.known(opening.step)
        if opening.step in when_done:
            opening, when = when_done[opening.step]
        elif opening.step in lacks and step.stage == "dry":
            opening, when = sealing.dry_to_seal(scenario, longer, case, waits, now_h)
        elif opening.step in lacks:
            opening, when = of_use(step, likely, safe, now_h, below_p90)
        elif _unready(opening.note):
            note = _told_ready(scenario, ready_h, opening.note)
            opening = replace(opening, conditions=waits, note=note)
        out.append((opening, when))
    plan = replace(coated.plan, says=_told_ready(scenario, ready_h, coated.plan.says))
    return out, plan, dict.fromkeys(lacks, longer)


def _waits_for(
    scenario: Scenario, longer: Simulation, case: Case, coated: Coated, now_h: float
) -> tuple[Condition, ...]:
    """What the first product waits for that has no hour yet; of one alone what it waits for."""
    finish, under = scenario.resolved().finish, coated.under
    last = [*(min(likely_h, safe_h) for likely_h, safe_h, _ in under), coated.last_h]
    at = next((k for k, hour in enumerate(last) if not np.isfinite(hour)), len(finish) - 1)
    after = None
    if at:
        likely_h, safe_h, below = under[at - 1]
        last_h = safe_h if np.isfinite(safe_h) else likely_h
        after = sealing.let_on(case.trajectory, below, last_h, finish[at])
    return sealing.waits_for(longer, case, now_h, finish[at], after)


def _done_later(
    scenario: Scenario, longer: Simulation, lacks: set[str], now_h: float
) -> tuple[Simulation, dict[str, tuple[StepOpening, Span]]]:
    """The steps of mould and damp cure among those that lack an hour, and all under the plan in
    which they are done at it."""
    case = cases.case_of(scenario, longer, now_h)
    found: dict[str, tuple[StepOpening, Span]] = {}
    for key in BARES:
        if key in lacks:
            criterion = registry.known(key).criterion
            assert criterion is not None
            opening = criterion(case)
            found[key] = opening, span(case.trajectory, opening, case.confidence, now_h)
    more = [PlanEntry(key, when.safe) for key, (_, when) in found.items() if np.isfinite(when.safe)]
    return replace(longer, plan=longer.plan.filled(more)), found


def _lacks(scenario: Scenario, opening: StepOpening, when: Span) -> bool:
    """Whether a step that may come late has no sure hour, and waits for no other."""
    step = registry.known(opening.step)
    kept = step.stage in ("dry", "use") or step.key in BARES
    open_ended = not np.isfinite(when.safe) and not opening.waits_for
    return kept and open_ended and opening.step not in scenario.done_h


def _unready(says: Sentence) -> bool:
    """Whether coats wait for a piece that is ready at no hour that was looked at."""
    return any(one.code == AFTER_FORECAST and one.values["ready_at"] is None for one in says)


def _told_ready(scenario: Scenario, ready_h: float, says: Sentence) -> Sentence:
    at = scenario.clock(ready_h)
    return tuple(
        replace(one, values={**one.values, "ready_at": at}) if _unready((one,)) else one
        for one in says
    )
