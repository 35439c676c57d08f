"""Openings of all members become windows: likely, sure, latest, and the state at `now`."""

from dataclasses import replace
from datetime import datetime

import numpy as np

from models.planning import reasons
from models.results import StepWindow
from models.simulation import looks
from models.simulation.physics import Simulation
from models.simulation.scenario import Scenario
from models.steps import registry
from models.steps.case import Case
from models.steps.opening import (
    NO_HOUR,
    P90,
    Span,
    StepOpening,
    Trajectory,
    last_row,
    level,
    run_about,
)
from models.units import Array

CLOSING_H = 2.0
RECENT_H = 8.0  # a missed finish or cover is worth a word this long
CLOSING_FRACTION = 0.2  # of the window's length


def span(trajectory: Trajectory, opening: StepOpening, confidence: float, now_h: float) -> Span:
    """When a step opens at even odds, at 90 % and at its level of certainty, and when it closes.

    confidence : the shop's own, 0.8 to 0.99; a step that can do more harm asks for more
    now_h : hours from placing [h], the run of good hours that is asked for
    """
    at_p90 = _span(trajectory, opening, P90, now_h)
    level = registry.level_of_opening(opening, confidence)
    if level == P90:
        return at_p90
    return replace(_span(trajectory, opening, level, now_h), p90=at_p90.p90)


def of_step(case: Case, step: str, now_h: float) -> Span:
    """The same of one of the steps that have a criterion."""
    criterion = registry.known(step).criterion
    assert criterion is not None
    return span(case.trajectory, criterion(case), case.confidence, now_h)


def _span(trajectory: Trajectory, opening: StepOpening, confidence: float, now_h: float) -> Span:
    if opening.chance is not None:
        return _span_of_chance(trajectory.hour, opening, confidence, now_h)
    p50 = trajectory.hour_by(opening.opens_h, 0.5)
    safe = trajectory.hour_by(opening.opens_h, confidence)
    if opening.closes_h is None:
        return Span(p50, safe, safe, np.inf, np.inf)
    latest, gone = (trajectory.hour_by(opening.closes_h, q) for q in (1 - confidence, 0.5))
    if latest >= safe:
        return Span(p50, safe, safe, latest, gone)
    if opening.by_check:  # no hour is sure both to be late enough and in time: the hand decides
        return Span(p50, np.inf, np.inf, latest if latest > p50 else gone, gone)
    return Span(p50, safe, safe, np.inf, np.inf)


def _span_of_chance(hour: Array, opening: StepOpening, confidence: float, now_h: float) -> Span:
    """The run of good hours that holds now, or the next one."""
    chance = opening.chance
    assert chance is not None
    now_row = last_row(hour, now_h)

    def run(fraction: float) -> tuple[float, float]:
        good = chance >= fraction
        if not good[now_row:].any():
            return np.inf, np.inf
        first, last = run_about(good, now_row + int(np.argmax(good[now_row:])))
        return float(hour[first]), np.inf if last == len(good) - 1 else float(hour[last])

    safe, latest = run(confidence)
    if opening.last_h is not None:
        latest = min(latest, opening.last_h)
    return Span(run(0.5)[0], safe, safe, latest, latest)


def window(
    scenario: Scenario, simulation: Simulation, opening: StepOpening, when: Span, now: datetime
) -> StepWindow:
    """One step in words and times."""
    trajectory = simulation.trajectory
    now_h = scenario.hour(now)
    done = next((d.at for d in reversed(scenario.done) if d.step == opening.step), None)
    made = {step.step for step in scenario.done}
    overtaken = done is None and registry.overtaken(opening.step, made)
    stale = opening.by_check and now_h > when.latest + RECENT_H
    after = opening.after
    comes_first = done is None and after and after not in made and not registry.later(after, made)
    waits = after if comes_first else ""
    step = registry.known(opening.step)
    odd = [one for one in simulation.odd if not one.settled]
    state = "past" if overtaken else _state(opening, when, now_h, done, simulation, waits)
    if odd and (step.by_warmth or state == "frozen"):
        state = _cautious(state, when, now_h)
    chance = _chance(trajectory, opening, now_h)
    if state == "frozen":
        when = NO_HOUR  # no hour can be told for what has to be tried
    why = reasons.of_window(scenario, simulation, opening, when, state, now_h, waits)
    reason = None
    if odd and state == "not yet" and step.by_warmth:
        reason = reasons.readings_disagree(odd)
        why = (reason, *why)
    elif _waits_for_a_look(scenario, simulation, opening, state, now_h):
        state, reason = "not yet", reasons.look_for_frost(scenario, simulation, now_h)
        why = (reason, *why)
        when = replace(when, p50=np.inf if when.p50 <= now_h else when.p50, p90=np.inf, safe=np.inf)
    if waits:  # its hour is that of the step before it, not the present
        moving_h = max(now_h, simulation.plan.overdue_h(waits))
        ends = ("p50", "p90", "safe")
        when = replace(when, **{end: np.inf for end in ends if getattr(when, end) <= moving_h})
    return StepWindow(
        step=opening.step,
        state=state,
        p50=scenario.clock(when.p50),
        p90=scenario.clock(when.p90),
        safe=scenario.clock(when.safe),
        latest=scenario.clock(when.latest, closes=True),
        need=opening.need,
        because=why,
        cautions=opening.cautions,
        sources=tuple(dict.fromkeys(opening.sources)),
        missed=opening.missed if state == "past" and not (overtaken or stale) else None,
        done_at=done,
        confidence=chance,
        after=waits,
        by_check=opening.by_check,
        reason=reason,
        level=registry.level_of_opening(opening, scenario.rules.confidence),
    )


def unsettled(scenario: Scenario, simulation: Simulation, now_h: float) -> float:
    """Chance that ice has harmed it and neither a look nor a test has been since, 0 to 1."""
    tested_h = (scenario.hour(test.at) for test in scenario.tests)
    seen_h = max((looks.looked_at_h(scenario, now_h), *(h for h in tested_h if h <= now_h)))
    before = simulation.frozen_by(seen_h) if seen_h > 0 else 0.0
    return max(simulation.frozen_by(now_h) - before, 0.0)


def _waits_for_a_look(
    scenario: Scenario, simulation: Simulation, opening: StepOpening, state: str, now_h: float
) -> bool:
    """Whether a step of a hardened piece asks for strength that a frost may have taken."""
    asks = opening.need.unit == "MPa" and registry.known(opening.step).stage != "fresh"
    if not asks or state not in ("not yet", "open", "closing"):
        return False
    allowed = 1 - level("piece", scenario.rules.confidence)
    return unsettled(scenario, simulation, now_h) > allowed


def _cautious(state: str, when: Span, now_h: float) -> str:
    """While a reading and the forecast disagree nothing opens before the colder of both is safe,
    and nothing is called frozen on one reading alone."""
    early = state in ("open", "closing") and now_h < when.safe
    return "not yet" if early or state == "frozen" else state


def _state(
    opening: StepOpening,
    when: Span,
    now_h: float,
    done: datetime | None,
    simulation: Simulation,
    waits: str,
) -> str:
    """Open needs the wanted confidence; only windows that the hand decides start at even odds."""
    if done is not None:
        return "done"
    if registry.known(opening.step).stage != "fresh" and simulation.counts_as_frozen(now_h):
        return "frozen"
    begins = when.p50 if reasons.too_short(opening, when) else when.safe
    unreachable = simulation.truncated and not np.isfinite(begins)
    unending = opening.closes_h is not None and not np.isfinite(when.gone)
    if simulation.truncated and (unending or now_h < begins):
        return "blocked"
    if waits:
        return "blocked" if unreachable else "not yet"
    if opening.last_h is not None and now_h > opening.last_h:
        return "past"
    if now_h < (min(when.p50, when.safe) if opening.by_check else when.safe):
        return "blocked" if unreachable else "not yet"
    if now_h > max(when.gone, when.latest):
        return "past"
    if not np.isfinite(when.latest):
        return "open"
    left = when.latest - now_h
    closing = left <= max(CLOSING_H, CLOSING_FRACTION * (when.latest - when.safe))
    return "closing" if closing or now_h < when.safe else "open"


def _chance(trajectory: Trajectory, opening: StepOpening, now_h: float) -> float | None:
    """Fraction of the members that have opened by now; None outside the trajectory."""
    if not 0 <= now_h <= trajectory.hour[-1]:
        return None
    if opening.chance is not None:
        return round(float(opening.chance[last_row(trajectory.hour, now_h)]), 3)
    return round(float(trajectory.weight[opening.opens_h <= now_h].sum()), 3)
