"""Try another plan for a pour: nothing is stored, what a pour needs is kept for the next try."""

import re
from collections import OrderedDict
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from functools import cached_property
from threading import Lock
from typing import Any

from models.errors import Conflict, InputError, Unknown
from models.planning import trial
from models.records import Mix, Place, Pour
from models.results import Trial
from models.simulation import plan as plans
from models.simulation import stays
from models.simulation.meant import Meant
from service.actions.windows import scenario_rows
from service.nouns.plan import PlanEntryWanted
from service.nouns.what_if import NO_COVER, WhatIfRequest
from service.queries.projections import last_look
from service.queries.rows import find
from service.store import Store

MOST_KEPT = 8  # pours whose members stay in memory, some megabytes each
LASTS = timedelta(minutes=5)  # then the present has moved on
HEATED = "heated enclosure"
ENTRY = re.compile(r"plan\[(\d+)\]\.(\w+)")


@dataclass(frozen=True)
class Tried:
    """A pour as it is planned and as it is tried, with the plan that would make it so.

    counted : the acts of it that were tried here
    missing : why nothing can be told; then there is no outlook
    """

    pour_id: int
    made_at: datetime
    plan: tuple[PlanEntryWanted, ...]
    counted: tuple[PlanEntryWanted, ...]
    planned: Trial | None = None
    tried: Trial | None = None
    missing: Unknown | None = None


@dataclass(frozen=True)
class Ready:
    """The members of a pour, and what comes of its plan as it stands."""

    basis: trial.Basis

    @cached_property
    def planned(self) -> Trial:
        return trial.tried(self.basis, self.basis.scenario.plan)


@dataclass(frozen=True)
class Bases:
    """The pours that were tried last, by what they rest on; the oldest goes first."""

    _kept: OrderedDict[tuple[object, ...], Ready] = field(default_factory=OrderedDict)
    _lock: Lock = field(default_factory=Lock)

    def kept(self, key: tuple[object, ...], now: datetime) -> Ready | None:
        """What is kept under a key, unless it is too old."""
        with self._lock:
            found = self._kept.get(key)
        return found if found is not None and abs(now - found.basis.now) <= LASTS else None

    def keep(self, key: tuple[object, ...], ready: Ready) -> None:
        with self._lock:
            self._kept[key] = ready
            self._kept.move_to_end(key)
            while len(self._kept) > MOST_KEPT:
                self._kept.popitem(last=False)


def ready_of(
    store: Store, bases: Bases, now: datetime, pour_id: int, mix_id: int | None = None
) -> Ready | Unknown:
    """The members of a pour, kept or drawn anew; poured with another mix where one is named.

    Handed the store, since no transaction may be open while it calculates. Raises Conflict for a
    pour that is closed.
    """
    with store.reading() as session:
        pour = find(session, Pour, pour_id, "pour_id")
        if pour.closed_at is not None:
            raise Conflict(f"pour {pour_id}", f"closed at {pour.closed_at.isoformat()}")
        other = mix_id is not None and mix_id != pour.mix_id
        key = (pour_id, mix_id if other else None, *last_look(session, pour_id))
        kept = bases.kept(key, now)
        if kept is not None:
            return kept
        gathered = scenario_rows.gather(session, now, pour_id)
        scenario = gathered.scenario
        if mix_id is not None and other:
            mix, place = find(session, Mix, mix_id, "mix_id"), find(session, Place, pour.place_id)
            learned = scenario_rows.calibration_of(place, mix)
            scenario = replace(scenario, mixture=scenario_rows.mixture_of(mix, learned))
    found = trial.basis(scenario, gathered.air, now)
    if isinstance(found, Unknown):
        return found
    ready = Ready(found)
    bases.keep(key, ready)
    return ready


def try_plan(
    store: Store,
    bases: Bases,
    now: datetime,
    pour_id: int,
    wanted: WhatIfRequest,
    also: tuple[str, ...] = (),
) -> Tried:
    """What another plan would bring, on the members that the windows of the pour are told by.

    also : steps besides the next whose chance at the hour at which they are meant is wanted
    Handed the store, since no transaction may be open while it calculates. Raises InputError for
    what cannot be, Conflict for a pour that is closed.
    """
    own = ready_of(store, bases, now, pour_id)
    ready = own if wanted.mix_id is None else ready_of(store, bases, now, pour_id, wanted.mix_id)
    with store.reading() as session:
        pour = find(session, Pour, pour_id, "pour_id")
        rows = [PlanEntryWanted.model_validate(row) for row in pour.plan]
        begins = max(now, pour.placed_at)
    entries = merged(rows, wanted, begins)
    plan = tuple(one for _, one in entries)
    counted = tuple(one for origin, one in entries if not ENTRY.fullmatch(f"{origin}.at"))
    told = Tried(pour_id, now, plan, counted)
    if isinstance(own, Unknown):
        return replace(told, missing=own)
    if isinstance(ready, Unknown):
        return replace(told, missing=ready)
    with _blamed([origin for origin, _ in entries]):
        meant = tuple(_meant(k, one) for k, one in enumerate(plan))
        scenario = replace(ready.basis.scenario, plan=meant)
        scenario.checked_plan()
        stays.of_plan(scenario, plans.told(scenario))
        laid = tuple(one for one, act in zip(meant, plan, strict=True) if act in counted)
        found = trial.tried(ready.basis, meant, laid, covered=wanted.cover is not None, also=also)
    return replace(told, made_at=ready.basis.now, planned=own.planned, tried=found)


def merged(
    rows: Sequence[PlanEntryWanted], wanted: WhatIfRequest, begins: datetime
) -> list[tuple[str, PlanEntryWanted]]:
    """The plan with what is tried in place of what it says of the same, each entry with the field
    that it comes from. begins : when cover and heat begin that are told without an hour."""
    kept = [(f"plan[{k}]", one) for k, one in enumerate(rows)]
    more: list[tuple[str, PlanEntryWanted]] = []
    begin, heat = wanted.from_at or begins, wanted.heat

    def entry(origin: str, step: str, at: datetime, **values: Any) -> None:
        more.append((origin, PlanEntryWanted(step=step, at=at, **values)))

    def drop(*steps: str) -> None:
        kept[:] = [(origin, one) for origin, one in kept if one.step not in steps]

    if wanted.cover is not None:
        film = wanted.cover == "film"
        kept = [(o, one) for o, one in kept if one.step not in ("cover", "uncover") or _film(one)]
        if film:
            kept = [(origin, one) for origin, one in kept if one.step != "cover"]
        if wanted.cover != NO_COVER:
            heated = heat if wanted.cover == HEATED else None
            entry("from", "cover", begin, cover=wanted.cover, faces=wanted.faces, heat=heated)
            if wanted.until_at is not None:
                entry("until", "uncover", wanted.until_at, cover=wanted.cover)
    if heat is not None and wanted.cover != HEATED:
        drop("heat-on", "heat-off")
        entry("heat", "heat-on", begin, heat=heat)
        if wanted.until_at is not None:
            entry("until", "heat-off", wanted.until_at)
    if wanted.strip_at is not None:
        drop("strip")
        entry("strip_at", "strip", wanted.strip_at)
    for k, act in enumerate(wanted.acts):
        if act.cover is None:
            drop(act.step)
        more.append((f"acts[{k}]", act))
    return [*kept, *more]


def _film(one: PlanEntryWanted) -> bool:
    """Whether it is the film of the fresh face, which is a step and no cover."""
    return one.step == "cover" and one.cover in (None, "film")


def _meant(k: int, one: PlanEntryWanted) -> Meant:
    try:
        return scenario_rows.meant_of(one.model_dump(mode="json", exclude={"set_by"}))
    except InputError as error:
        field = f"plan[{k}].{error.field}"
        raise InputError(field, error.value, error.wrong, error.allowed) from None


@contextmanager
def _blamed(origins: Sequence[str]) -> Iterator[None]:
    """Errors of an entry of the plan under the field that it comes from."""
    try:
        yield
    except InputError as error:
        found = ENTRY.fullmatch(error.field)
        if found is None:
            raise
        origin, part = origins[int(found[1])], found[2]
        if origin in ("from", "until", "heat", "strip_at"):
            name = origin if part == "at" else part
        else:
            name = f"{origin}.{part}"
        raise InputError(name, error.value, error.wrong, error.allowed) from None
