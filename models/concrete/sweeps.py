"""Sweeps of one set of members through time, kept so that another plan goes on where it parts."""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from functools import cached_property

import numpy as np

from models.concrete._heat_state import Histories
from models.concrete.section import Schedule
from models.units import Array, Index, Mask

KEPT_H = (1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 18.0, 24.0, 36.0, 48.0)  # then once a day


@dataclass(frozen=True)
class Swept:
    """One sweep: what was in force, its rows, and its state at some hours, (values, members)."""

    schedule: Schedule
    hours: int
    marks_h: Array
    histories: Histories
    states: Mapping[float, Array]

    @cached_property
    def in_force(self) -> Array:
        return columns(self.schedule)

    def only(self, some: Mask | Index) -> "Swept":
        """Some of its members; by a mask (members,) or by their places."""
        histories = Histories(*(one[:, some] for one in self.histories))
        states = {at: np.ascontiguousarray(one[:, some]) for at, one in self.states.items()}
        return Swept(self.schedule, self.hours, self.marks_h, histories, states)

    def begins(self, in_force: Array, hours: int) -> float:
        """Hour up to which another sweep need not be computed [h]; 0: it begins at placing.

        in_force : `columns` of its schedule; hours : [h] that it looks ahead
        """
        until_h = min(alike_until(self.in_force, in_force), float(hours))
        return max((at for at in self.states if at <= until_h), default=0.0)

    def copy_rows(self, until_h: float, hours: int, marks_h: Array, out: Histories) -> None:
        """Put the rows up to an hour [h] into those of another sweep of some hours and marks."""
        same, before = int(until_h) + 1, marks_h < until_h
        theirs = self.hours + 1 + np.searchsorted(self.marks_h, marks_h[before] - 1e-9)
        ours = hours + 1 + np.flatnonzero(before)
        for to, of in zip(out, self.histories, strict=True):
            to[:same] = of[:same]
            to[ours] = of[theirs]


@dataclass(frozen=True)
class Sweeps:
    """The sweeps of some members; `whole` and `some`: those of more members, of which these are."""

    known: list[Swept] = field(default_factory=list)
    whole: "Sweeps | None" = None
    some: Mask | Index | None = None

    def only(self, some: Mask | Index) -> "Sweeps":
        """Of some of the members; by a mask (members,) or by their places."""
        return Sweeps(whole=self, some=some)

    def nearest(self, schedule: Schedule, hours: int) -> tuple[Swept | None, float]:
        """The sweep that is alike for longest, and the hour at which to go on from it [h]."""
        in_force = columns(schedule)
        found: tuple[Swept | None, float] = (None, 0.0)
        for one in self.known:
            begins_h = one.begins(in_force, hours)
            if begins_h > found[1]:
                found = one, begins_h
        if self.whole is not None and self.some is not None:
            one_of_all, begins_h = self.whole.nearest(schedule, hours)
            if one_of_all is not None and begins_h > found[1]:
                found = one_of_all.only(self.some), begins_h
        return found


def kept_h(hours: int) -> Array:
    """Hours from placing at which a sweep of some hours keeps its state [h], (n,).

    Source: OWN_JUDGEMENT: what is computed twice is at most a third, or a day.
    """
    daily = np.arange(72.0, hours + 1, 24.0)
    instants = np.concatenate((KEPT_H, daily, [float(hours)]))
    return np.unique(instants[instants <= hours])


def columns(schedule: Schedule) -> Array:
    """What is in force from each instant on, that first, and no number (NaN) as infinite: (columns,
    instants) [h, m2K/W, degC].

    Source: definition.
    """
    values = np.array([getattr(schedule, column.name) for column in fields(Schedule)], np.float64)
    return np.where(np.isnan(values), np.inf, values)


def alike_until(one: Array, other: Array) -> float:
    """Hour from placing up to which two schedules are the same [h]; infinite: throughout.

    one, other : their `columns`

    Source: definition.
    """
    rows = min(one.shape[1], other.shape[1])
    apart = (one[:, :rows] != other[:, :rows]).any(axis=0)
    row = int(np.argmax(apart)) if apart.any() else rows
    return min((float(of[0, row]) for of in (one, other) if of.shape[1] > row), default=np.inf)
