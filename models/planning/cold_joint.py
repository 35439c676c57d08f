"""Batches that came after the one before had begun to set, in the weather of that day."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import pairwise

import numpy as np

from models.air.series import HOUR, AirSeries
from models.errors import Unknown
from models.facts.fresh import FACE_PARTS, FACE_STIFF
from models.message import Message
from models.planning import pouring
from models.simulation import physics
from models.simulation.batch import LAYERS, Batch, Batched
from models.simulation.batched import depth_mm
from models.simulation.physics import Simulation
from models.simulation.scenario import OF_THE_AIR, Scenario
from models.steps.opening import level
from models.units import Array

# of the pace at 20 degC: no concrete that may be placed sets faster, so that a shorter gap needs
# no look at the weather
FASTEST = 5.0
LOOKED_AT_H = 72.0  # what has not set by then is taken as fresh
CODES = ("cold_joint", "backing_late", "backing_soon")
CLOCKS_APART = timedelta(minutes=1)


def told(
    scenario: Scenario, simulation: Simulation, air: AirSeries, now: datetime
) -> tuple[Message, ...]:
    """A warning for each batch that likelier than is run came too late on the one before, the
    oldest first, and one where the hours count from an earlier batch than the youngest.

    Source: ASTM_C403 for the initial set, ACI_309R for the joint after it; COMMON_PRACTICE for a
    face coat and its backing.
    """
    batches = scenario.batched.batches
    if not batches:
        return ()
    youngest = batches[-1].at
    out = list(_joints(scenario, simulation, air, now))
    if youngest > scenario.placement.at + CLOCKS_APART:
        out.append(Message("batch_after_clock", {"at": youngest}))
    return tuple(out)


def _joints(
    scenario: Scenario, simulation: Simulation, air: AirSeries, now: datetime
) -> Iterator[Message]:
    allowed = 1 - level("piece", scenario.rules.confidence)
    for number, (first, then) in enumerate(pairwise(scenario.batched.batches), 1):
        gap_h = (then.at - first.at) / HOUR
        backed = (first.layer, then.layer) == LAYERS
        set_h = pouring.initial_set_h(first.mixture, simulation)
        if not backed and gap_h * FASTEST < set_h.min():
            continue
        part, weight = _part_of_set(scenario, simulation, first, gap_h, air, now)
        late = float((part >= (FACE_PARTS if backed else 1.0)) @ weight)
        soon = float((part < FACE_STIFF) @ weight) if backed else 0.0
        values = {"batch": number, "next": number + 1, "gap_h": gap_h}
        if late > allowed:
            code = "backing_late" if backed else "cold_joint"
            yield Message(code, {**values, "chance": late})
        elif soon > 0.5:
            yield Message("backing_soon", {**values, "chance": soon})


def _part_of_set(
    scenario: Scenario,
    simulation: Simulation,
    batch: Batch,
    gap_h: float,
    air: AirSeries,
    now: datetime,
) -> tuple[Array, Array]:
    """How far a batch was towards its initial set so long after it went in [h], (members,)
    dimensionless, and the weights of these.

    It is looked at by itself, from its own hour; where there is no weather of it, as if it had
    gone in with the youngest.
    """
    placed = scenario.placement
    placed = replace(placed, at=batch.at, concrete_C=batch.concrete_C or placed.concrete_C)
    alone = replace(
        scenario,
        mixture=batch.mixture or scenario.mixture,
        placement=placed,
        observations=tuple(one for one in scenario.observations if one.kind in OF_THE_AIR),
        coverings=(),
        tests=(),
        done=(),
        plan=(),
        batched=Batched(),
    )
    hours = int(np.ceil(gap_h)) + 1
    many = simulation.trajectory.members
    found = physics.simulate(alone, air, now, hours, many)
    seen, set_h = simulation.trajectory, pouring.initial_set_h(batch.mixture, simulation)
    if not isinstance(found, Unknown):
        seen, set_h = found.trajectory, found.trajectory.initial_set_h
    if gap_h > seen.hour[-1]:  # the weather ends before: by then it has set, or nobody knows
        return np.full(many, np.inf), seen.weight
    return seen.at(seen.te_mean_h, gap_h) / set_h, seen.weight


def fresh_mm(
    scenario: Scenario, simulation: Simulation, air: AirSeries, now: datetime
) -> float | None:
    """How deep the mix that presses the walls was at once, at the most [mm], by the batches that
    went in one on the other; None where they do not tell how deep each lies, or are one alone.

    A batch presses, with all that lies on it, until 19 in 20 of such mixes have passed their
    initial set. What still lacks of the mould is taken as if it came in one now.

    Source: ACI_347_PRESSURE: the head of what is fresh or plastic; ASTM_C403 for the initial set.
    """
    batches = scenario.batched.batches
    deep = [one.thickness_mm for one in batches if one.thickness_mm is not None]
    if len(batches) < 2 or len(deep) < len(batches) or not scenario.shape.depth_known:
        return None
    lifts = [(one.at, mm) for one, mm in zip(batches, deep, strict=True)]
    lacks_mm = depth_mm(scenario) - sum(deep)
    if lacks_mm > 0:
        lifts.append((max(now, batches[-1].at), lacks_mm))
    most_mm = 0.0
    for k, (at, mm) in enumerate(lifts):
        fresh = mm
        for below in reversed(batches[:k]):
            if _has_set(scenario, simulation, below, (at - below.at) / HOUR, air, now):
                break
            fresh += below.thickness_mm or 0.0
        most_mm = max(most_mm, fresh)
    return most_mm


def _has_set(
    scenario: Scenario,
    simulation: Simulation,
    batch: Batch,
    gap_h: float,
    air: AirSeries,
    now: datetime,
) -> bool:
    """Whether it carries itself so long after it went in, for sure."""
    set_h = pouring.initial_set_h(batch.mixture, simulation)
    if gap_h * FASTEST < set_h.min():
        return False
    gap_h = min(gap_h, LOOKED_AT_H)
    part, weight = _part_of_set(scenario, simulation, batch, gap_h, air, now)
    known = np.isfinite(part)  # where the weather ends nobody knows
    sure = level("piece", scenario.rules.confidence)
    return float((known & (part >= 1.0)) @ weight) >= sure
