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

    look : solid | step | hollow | through | hidden | beyond; solids that touch show no joint
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
class Spot:
    """An opening or a bowl as it is labelled: its middle and its sides [mm]."""

    middle: Point
    length_mm: float
    width_mm: float
    round: bool


@dataclass(frozen=True)
class View:
    """One drawing; lengths from its lower left corner [mm]."""

    key: str  # plan | section
    wide_mm: float
    high_mm: float
    figures: tuple[Figure, ...]
    dimensions: tuple[Dimension, ...]
    openings: tuple[Spot, ...] = ()


def views_of(told: Measures, solids: Sequence[Solid], high_mm: float) -> tuple[View, View]:
    """A piece from above with its openings, and cut from left to right through the first of them.

    told : its measures; solids : what it is put together of; high_mm : its height [mm]
    Source: geometry.
    """
    cut = _cut_mm(told)
    L, W = told.length_mm, told.width_mm
    figures, sizes = tuple(_plan(solids, high_mm, L, W)), tuple(_plan_sizes(told))
    plan = View("plan", L, W, figures, sizes, tuple(_spots(told)))
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
    bare = [one for one in upright if not one.hollow and not _covered(one, solids)]
    within = [one for one in bare if _in_hollow(one, upright)]
    for one in sorted((one for one in bare if one not in within), key=lambda one: one.high.at):
        yield Figure(ring(one.high, one.round), "step")
    for one in upright:
        if one.hollow and one.high.at >= high - 1e-6:
            through = one.low.at <= 1e-6 or _falls_through(one, solids)
            yield Figure(ring(one.high, one.round), "through" if through else "hollow")
            if not through and one.low != one.high:
                yield Figure(ring(one.low, one.round), "beyond")
    for one in upright:
        if one.high.at >= high - 1e-6 or (one in bare and one not in within):
            continue
        look = "through" if one.hollow and one.low.at <= 1e-6 else "beyond"
        look = "hidden" if _covered(one, solids) else look
        yield Figure(ring(one.high, one.round), look)
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


def _in_hollow(one: Solid, solids: Sequence[Solid]) -> bool:
    """Whether it stands in what is taken out over it: a ledge."""
    return any(
        other.hollow and other.high.at > one.high.at + 1e-6 and _over(one, other)
        for other in solids
    )


def _covered(one: Solid, solids: Sequence[Solid]) -> bool:
    """Whether concrete lies over all of it."""
    top = one.high
    return any(
        not other.hollow
        and other.low.at >= top.at - 1e-6
        and abs(other.low.x - top.x) <= (other.low.long - top.long) / 2 + 1e-6
        and abs(other.low.y - top.y) <= (other.low.wide - top.wide) / 2 + 1e-6
        for other in solids
        if other.axis == "z"
    )


def _from_above(one: Solid) -> tuple[Point, ...]:
    """An opening through a wall."""
    first, last, end = one.low.at, one.high.at, one.low
    if one.axis == "y":
        sides = End(0.0, end.x, (first + last) / 2, end.long, last - first)
    else:
        sides = End(0.0, (first + last) / 2, end.x, last - first, end.long)
    return ring(sides, oval=False)


def _section(solids: Sequence[Solid], cut: float) -> Iterator[Figure]:
    """What stands behind the cut, then what it goes through in the order it is put together."""
    for one in solids:
        if one.axis == "z" and not one.hollow and not _cut_points(one, cut):
            yield Figure(_sides(one), "beyond")
    for one in solids:
        points = () if one.axis == "y" else _cut_points(one, cut)
        if points:
            yield Figure(points, "hollow" if one.hollow else "solid")
    for one in solids:
        if one.axis == "y":
            yield Figure(ring(End(0.0, *_xz(one)), one.round), "hidden")


def _xz(one: Solid) -> tuple[float, float, float, float]:
    return one.low.x, one.low.y, one.low.long, one.low.wide


def _cut_points(one: Solid, cut: float) -> tuple[Point, ...]:
    """The section of one solid; nothing where the cut passes it by."""
    if one.axis == "x":
        end = one.low
        half = _half_chord(end.wide, end.long, cut - end.x, one.round, end.corner)
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
    halves = [_half_chord(e.long, e.wide, cut - e.y, one.round, e.corner) for e in ends]
    if max(halves) <= 0:
        return ()
    (a, b), (low, high) = halves, ends
    return (
        (low.x - a, low.at),
        (low.x + a, low.at),
        (high.x + b, high.at),
        (high.x - b, high.at),
    )


def _half_chord(long: float, wide: float, away: float, oval: bool, corner: float) -> float:
    """Half the length along a cut at a distance from the middle."""
    if 2 * abs(away) >= wide and wide > 0:
        return 0.0
    into = abs(away) - (wide / 2 - corner)  # how far a cut runs through rounded corners
    if not oval and corner and into > 0:
        return long / 2 - corner + math.sqrt(corner**2 - into**2)
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


def _spots(told: Measures) -> Iterator[Spot]:
    shift = told.measured("taper_mm") if told.kind == "box" else 0.0
    for one in _floor_holes(told):
        end = one.end(0.0)
        middle = end.x + shift, end.y + shift
        yield Spot(middle, end.long, end.wide, one.told.round)
    if told.kind == "slab-with-basin":
        (x, y), a, b = bowl_corner(told), *_bowl_sides(told)
        yield Spot((x + a / 2, y + b / 2), a, b, round=False)


def _bowl_sides(told: Measures) -> tuple[float, float]:
    return told.measured("bowl_length_mm"), told.measured("bowl_width_mm")


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
