"""Prisms and frustums that a piece is put together of, and those that are taken out of it."""

import math
from dataclasses import dataclass

Point = tuple[float, float]
AXES = ("x", "y", "z")
ROUND_POINTS = 72  # of a drawn circle
CORNER_PARTS = 12  # of a drawn corner


@dataclass(frozen=True)
class End:
    """A rectangle, or the oval inside it, across an axis [mm]: where, its middle, its sides, and
    the radius of its corners."""

    at: float
    x: float
    y: float
    long: float
    wide: float
    corner: float = 0.0

    def shrunk(self, by: float, at: float) -> "End":
        """The same less `by` all round, elsewhere on the axis [mm]."""
        corner = max(self.corner - by, 0.0) if self.corner else 0.0
        return End(at, self.x, self.y, self.long - 2 * by, self.wide - 2 * by, corner)


@dataclass(frozen=True)
class Solid:
    """What lies between two ends, straight from one to the other; hollow: it is taken out.

    axis : along which the ends stand; x and y of an end are the two others in their order
    """

    low: End
    high: End
    round: bool = False
    hollow: bool = False
    axis: str = "z"

    def end(self, at: float) -> End:
        """The section across the axis at a place between the ends [mm]."""
        part = (at - self.low.at) / (self.high.at - self.low.at)
        a, b = self.low, self.high
        return End(
            at,
            a.x + part * (b.x - a.x),
            a.y + part * (b.y - a.y),
            a.long + part * (b.long - a.long),
            a.wide + part * (b.wide - a.wide),
            a.corner + part * (b.corner - a.corner),
        )

    def area_mm2(self, end: End) -> float:
        """Of a section [mm2]."""
        whole = end.long * end.wide
        return whole * (math.pi / 4) if self.round else whole - (4 - math.pi) * end.corner**2

    @property
    def sign(self) -> float:
        return -1.0 if self.hollow else 1.0

    @property
    def volume_mm3(self) -> float:
        """Signed [mm3]: Simpson over three sections, exact where sides run straight."""
        return self.sign * self._sum([self.area_mm2(end) for end in self._three])

    @property
    def moment_mm4(self) -> tuple[float, float, float]:
        """Signed volume times the place of its middle, along x, y, z [mm4]; exact likewise."""
        areas = [(self.area_mm2(end), end) for end in self._three]
        own = self._sum([area * end.at for area, end in areas])
        first = self._sum([area * end.x for area, end in areas])
        second = self._sum([area * end.y for area, end in areas])
        ordered = {
            "x": (own, first, second),
            "y": (first, own, second),
            "z": (first, second, own),
        }[self.axis]
        return tuple(self.sign * one for one in ordered)  # type: ignore[return-value]

    @property
    def skin_mm2(self) -> float:
        """Faces between the ends [mm2]; an oval is the same at both."""
        high = self.high.at - self.low.at
        if self.round:
            return round_mm(self.low.long, self.low.wide) * high
        found = 0.0
        for turn in (1, -1):
            across = self.high.y - self.low.y + turn * (self.high.wide - self.low.wide) / 2
            found += (self.low.long + self.high.long) / 2 * math.hypot(high, across)
            across = self.high.x - self.low.x + turn * (self.high.long - self.low.long) / 2
            found += (self.low.wide + self.high.wide) / 2 * math.hypot(high, across)
        return found

    def slice(self, low: float, high: float, by: float = 0.0) -> "Solid":
        """The part between two places on the axis, less `by` all round [mm]."""
        return Solid(
            self.end(low).shrunk(by, low),
            self.end(high).shrunk(by, high),
            self.round,
            axis=self.axis,
        )

    @property
    def out(self) -> "Solid":
        """The same, taken out."""
        return Solid(self.low, self.high, self.round, not self.hollow, self.axis)

    @property
    def _three(self) -> tuple[End, End, End]:
        return self.low, self.end((self.low.at + self.high.at) / 2), self.high

    def _sum(self, values: list[float]) -> float:
        first, middle, last = values
        high = self.high.at - self.low.at
        if first == middle == last:
            return first * high
        return (first + 4 * middle + last) * high / 6


def block(x: Point, y: Point, z: Point) -> Solid:
    """A block between two places along each axis [mm]. Source: geometry."""
    ends = [End(at, (x[0] + x[1]) / 2, (y[0] + y[1]) / 2, x[1] - x[0], y[1] - y[0]) for at in z]
    return Solid(ends[0], ends[1])


def round_mm(long: float, wide: float) -> float:
    """Way round an oval [mm], by Ramanujan's second formula; a circle's is exact.

    Source: geometry; under 1e-4 of the whole for ovals five times as long as wide.

    >>> round(round_mm(100.0, 100.0), 2)
    314.16
    """
    h = ((long - wide) / (long + wide)) ** 2
    return math.pi * (long + wide) / 2 * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))


def ring(end: End, oval: bool) -> tuple[Point, ...]:
    """Corners of a section as it is drawn [mm]. Source: geometry."""
    if oval:
        turns = [2 * math.pi * k / ROUND_POINTS for k in range(ROUND_POINTS)]
        return tuple(
            (end.x + end.long / 2 * math.cos(a), end.y + end.wide / 2 * math.sin(a)) for a in turns
        )
    a, b, r = end.long / 2, end.wide / 2, end.corner
    if r:
        return tuple(
            (
                end.x + right * (a - r) + r * math.cos(turn),
                end.y + up * (b - r) + r * math.sin(turn),
            )
            for right, up, begin in ((1, 1, 0.0), (-1, 1, 0.5), (-1, -1, 1.0), (1, -1, 1.5))
            for turn in (math.pi * (begin + k / CORNER_PARTS / 2) for k in range(CORNER_PARTS + 1))
        )
    return (
        (end.x - a, end.y - b),
        (end.x + a, end.y - b),
        (end.x + a, end.y + b),
        (end.x - a, end.y + b),
    )
