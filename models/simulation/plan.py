"""The plan of a pour: what was done to it, what its maker means to do, and when."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import numpy as np

from models.concrete.section import Covering
from models.errors import InputError
from models.simulation.scenario import Scenario
from models.steps import registry

SetBy = Literal["default", "logged", "maker"]
SET_BY: tuple[SetBy, ...] = ("default", "logged", "maker")
SAME_H = 1 / 60  # what is told to the minute is one act


@dataclass(frozen=True)
class PlanEntry:
    """One act, at_h hours from placing: a step (`sand-2` where it is done again), or a cover laid.

    set_by : by the program, by what was logged, or by the maker who means to do it
    """

    step: str
    at_h: float
    set_by: SetBy = "default"
    cover: Covering | None = None  # only of a cover that is meant, with its own end
    overdue: bool = False  # it might be done already: its hour moves on with the present
    place: str | None = None  # where it is carried: as for Meant
    heat: float | None = None  # [degC] of a room from here on

    @property
    def of_place(self) -> bool:
        """Whether it says where the piece stands, or in what heat."""
        return registry.base_of(self.step) in registry.OF_PLACE


@dataclass(frozen=True)
class Plan:
    """The acts of a pour by their hours; what was logged stands in place of what was meant."""

    entries: tuple[PlanEntry, ...] = ()

    @cached_property
    def hours(self) -> dict[str, float]:
        """Hours from placing of the steps [h], repeats and single covers apart."""
        first = (one for one in self.entries if one.cover is None)
        return {one.step: one.at_h for one in first if registry.base_of(one.step) == one.step}

    @property
    def covers(self) -> tuple[Covering, ...]:
        """The covers that are meant, beside those that the scenario tells of."""
        return tuple(one.cover for one in self.entries if one.cover is not None)

    @property
    def of_place(self) -> tuple[PlanEntry, ...]:
        """Where it is carried, and when a heater or a fan runs about it, by the hour."""
        return tuple(one for one in self.entries if one.of_place)

    @property
    def only_meant(self) -> bool:
        """Whether it has covers, places or heat that are meant and not there yet."""
        return len(self.confirmed().entries) < len(self.entries)

    def hour(self, step: str) -> float:
        """Hour of a step, or of the first that cannot come before it [h]; infinite: it has none."""
        return registry.first_done_h(step, self.hours)

    def overdue_h(self, step: str) -> float:
        """Hour of a step that might be done already [h]; minus infinite: of any other."""
        late = (one.at_h for one in self.entries if one.step == step and one.overdue)
        return next(late, -np.inf)

    def last_h(self, *steps: str) -> float:
        """Hour of the last of some steps and their repeats [h]; minus infinite: there is none."""
        return max((hour for step in steps for hour in self.all_of(step)), default=-np.inf)

    def all_of(self, step: str) -> list[float]:
        """Hours of a step and of its repeats [h]."""
        return [one.at_h for one in self.entries if registry.base_of(one.step) == step]

    def set_by_maker(self, step: str) -> float | None:
        """The hour that the maker means for a step [h]; None: none is told."""
        return next((e.at_h for e in self.entries if (e.step, e.set_by) == (step, "maker")), None)

    def adding(self, *more: PlanEntry) -> "Plan":
        """With more acts, by their hours."""
        return Plan(tuple(sorted((*self.entries, *more), key=lambda one: one.at_h)))

    def filled(self, more: Iterable[PlanEntry]) -> "Plan":
        """With those acts whose step it does not have."""
        own = {one.step for one in self.entries if one.cover is None}
        return self.adding(*(one for one in more if one.cover is None and one.step not in own))

    def before(self, step: str) -> "Plan":
        """What was done, and what is meant of covers and of the steps before one: the plan under
        which that step is judged, since it waits for the judgement itself."""
        place = registry.place(step)
        return Plan(
            tuple(
                one
                for one in self.entries
                if one.set_by == "logged"
                or one.cover is not None
                or one.of_place
                or registry.place(registry.base_of(one.step)) < place
            )
        )

    def confirmed(self) -> "Plan":
        """Without the covers, places and heat that are only meant: what is meant lowers no risk."""
        return Plan(
            tuple(
                one
                for one in self.entries
                if one.cover is None and (one.set_by == "logged" or not one.of_place)
            )
        )


def told(scenario: Scenario, now_h: float = -np.inf) -> Plan:
    """What was logged, and what the maker means to do at hours not before now_h [h].

    Of a step that was done, or that a later one overtook, only what was logged stands.

    Raises InputError for an end of a cover that is not laid.
    """
    acts_of_place = _acts_of_place(scenario, now_h)
    done = {k: at_h for k, at_h in scenario.done_h.items() if k not in registry.OF_PLACE}
    lies_h = _told_covers(scenario)
    entries = [PlanEntry(step, hour, "logged") for step, hour in done.items()]
    for one in scenario.plan:
        at_h = scenario.hour(one.at)
        if registry.base_of(one.step) in registry.OF_PLACE:
            continue
        if one.cover not in (None, "film") or (one.cover, round(at_h / SAME_H)) in lies_h:
            continue
        if one.step in done or registry.later(registry.base_of(one.step), done):
            continue
        if one.cover is None or one.step == "cover":
            entries.append(PlanEntry(one.step, max(at_h, now_h), "maker"))
    return Plan().adding(*entries, *acts_of_place, *_meant_covers(scenario, now_h))


def _acts_of_place(scenario: Scenario, now_h: float) -> list[PlanEntry]:
    """Carrying, heaters and fans: what was logged in place of the first that was meant alike."""
    done = {k: at_h for k, at_h in scenario.done_h.items() if k in registry.OF_PLACE}
    out: list[PlanEntry] = []
    for one in sorted(scenario.plan, key=lambda one: one.at):
        if one.step not in registry.OF_PLACE:
            continue
        meant = PlanEntry(
            one.step, max(scenario.hour(one.at), now_h), "maker", place=one.place, heat=one.heat
        )
        if one.step in done:
            meant = replace(meant, at_h=done.pop(one.step), set_by="logged")
        out.append(meant)
    return [*out, *(PlanEntry(step, at_h, "logged") for step, at_h in done.items())]


def _told_covers(scenario: Scenario) -> set[tuple[str | None, int]]:
    """Kind and minute of every cover that the scenario tells of: a plan that has it adds none."""
    return {(one.kind, round(one.from_h / SAME_H)) for one in scenario.coverings}


def _meant_covers(scenario: Scenario, now_h: float) -> list[PlanEntry]:
    """The covers that are meant and not told of already, each to its own end."""
    told_h = _told_covers(scenario)
    ended_h = {(one.kind, round(one.until_h / SAME_H)) for one in scenario.coverings if one.to_h}
    rows = [
        (scenario.hour(one.at), one)
        for one in sorted(scenario.plan, key=lambda one: one.at)
        if one.cover is not None
    ]
    owned = {one.kind: one for one in scenario.rules.owned}
    open_: dict[str, Covering] = {}
    covers: list[Covering] = []
    for hour, one in rows:
        assert one.cover is not None
        key = (one.cover, round(hour / SAME_H))
        if one.step == "cover":
            if key not in told_h and one.cover != "film":
                heater = "electric" if one.heat is not None else None
                own = owned.get(one.cover, Covering(0.0, None, one.cover, setpoint_C=one.heat))
                open_[one.cover] = replace(
                    own,
                    from_h=max(hour, 0.0),
                    to_h=None,
                    setpoint_C=one.heat,
                    faces=one.faces or own.faces,
                    heater=heater,
                )
        elif one.cover in open_:
            covers.append(replace(open_.pop(one.cover), to_h=hour))
        elif key not in ended_h:
            field = f"plan[{scenario.plan.index(one)}].cover"
            raise InputError(
                field, one.cover, "no such cover is laid", "what cover lays before, or none: all"
            )
    covers += open_.values()
    return [
        PlanEntry("cover", max(one.from_h, now_h), "maker", replace(one, from_h=from_h))
        for one in covers
        if (from_h := max(one.from_h, now_h, 0.0)) < one.until_h
    ]
