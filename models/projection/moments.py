"""When the piece is stripped, turned, uncovered and out of its wet cure: done, or assumed."""

from dataclasses import dataclass

import numpy as np

from models.piece import handling, quantities
from models.projection.physics import Lived
from models.projection.scenario import Scenario
from models.steps import cure, protect, strip, turn
from models.steps.opening import StepOpening
from models.units import Array

FACE_WORK = ("sand", "hone", "coat-1")  # none of these is done under a film or on the mould


@dataclass(frozen=True)
class Moments:
    """The criteria on which drying hangs, and the hour of each for every member, (members,) [h].

    off_h : [h] of stripping as done, else as the concrete allows it: it never moves with the clock
    """

    strip: StepOpening
    turn: StepOpening
    cure: StepOpening
    uncover: StepOpening
    stripped: Array
    turned: Array
    cured: Array
    uncovered: Array
    off_h: Array


def done_hours(scenario: Scenario) -> dict[str, float]:
    """Hours from placing at which steps were done."""
    begin = scenario.placement.at
    return {d.step: (d.at - begin).total_seconds() / 3600 for d in scenario.done}


def moments(scenario: Scenario, lived: Lived, now_h: float) -> Moments:
    """What was done stands; the rest is assumed when it opens, now at the earliest."""
    course, needs = lived.course, scenario.rules.needs_MPa
    done = done_hours(scenario)
    density = scenario.mixture.density_kg_m3
    off = strip.strip(course, needs)
    stripped = moment(off, done, now_h, "turn", *FACE_WORK)
    off_h = moment(off, done, -np.inf, "turn", *FACE_WORK)
    over = turn.turn(
        course,
        handling.ways_of_turning(scenario.shape, density),
        quantities.mass_kg(scenario.shape.volume_l, density),
        needs,
        off_h,
    )
    early = np.full(course.members, 48.0)
    r = float(np.median(lived.belief.strength_at(early))) / course.named_28d_MPa
    cured = cure.end_wet_cure(course, r)
    bare = protect.uncover(course, scenario.shape.section_mm)
    return Moments(
        off,
        over,
        cured,
        bare,
        stripped,
        moment(over, done, now_h, *FACE_WORK),
        moment(cured, done, now_h, *FACE_WORK),
        moment(bare, done, now_h, *FACE_WORK),
        off_h,
    )


def moment(opening: StepOpening, done: dict[str, float], now_h: float, *implied: str) -> Array:
    """Hour of a step for each member: when it was done, else when it opens, now at the earliest.

    implied : steps that cannot have been done before this one
    """
    at = min((done[step] for step in (opening.step, *implied) if step in done), default=None)
    if at is not None:
        return np.full(len(opening.opens_h), at)
    return np.maximum(opening.opens_h, now_h)
