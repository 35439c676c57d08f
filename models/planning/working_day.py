"""The hours in which a shop works, counted from one instant on."""

from dataclasses import dataclass
from datetime import datetime, time, timedelta
from functools import cached_property
from zoneinfo import ZoneInfo

import numpy as np

from models.errors import InputError
from models.instants import aware, within_hours
from models.units import Array, Mask

STEP_H = 0.25
AHEAD_D = 130
WEEK = (0, 1, 2, 3, 4, 5, 6)


@dataclass(frozen=True)
class WorkingDays:
    """From `now` on; days : of the week, Monday 0; hours : by the clock of the zone.

    Raises InputError where no day is worked, or none is one of the week.
    """

    now: datetime
    timezone: str
    hours: tuple[time, time] = (time(7), time(21))
    days: tuple[int, ...] = WEEK

    def __post_init__(self) -> None:
        object.__setattr__(self, "now", aware("now", self.now))
        if not self.days or not set(self.days) <= set(WEEK):
            raise InputError("working_days", self.days, "no day of a week", "some of 0 to 6")

    def at(self, hour: float) -> datetime:
        """The instant so many hours from now, in the zone of the shop."""
        return (self.now + timedelta(hours=float(hour))).astimezone(ZoneInfo(self.timezone))

    def hour(self, at: datetime) -> float:
        """Hours from now to an instant [h]."""
        return (at - self.now) / timedelta(hours=1)

    def day(self, hour: float) -> int:
        """The day on which an hour lies, today 0."""
        return (self.at(hour).date() - self.at(0.0).date()).days

    @cached_property
    def first_h(self) -> float:
        """The first whole quarter of the clock from now on [h]."""
        into = self.now.minute % 15 + self.now.second / 60 + self.now.microsecond / 6e7
        return ((15 - into) % 15) / 60

    @cached_property
    def _works(self) -> Mask:
        """Whether the shop works at each quarter."""
        quarters = int(AHEAD_D * 24 / STEP_H)
        local = [self.at(self.first_h + k * STEP_H) for k in range(quarters)]
        return np.array([one.weekday() in self.days and self._open(one) for one in local])

    def _open(self, local: datetime) -> bool:
        return self.hours[0] == self.hours[1] or within_hours(self.hours, local.time())

    @cached_property
    def _next(self) -> Array:
        """For each quarter the first worked one from it on [h]; infinite after the last."""
        at = np.where(self._works, self.first_h + STEP_H * np.arange(len(self._works)), np.inf)
        soonest: Array = np.minimum.accumulate(at[::-1])[::-1]
        return soonest

    def soonest(self, hours: Array) -> Array:
        """The first quarter in which the shop works at or after each hour [h], any shape; infinite
        where there is none."""
        row = np.ceil((np.nan_to_num(hours, posinf=1e9) - self.first_h) / STEP_H - 1e-9)
        row = np.maximum(row, 0)
        there = row < len(self._next)
        found: Array = self._next[np.where(there, row, 0).astype(int)]
        return np.where(there, found, np.inf)

    def works_through(self, hour: float, work_h: float) -> bool:
        """Whether work that begins at an hour ends within the same working day."""
        first = int(np.ceil((hour - self.first_h) / STEP_H - 1e-9))
        last = first + max(int(np.ceil(work_h / STEP_H - 1e-9)), 1)
        return first >= 0 and last <= len(self._works) and bool(self._works[first:last].all())

    def worked_h(self, day: int) -> float:
        """Hours worked on a day, today from now on [h]."""
        return len(self._by_day.get(day, ())) * STEP_H

    @cached_property
    def _by_day(self) -> dict[int, list[float]]:
        """By day the quarters in which the shop works [h]."""
        by_day: dict[int, list[float]] = {}
        for k in np.flatnonzero(self._works).tolist():
            hour = self.first_h + k * STEP_H
            by_day.setdefault(self.day(hour), []).append(hour)
        return by_day

    def starts(self, day: int, work_h: float) -> list[float]:
        """The first and the last whole hour of a day at which work fits into it [h]."""
        found = [
            hour
            for hour in self._by_day.get(day, ())
            if self.at(hour).minute == 0 and self.works_through(hour, work_h)
        ]
        return found if len(found) < 2 else [found[0], found[-1]]
