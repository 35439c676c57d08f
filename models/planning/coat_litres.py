"""The coats of a plan with what goes into each: sealer, and the water that thins it."""

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from models.facts.sealers import SEALER_WASTE, THINNED_FRACTION
from models.message import Message, Sentence
from models.piece.coated import coated_m2, litres_of_coat
from models.results import CoatPlan, PlannedCoat
from models.simulation.scenario import Scenario
from models.steps import seal


class Planned(NamedTuple):
    """Hours of one coat from placing [h], the fraction of the members that hold, and what it waits
    for."""

    at_h: float = np.inf
    until_h: float = np.inf
    chance: float = 0.0
    why: Sentence = ()


NOT_PLANNED = Planned()


def without_hours(scenario: Scenario, why: Message | None) -> CoatPlan:
    """Litres of every coat, and what is missing for hours, if anything."""
    says = () if why is None else (Message("no_coat_planned", {"why": why}),)
    return with_litres(scenario, scenario.sheet, {}, 0.0, False, says)


def with_litres(
    scenario: Scenario,
    at: seal.Sheet,
    rows: Mapping[int, Planned],
    chance: float,
    safe: bool,
    says: Sentence,
) -> CoatPlan:
    """The plan with its litres; coats without a row have no hours."""
    area = coated_m2(scenario.shape)
    listed: list[PlannedCoat] = []
    done = {d.step: d.at for d in scenario.done}
    for number in range(1, at.coats + 1):
        fraction = THINNED_FRACTION if number <= at.diluted else 1.0
        litres = litres_of_coat(area, at.m2_per_l, fraction)
        step = f"coat-{number}"
        row = rows.get(number, NOT_PLANNED)
        at_h = row.at_h
        last = number == at.coats
        hold_h = at_h + (at.hold_h if last else min(at.hold_h, at.recoat_min_h))
        touch_h = at_h + at.chemistry.touch_h
        listed.append(
            PlannedCoat(
                step,
                scenario.clock(at_h),
                scenario.clock(row.until_h, closes=True),
                scenario.clock(hold_h),
                scenario.clock(touch_h),
                litres.sealer_l,
                litres.water_l,
                row.chance,
                row.why,
                done.get(step),
            )
        )
    left = [one for one in listed if one.done_at is None]
    net = sum(one.sealer_l for one in left)
    return CoatPlan(
        tuple(listed),
        chance,
        safe,
        area,
        net,
        net * (1 + SEALER_WASTE),
        says,
        Message("sealer", {"chemistry": scenario.sealer.chemistry}),
    )
