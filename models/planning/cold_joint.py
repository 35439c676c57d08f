"""Batches that came after the one before had begun to set, in the weather of that day."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
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


@dataclass(frozen=True)
class Lifts:
    """The batches of a pour as they went in, each looked at once in the weather of its day."""

    scenario: Scenario
    simulation: Simulation
    air: AirSeries
    now: datetime
    known: dict[tuple[int, float], tuple[Array, Array]] = field(default_factory=dict)

    @property
    def batches(self) -> tuple[Batch, ...]:
        return self.scenario.batched.batches

    def told(self) -> tuple[Message, ...]:
        """A warning for each batch that likelier than is run came too late on the one before, the
        oldest first, and one where the hours count from an earlier batch than the youngest.

        Source: ASTM_C403 for the initial set, ACI_309R for the joint after it; COMMON_PRACTICE for
        a face coat and its backing.
        """
        if not self.batches:
            return ()
        youngest = self.batches[-1].at
        out = list(self._joints())
        if youngest > self.scenario.placement.at + CLOCKS_APART:
            out.append(Message("batch_after_clock", {"at": youngest}))
        return tuple(out)

    def fresh_mm(self) -> float | None:
        """How deep the mix that presses the walls was at once, at the most [mm], by the batches
        that went in one on the other; None where they do not tell how deep each lies, or are one
        alone.

        A batch presses, with all that lies on it, until 19 in 20 of such mixes have passed their
        initial set. What still lacks of the mould is taken as if it came in one now.

        Source: ACI_347_PRESSURE: the head of what is fresh or plastic; ASTM_C403 for the initial
        set.
        """
        batches = self.batches
        deep = [one.thickness_mm for one in batches if one.thickness_mm is not None]
        if len(batches) < 2 or len(deep) < len(batches) or not self.scenario.shape.depth_known:
            return None
        lifts = [(one.at, mm) for one, mm in zip(batches, deep, strict=True)]
        lacks_mm = depth_mm(self.scenario) - sum(deep)
        if lacks_mm > 0:
            lifts.append((max(self.now, batches[-1].at), lacks_mm))
        most_mm = 0.0
        for k, (at, mm) in enumerate(lifts):
            fresh = mm
            for below in reversed(range(min(k, len(batches)))):
                if self._has_set(below, (at - batches[below].at) / HOUR):
                    break
                fresh += deep[below]
            most_mm = max(most_mm, fresh)
        return most_mm

    def _joints(self) -> Iterator[Message]:
        allowed = 1 - level("piece", self.scenario.rules.confidence)
        for number, (first, then) in enumerate(pairwise(self.batches), 1):
            gap_h = (then.at - first.at) / HOUR
            backed = (first.layer, then.layer) == LAYERS
            if not backed and self._is_fresh_for_sure(first, gap_h):
                continue
            part, weight = self._part_of_set(number - 1, gap_h)
            late = float((part >= (FACE_PARTS if backed else 1.0)) @ weight)
            soon = float((part < FACE_STIFF) @ weight) if backed else 0.0
            values = {"batch": number, "next": number + 1, "gap_h": gap_h}
            if late > allowed:
                code = "backing_late" if backed else "cold_joint"
                yield Message(code, {**values, "chance": late})
            elif soon > 0.5:
                yield Message("backing_soon", {**values, "chance": soon})

    def _is_fresh_for_sure(self, batch: Batch, gap_h: float) -> bool:
        set_h = pouring.initial_set_h(batch.mixture, self.simulation)
        return bool(gap_h * FASTEST < set_h.min())

    def _has_set(self, k: int, gap_h: float) -> bool:
        """Whether a batch carries itself so long after it went in [h], for sure."""
        if self._is_fresh_for_sure(self.batches[k], gap_h):
            return False
        part, weight = self._part_of_set(k, min(gap_h, LOOKED_AT_H))
        known = np.isfinite(part)  # where the weather ends nobody knows
        sure = level("piece", self.scenario.rules.confidence)
        return float((known & (part >= 1.0)) @ weight) >= sure

    def _part_of_set(self, k: int, gap_h: float) -> tuple[Array, Array]:
        """How far a batch was towards its initial set so long after it went in [h], (members,)
        dimensionless, and the weights of these."""
        if (k, gap_h) not in self.known:
            self.known[k, gap_h] = self._looked_at(self.batches[k], gap_h)
        return self.known[k, gap_h]

    def _looked_at(self, batch: Batch, gap_h: float) -> tuple[Array, Array]:
        """It is looked at by itself, from its own hour; where there is no weather of it, as if it
        had gone in with the youngest."""
        scenario, simulation = self.scenario, self.simulation
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
        found = physics.simulate(alone, self.air, self.now, hours, many)
        seen, set_h = simulation.trajectory, pouring.initial_set_h(batch.mixture, simulation)
        if not isinstance(found, Unknown):
            seen, set_h = found.trajectory, found.trajectory.initial_set_h
        if gap_h > seen.hour[-1]:  # the weather ends before: by then it has set, or nobody knows
            return np.full(many, np.inf), seen.weight
        return seen.at(seen.te_mean_h, gap_h) / set_h, seen.weight
