"""A way of turning as a picture to scale: from above where the piece is held and where it would
crack, beside it the edge that bends."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from markupsafe import Markup, escape

from models.facts.handling import FIFTH_POINT, TIMBERS_EVERY_MM
from models.piece.flat import Flat
from models.piece.shape import Shape
from models.piece.turning import Way
from service.words import Reader, measure, word

WIDTH, PAD, GAP = 340.0, 30.0, 22.0  # px
TALLEST, LEAST_THICK = 190.0, 3.0  # px
Line = tuple[float, float, float, float]  # x, y to x, y [mm]
Rect = tuple[float, float, float, float]  # x, y, width, height [mm]


@dataclass(frozen=True)
class Marks:
    """On a part seen from above [mm]: what it rests on, where it is lifted, bands and timbers about
    it, and where it would crack."""

    rests: tuple[Line, ...] = ()
    lifted: tuple[tuple[float, float, float], ...] = ()  # x, y, and the way of the arrow, -1 or 1
    bands: tuple[Rect, ...] = ()
    cracks: tuple[Line, ...] = ()


def draw(way: Way, shape: Shape, reader: Reader) -> Markup:
    """The picture of one way. way : of models.piece.turning.turning_ways for this shape"""
    flat = way.flat
    if flat is None:
        size, solid, marks = _box(way, shape)
        holes: Sequence[Rect] = ()
    else:
        size = flat.long_mm, flat.short_mm
        solid, holes, marks = [(0.0, 0.0, *size)], _holes(shape), _flat(way, flat)
    scale = min((WIDTH - 2 * PAD) / size[0], TALLEST / size[1])
    parts = [*_from_above(size, solid, holes, marks, scale, reader)]
    height = 2 * PAD + size[1] * scale
    if flat is not None:
        parts += _edge(way, flat, scale, height, reader)
        height += GAP + max(flat.thick_mm * scale, LEAST_THICK) + PAD
    title = word("turned", way.key, reader)
    return Markup(  # every text in it is escaped or ours
        f'<svg class="turning" viewBox="0 0 {WIDTH:.0f} {height:.0f}" role="img"'
        f' aria-label="{escape(title[:1].upper() + title[1:])}">{"".join(parts)}</svg>'
    )


def _holes(shape: Shape) -> list[Rect]:
    """Openings where they lie, the long side level."""
    plate = shape.plates[0]
    found = [(one.x_mm, one.y_mm, one.told.length_mm, one.told.width_mm) for one in plate.openings]
    upright = plate.width_mm > plate.length_mm
    return [(y, x, wide, long) if upright else (x, y, long, wide) for x, y, long, wide in found]


def _flat(way: Way, flat: Flat) -> Marks:
    L, B = flat.long_mm, flat.short_mm
    a = FIFTH_POINT * L
    middle_along: Line = (0.0, B / 2, L, B / 2)
    middle_across: Line = (L / 2, 0.0, L / 2, B)
    fifths: tuple[Line, ...] = ((a, 0.0, a, B), (L - a, 0.0, L - a, B))
    marks = {
        "long_edge": Marks(
            ((0.0, B, L, B),), ((a, 0.0, -1), (L - a, 0.0, -1)), cracks=(middle_along,)
        ),
        "short_edge": Marks(
            ((L, 0.0, L, B),),
            cracks=(middle_across,),
            bands=((0.0, B * 0.15, L * 0.04, B * 0.2), (0.0, B * 0.65, L * 0.04, B * 0.2)),
        ),
        "rail": Marks((middle_along,), ((a, 0.0, -1), (L - a, 0.0, -1)), cracks=(middle_along,)),
        "boards": Marks(
            ((0.0, B, L, B),),
            ((a, 0.0, -1), (L - a, 0.0, -1)),
            bands=_timbers(L, B),
            cracks=(middle_along,),
        ),
        "fifth_points": Marks(fifths, cracks=(middle_across,)),
        "straps": Marks(
            bands=tuple((x - L / 80, -B * 0.05, L / 40, B * 1.1) for x in (a, L - a)),
            cracks=(middle_across,),
        ),
        "ends": Marks(((0.0, 0.0, 0.0, B), (L, 0.0, L, B)), cracks=(middle_across,)),
    }
    return marks[way.key]


def _timbers(long_mm: float, short_mm: float) -> tuple[Rect, ...]:
    count = max(2, round(long_mm / TIMBERS_EVERY_MM) + 1)
    step = long_mm / count
    return tuple(
        ((k + 0.5) * step - 22.5, -short_mm * 0.04, 45.0, short_mm * 1.08) for k in range(count)
    )


def _box(way: Way, shape: Shape) -> tuple[tuple[float, float], list[Rect], Marks]:
    """The section of a box: on its side, its open end to the left; else as it stands."""
    t, deep = shape.measured("wall_mm"), shape.measured("height_mm")
    wide = min(shape.length_mm, shape.width_mm)
    if way.key in ("padded_edges", "boards"):
        solid = [(0.0, 0.0, deep, t), (0.0, wide - t, deep, t), (deep - t, 0.0, t, wide)]
        bands: tuple[Rect, ...] = ((0.0, -t, deep, t),) if way.key == "boards" else ()
        root = deep - t
        cracks: tuple[Line, ...] = ((root, 0.0, root, t),)
        return (deep, wide), solid, Marks(((0.0, wide, deep, wide),), bands=bands, cracks=cracks)
    solid = [(0.0, 0.0, t, deep), (wide - t, 0.0, t, deep), (0.0, deep - t, wide, t)]
    cracks = ((wide / 2, deep - t, wide / 2, deep),)
    if way.key == "straps":
        bands = ((-t / 4, 0.0, t / 4, deep), (wide, 0.0, t / 4, deep), (0.0, deep, wide, t / 4))
        return (wide, deep), solid, Marks(bands=bands, cracks=cracks)
    feet: tuple[Line, ...] = ((0.0, deep, t, deep), (wide - t, deep, wide, deep))
    return (wide, deep), solid, Marks(feet, cracks=cracks)


def _from_above(
    size: tuple[float, float],
    solid: Sequence[Rect],
    holes: Sequence[Rect],
    marks: Marks,
    scale: float,
    reader: Reader,
) -> Iterator[str]:
    left = (WIDTH - size[0] * scale) / 2

    def x(mm: float) -> float:
        return left + mm * scale

    def y(mm: float) -> float:
        return PAD + mm * scale

    def rect(kind: str, one: Rect) -> str:
        return _rect(kind, x(one[0]), y(one[1]), one[2] * scale, one[3] * scale)

    def line(kind: str, one: Line) -> str:
        return _path(kind, f"M{x(one[0]):.1f} {y(one[1]):.1f}L{x(one[2]):.1f} {y(one[3]):.1f}")

    yield from (rect("concrete", one) for one in solid)
    yield from (rect("hole", one) for one in holes)
    yield from (rect("band", one) for one in marks.bands)
    yield from (line("rest", one) for one in marks.rests)
    yield from (line("crack", part) for one in marks.cracks for part in _beside(one, holes))
    for at, edge, towards in marks.lifted:
        tip = y(edge) + towards * 16
        yield _path("lift", f"M{x(at):.1f} {y(edge):.1f}V{tip:.1f}m-4 5l4 -5l4 5")
    across, down = (measure(mm, "length_mm", reader) for mm in size)
    yield _text("mid", WIDTH / 2, y(size[1]) + 18, across)
    yield _text("end", x(0) - 6, y(size[1] / 2) + 4, down)


def _beside(line: Line, holes: Sequence[Rect]) -> Iterator[Line]:
    """What of a line along or across the piece lies in concrete."""
    x1, y1, x2, y2 = line
    level = y1 == y2
    gaps = sorted(
        ((x, x + w) if level else (y, y + h))
        for x, y, w, h in holes
        if (y < y1 < y + h if level else x < x1 < x + w)
    )
    begin, end = (x1, x2) if level else (y1, y2)
    for low, high in [*gaps, (end, end)]:
        if low > begin:
            yield (begin, y1, low, y1) if level else (x1, begin, x1, low)
        begin = max(begin, high)


def _edge(way: Way, flat: Flat, scale: float, top: float, reader: Reader) -> Iterator[str]:
    """The edge that bends, as thick as it is, with what holds it and what it is split by."""
    span, thick = way.span_mm * scale, max(flat.thick_mm * scale, LEAST_THICK)
    left, y = (WIDTH - span) / 2, top + GAP - PAD / 2
    fifth = FIFTH_POINT if way.key in ("fifth_points", "straps") else 0.0
    yield _rect("concrete", left, y, span, thick)
    middle = left + span / 2
    feet = [middle] if way.key == "rail" else [left + fifth * span, left + (1 - fifth) * span]
    for foot in feet:
        yield _path("foot", f"M{foot:.1f} {y + thick:.1f}l-6 11h12z")
    half = thick / 2 + 2
    yield _path("crack", f"M{middle:.1f} {y - 2:.1f}l3 {half:.1f}l-3 {half:.1f}")
    if way.key != "rail":
        held = measure((1 - 2 * fifth) * way.span_mm, "length_mm", reader)
        yield _text("mid", middle, y + thick + 22, held)
    thickness = measure(flat.thick_mm, "length_mm", reader)
    yield _text("", left + span + 6, y + thick / 2 + 4, thickness)


def _rect(kind: str, x: float, y: float, width: float, height: float) -> str:
    where = f'x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}"'
    return f'<rect class="{kind}" {where}/>'


def _path(kind: str, d: str) -> str:
    return f'<path class="{kind}" d="{d}"/>'


def _text(kind: str, x: float, y: float, words: str) -> str:
    return f'<text class="{kind}" x="{x:.1f}" y="{y:.1f}">{escape(words)}</text>'
