"""When the piece is stripped, turned, uncovered and out of its wet cure: done, or assumed."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from models.facts.cements import CLASSES
from models.facts.curing import EARLY_H
from models.simulation.fresh_face import evaporation_limit
from models.simulation.physics import Simulation
from models.simulation.scenario import Scenario
from models.steps import cure, protect, registry, strip, turn
from models.steps.case import Case, Setup
from models.units import Array


@dataclass(frozen=True)
class Moments:
    """Hours on which drying hangs, of every member, (members,) [h]."""

    stripped: Array
    turned: Array
    cured: Array
    uncovered: Array


def setup_of(scenario: Scenario, now_h: float) -> Setup:
    """What decides at an hour from placing [h] which steps the pour has."""
    lies = any(covering.until_h > now_h for covering in scenario.coverings)
    done = scenario.done_h
    sheet, frost = scenario.resolved().sheet, scenario.exposed_to_frost
    return Setup(scenario.shape, lies or "uncover" in done, frost, sheet, done)


def case_of(scenario: Scenario, simulation: Simulation, now_h: float) -> Case:
    """The pour as the criteria see it at an hour from placing [h]."""
    trajectory, setup = simulation.trajectory, setup_of(scenario, now_h)
    needs = scenario.rules.needs_MPa
    early = simulation.prior.strength_at(np.full(trajectory.members, EARLY_H))
    return Case(
        setup,
        trajectory,
        CLASSES[scenario.mixture.kind],
        scenario.mixture.density_kg_m3,
        needs,
        scenario.rules.confidence,
        scenario.coverings,
        float(np.median(early)) / trajectory.named_28d_MPa,
        simulation.evaporation_kg_m2h,
        evaporation_limit(scenario),
        moment("strip", strip.strip(trajectory, needs).opens_h, setup.done, -np.inf),
        simulation.drying,
    )


def moments(case: Case, now_h: float) -> Moments:
    """What was done stands; the rest is assumed when it opens, now at the earliest [h]."""
    done = case.setup.done
    bare = protect.uncover(case.trajectory, case.setup.shape.section_mm)
    return Moments(
        moment("strip", case.off_h, done, now_h),
        moment("turn", turn.turn(case).opens_h, done, now_h),
        moment("end-wet-cure", cure.cure(case).opens_h, done, now_h),
        moment("uncover", bare.opens_h, done, now_h),
    )


def moment(step: str, opens_h: Array, done: Mapping[str, float], now_h: float) -> Array:
    """Hour of a step for each member: when it was done, else when it opens, now at the earliest."""
    at = registry.first_done_h(step, done)
    return np.full(len(opens_h), at) if np.isfinite(at) else np.maximum(opens_h, now_h)
