"""The time axis of the picture of a pour: hours dense where one acts, then days, then weeks."""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from functools import cached_property
from itertools import pairwise

import numpy as np

from models.air import sky

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
BEHIND = timedelta(hours=60)  # a pour older than this has its first days pressed together
DENSE = timedelta(hours=40)  # of hours ahead that are drawn wide, to the end of their day
DAYS = timedelta(days=9)  # that follow; what comes after is weeks
FEW, WEEKS = timedelta(days=2), timedelta(days=5)  # more than these ask for a scale of their own
SHARE = {"past": 0.16, "hours": 0.48, "days": 0.24, "weeks": 0.12}  # of the width
SUNSET_DEG = -0.833  # the upper edge on the horizon, with refraction
STEP = timedelta(minutes=10)


@dataclass(frozen=True)
class Part:
    """A stretch of the axis with one scale."""

    scale: str
    begin: datetime
    end: datetime
    left: float
    right: float

    @property
    def px_per_h(self) -> float:
        return (self.right - self.left) / ((self.end - self.begin) / HOUR)

    def x(self, at: datetime) -> float:
        return self.left + (at - self.begin) / HOUR * self.px_per_h


@dataclass(frozen=True)
class Axis:
    """From instants to places across the picture."""

    parts: tuple[Part, ...]
    zone: tzinfo

    @property
    def begin(self) -> datetime:
        return self.parts[0].begin

    @property
    def end(self) -> datetime:
        return self.parts[-1].end

    @property
    def left(self) -> float:
        return self.parts[0].left

    @property
    def right(self) -> float:
        return self.parts[-1].right

    @cached_property
    def _begins(self) -> list[datetime]:
        return [part.begin for part in self.parts]

    def x(self, at: datetime) -> float:
        """What lies before or after the axis stands at its edge."""
        at = min(max(at, self.begin), self.end)
        return self.part(at).x(at)

    def places(self, times: Sequence[datetime]) -> list[float]:
        """The places of many instants; none (NaN) of what is not on the axis."""
        seconds = [at.timestamp() for at in times]
        bounds = [*self._begins, self.end]
        edges = [*(part.left for part in self.parts), self.right]
        known = [at.timestamp() for at in bounds]
        return np.interp(seconds, known, edges, left=np.nan, right=np.nan).tolist()

    def part(self, at: datetime) -> Part:
        return self.parts[max(bisect_right(self._begins, at) - 1, 0)]

    def shows(self, at: datetime) -> bool:
        return self.begin <= at <= self.end

    def midnights(self) -> Iterator[datetime]:
        """Every midnight of the place that is on the axis."""
        day = self.begin.astimezone(self.zone).date()
        while (at := _instant(day, time.min, self.zone)) <= self.end:
            if at >= self.begin:
                yield at
            day += DAY


def axis(
    placed: datetime, now: datetime, last: datetime, zone: tzinfo, left: float, right: float
) -> Axis:
    """From the pour to the last instant that is to be seen; dense about now, or about the pour."""
    placed = placed.astimezone(UTC)
    acted = max(placed, now.astimezone(UTC))
    dense_from = placed if now - placed <= BEHIND else _midnight(now, zone)
    dense_to = _midnight(acted + DENSE + DAY, zone)
    if last <= dense_to + FEW:  # a day or two more are drawn as wide
        dense_to = max(dense_to, _midnight(last + DAY, zone))
        last = dense_to
    days_to = dense_to + DAYS
    bounds = [("past", placed, dense_from), ("hours", dense_from, dense_to)]
    if last > days_to + WEEKS:
        end = _midnight(last + DAY, zone)
        bounds += [("days", dense_to, days_to), ("weeks", days_to, end)]
    elif last > dense_to:
        bounds.append(("days", dense_to, _midnight(last + DAY, zone)))
    bounds = [one for one in bounds if one[2] > one[1]]
    whole = sum(SHARE[scale] for scale, *_ in bounds)
    parts, x = [], left
    for scale, begin, end in bounds:
        to = x + (right - left) * SHARE[scale] / whole
        parts.append(Part(scale, begin, end, x, to))
        x = to
    return Axis(tuple(parts), zone)


def nights(
    axis: Axis, latitude: float | None, longitude: float | None
) -> list[tuple[float, float]]:
    """From sunset to sunrise as places across the picture; none where the place is not told."""
    if latitude is None or longitude is None:
        return []
    begin = axis.begin
    times = [begin + k * STEP for k in range(int((axis.end - begin) / STEP) + 1)]
    days = np.array([(at - sky.J2000) / DAY for at in times])
    dark = sky.sun_elevation(days, latitude, longitude) < SUNSET_DEG
    edges = [0, *(np.flatnonzero(np.diff(dark)) + 1).tolist(), len(times) - 1]
    return [(axis.x(times[a]), axis.x(times[b])) for a, b in pairwise(edges) if b > a and dark[a]]


def working(axis: Axis, hours: tuple[time, time]) -> list[tuple[float, float]]:
    """The shop's working hours as places across the picture, where hours can be told apart."""
    if hours[0] >= hours[1]:
        return []
    out = []
    for midnight in [axis.begin - DAY, *axis.midnights()]:
        day = midnight.astimezone(axis.zone).date()
        begin, end = (_instant(day, clock, axis.zone) for clock in hours)
        if end > axis.begin and begin < axis.end and axis.part(begin).scale == "hours":
            out.append((axis.x(begin), axis.x(end)))
    return out


def ticks(axis: Axis) -> list[datetime]:
    """Instants at which the values are told: each hour, then each half day, then each day."""
    every = {"past": 12, "hours": 1, "days": 12, "weeks": 24}
    out: list[datetime] = []
    for part in axis.parts:
        rows = int((part.end - part.begin) / HOUR)
        out += [part.begin + k * HOUR for k in range(0, rows, every[part.scale])]
    return out


def _midnight(at: datetime, zone: tzinfo) -> datetime:
    """The midnight that its day began with."""
    return _instant(at.astimezone(zone).date(), time.min, zone)


def _instant(day: date, clock: time, zone: tzinfo) -> datetime:
    """In UTC, so that a span over a change of the clocks is as long as it is."""
    return datetime.combine(day, clock, tzinfo=zone).astimezone(UTC)
