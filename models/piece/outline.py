"""A piece as lines to scale: from above, and cut from left to right."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from models.piece.measures import Measures
from models.piece.placed import Placed, bowl_corner, laid_out, wall_of
from models.piece.solids import End, Point, Solid, ring


@dataclass(frozen=True)
class Figure:
    """A closed line [mm]; drawn in the order given.

    look : solid | hollow | through | hidden | beyond
    """

    points: tuple[Point, ...]
    look: str


@dataclass(frozen=True)
class Dimension:
    """A measure between two points of a view [mm]; outside: it stands beside the piece."""

    name: str
    begin: Point
    end: Point
    outside: bool = False

    @property
    def length_mm(self) -> float:
        return math.dist(self.begin, self.end)


@dataclass(frozen=True)
class View:
    """One drawing; lengths from its lower left corner [mm]."""

    key: str  # plan | section
    wide_mm: float
    high_mm: float
    figures: tuple[Figure, ...]
    dimensions: tuple[Dimension, ...]


def views_of(told: Measures, solids: Sequence[Solid], high_mm: float) -> tuple[View, View]:
    """A piece from above with its openings, and cut from left to right through the first of them.

    told : its measures; solids : what it is put together of; high_mm : its height [mm]
    Source: geometry.
    """
    cut = _cut_mm(told)
    L, W = told.length_mm, told.width_mm
    plan = View("plan", L, W, tuple(_plan(solids, high_mm, L, W)), tuple(_plan_sizes(told)))
    section = View(
        "section",
        L,
        high_mm,
        tuple(_section(solids, cut)) or (Figure(_block(L, high_mm), "hidden"),),
        tuple(_section_sizes(told, high_mm)),
    )
    return plan, section


def _block(wide: float, high: float) -> tuple[Point, ...]:
    return ring(End(0.0, wide / 2, high / 2, wide, high), oval=False)


def _floor_holes(told: Measures) -> tuple[Placed, ...]:
    mine = [(k, hole) for k, hole in enumerate(told.openings) if hole.wall is None]
    return laid_out(wall_of(told, None), mine).holes if mine else ()


def _cut_mm(told: Measures) -> float:
    """Where the section is cut, from the front [mm]: through a bowl, else the first opening."""
    if told.kind == "slab-with-basin":
        return bowl_corner(told)[1] + told.measured("bowl_width_mm") / 2
    holes = _floor_holes(told)
    if holes:
        shift = told.measured("taper_mm") if told.kind == "box" else 0.0
        return shift + holes[0].y_mm + holes[0].told.width_mm / 2
    return told.width_mm / 2


def _plan(solids: Sequence[Solid], high: float, L: float, W: float) -> Iterator[Figure]:
    """What is seen from above, what lies beneath it dashed."""
    if not solids:
        yield Figure(_block(L, W), "hidden")
    upright = [one for one in solids if one.axis == "z"]
    for one in upright:
        seen = one.high.at >= high - 1e-6
        if not one.hollow and seen:
            yield Figure(ring(one.high, one.round), "solid")
    for one in upright:
        if one.hollow and one.high.at >= high - 1e-6:
            through = one.low.at <= 1e-6 or _falls_through(one, solids)
            yield Figure(ring(one.high, one.round), "through" if through else "hollow")
            if not through and one.low != one.high:
                yield Figure(ring(one.low, one.round), "beyond")
    for one in upright:
        below = one.high.at < high - 1e-6
        if below and one.hollow:
            inside = one.low.at <= 1e-6 and _opens_up(one, solids)
            yield Figure(ring(one.high, one.round), "through" if inside else "beyond")
        elif below:
            stepped = _opens_up(one, solids) or _bare(one, solids)
            yield Figure(ring(one.high, one.round), "beyond" if stepped else "hidden")
    for one in solids:
        if one.axis != "z":
            yield Figure(_from_above(one), "hidden")


def _falls_through(one: Solid, solids: Sequence[Solid]) -> bool:
    """Whether an opening of a panel meets no concrete beneath it."""
    return not any(
        not other.hollow and other.axis == "z" and other.low.at < one.low.at and _over(one, other)
        for other in solids
    )


def _over(one: Solid, other: Solid) -> bool:
    """Whether two solids lie over each other, seen from above."""
    a, b = one.low, other.high
    return abs(a.x - b.x) < (a.long + b.long) / 2 and abs(a.y - b.y) < (a.wide + b.wide) / 2


def _opens_up(one: Solid, solids: Sequence[Solid]) -> bool:
    """Whether it lies in a hollow that is open above it."""
    return any(
        other.hollow
        and other is not one
        and other.high.at > one.high.at + 1e-6
        and _over(other, one)
        for other in solids
        if other.axis == "z"
    )


def _bare(one: Solid, solids: Sequence[Solid]) -> bool:
    """Whether part of its top is not covered by another: a tread."""
    covers = [
        s for s in solids if not s.hollow and s.low.at >= one.high.at - 1e-6 and _over(s, one)
    ]
    area = one.high.long * one.high.wide
    return bool(covers) and all(s.low.long * s.low.wide < area for s in covers)


def _from_above(one: Solid) -> tuple[Point, ...]:
    """An opening through a wall."""
    first, last, end = one.low.at, one.high.at, one.low
    if one.axis == "y":
        sides = End(0.0, end.x, (first + last) / 2, end.long, last - first)
    else:
        sides = End(0.0, (first + last) / 2, end.x, last - first, end.long)
    return ring(sides, oval=False)


def _section(solids: Sequence[Solid], cut: float) -> Iterator[Figure]:
    """What the cut goes through; what stands behind it as a line."""
    for hollow in (False, True):
        for one in solids:
            if one.hollow != hollow:
                continue
            if one.axis == "y":
                oval = one.round
                yield Figure(ring(End(0.0, *_xz(one)), oval), "hidden")
                continue
            points = _cut_points(one, cut)
            if points:
                yield Figure(points, "hollow" if hollow else "solid")
            elif not hollow and one.axis == "z":
                yield Figure(_sides(one), "beyond")


def _xz(one: Solid) -> tuple[float, float, float, float]:
    return one.low.x, one.low.y, one.low.long, one.low.wide


def _cut_points(one: Solid, cut: float) -> tuple[Point, ...]:
    """The section of one solid; nothing where the cut passes it by."""
    if one.axis == "x":
        end = one.low
        half = _half_chord(end.wide, end.long, cut - end.x, one.round)
        if half <= 0:
            return ()
        x = (one.low.at, one.high.at)
        return (
            (x[0], end.y - half),
            (x[1], end.y - half),
            (x[1], end.y + half),
            (x[0], end.y + half),
        )
    ends = (one.low, one.high)
    halves = [_half_chord(e.long, e.wide, cut - e.y, one.round) for e in ends]
    if max(halves) <= 0:
        return ()
    (a, b), (low, high) = halves, ends
    return (
        (low.x - a, low.at),
        (low.x + a, low.at),
        (high.x + b, high.at),
        (high.x - b, high.at),
    )


def _half_chord(long: float, wide: float, away: float, oval: bool) -> float:
    """Half the length along a cut at a distance from the middle."""
    if 2 * abs(away) >= wide and wide > 0:
        return 0.0
    if not oval or wide <= 0:
        return long / 2
    return long / 2 * math.sqrt(1 - (2 * away / wide) ** 2)


def _sides(one: Solid) -> tuple[Point, ...]:
    low, high = one.low, one.high
    return (
        (low.x - low.long / 2, low.at),
        (low.x + low.long / 2, low.at),
        (high.x + high.long / 2, high.at),
        (high.x - high.long / 2, high.at),
    )


def _plan_sizes(told: Measures) -> Iterator[Dimension]:
    L, W = told.length_mm, told.width_mm
    yield Dimension("length_mm", (0.0, 0.0), (L, 0.0), outside=True)
    yield Dimension("width_mm", (0.0, 0.0), (0.0, W), outside=True)
    shift = told.measured("taper_mm") if told.kind == "box" else 0.0
    for one in _floor_holes(told):
        x, y = one.x_mm + shift, one.y_mm + shift
        a, b = one.told.length_mm, one.told.width_mm
        yield Dimension("opening", (x, y + b / 2), (x + a, y + b / 2))
        yield Dimension("opening", (x + a / 2, y), (x + a / 2, y + b))
    if told.kind == "slab-with-basin":
        x, y = bowl_corner(told)
        a, b = told.measured("bowl_length_mm"), told.measured("bowl_width_mm")
        yield Dimension("bowl_length_mm", (x, y + b / 3), (x + a, y + b / 3))
        yield Dimension("bowl_width_mm", (x + a / 3, y), (x + a / 3, y + b))


def _section_sizes(told: Measures, high: float) -> Iterator[Dimension]:
    L, H = told.length_mm, high
    t, wall = told.measured("thickness_mm"), told.measured("wall_mm")
    yield Dimension("height_mm" if t != H else "thickness_mm", (0.0, 0.0), (0.0, H), outside=True)
    if told.kind == "by-hand":
        return
    if t and t != H:
        yield Dimension("thickness_mm", (L, H - t), (L, H), outside=True)
    if told.kind in ("box", "basin"):
        yield Dimension("wall_mm", (0.0, H * 0.75), (wall, H * 0.75))
        floor = wall if told.floor_mm is None else told.floor_mm
        if floor:
            yield Dimension("floor_mm", (L, 0.0), (L, floor), outside=True)
    if told.kind in ("l-shape", "u-shape"):
        yield Dimension("wall_mm", (0.0, (H - t) / 2), (wall, (H - t) / 2))
    if told.kind == "steps":
        count = told.measured("steps")
        yield Dimension("rise_mm", (L, 0.0), (L, H / count), outside=True)
        yield Dimension("tread_mm", (0.0, H / count), (L / count, H / count))
