"""A piece drawn to scale, from above and cut from left to right, in its reader's units.

One drawing for every door. Colours are attributes, so that it can stand alone on white paper; on a
page the sheet `drawing.css` says others, for light and dark.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from markupsafe import Markup, escape

from models.message import Message
from models.piece.outline import Dimension, Figure, Spot, View
from models.piece.shape import Shape
from service.words import Reader, measure, say

DRAWN, TALLEST = 284.0, 300.0  # width and height that a view may take [px]
NARROW, BESIDE, GAP = 24.0, 24.0, 30.0  # margins: of upright words, before level ones; over a view
FOOT = 26.0  # under a view, for its length
WIDE_PX = 7.8  # of a letter
TURNED_PX = 52.0  # a measure so long has its words along it
LOOKS = {
    "solid": 'class="concrete" fill="#d9d6cc" stroke="#16191a"',
    "step": 'class="concrete" fill="#d9d6cc" stroke="#16191a"',
    "hollow": 'class="hollow" fill="#ffffff" stroke="#16191a"',
    "through": 'class="hollow" fill="#ffffff" stroke="#16191a"',
    "hidden": 'class="hidden" fill="none" stroke="#4c5350" stroke-dasharray="4 3"',
    "beyond": 'class="beyond" fill="none" stroke="#757972"',
}
JOINED = 'class="joined" fill="#d9d6cc" stroke="#d9d6cc" stroke-width="0.8"'
TEXT = (
    'font-size="14" font-family="system-ui, sans-serif" fill="#16191a" stroke="#ffffff"'
    ' stroke-width="3" paint-order="stroke" stroke-linejoin="round"'
)


@dataclass(frozen=True)
class Area:
    """A part of the piece seen from above that leads somewhere [mm from its left and front]."""

    x_mm: float
    y_mm: float
    wide_mm: float
    high_mm: float
    href: str
    words: str
    chosen: bool = False


@dataclass(frozen=True)
class Mark:
    """A place on the piece seen from above [mm from its left and front], with a word at it."""

    x_mm: float
    y_mm: float
    words: str


def drawing(
    shape: Shape,
    name: str,
    reader: Reader,
    areas: Sequence[Area] = (),
    marks: Sequence[Mark] = (),
) -> Markup:
    """The drawing as one SVG; `name` is told to who does not see it."""
    views = shape.outline
    scale = min([DRAWN / views[0].wide_mm, *(TALLEST / one.high_mm for one in views)])
    high = max(one.high_mm for one in views[1:]) * scale
    words = [
        measure(one.length_mm, "length_mm", reader)
        for one in views[1].dimensions
        if one.outside and one.length_mm * scale < TURNED_PX
    ]
    broad = max([NARROW, *(BESIDE + WIDE_PX * len(one) for one in words)])
    left = NARROW if high >= TURNED_PX or _only(views[1]) else broad
    parts, y = [], 0.0
    for view in views:
        drawn = _View(view, scale, left, y + GAP, reader)
        parts.append(drawn.svg())
        if view.key == "plan":
            parts += [*map(drawn.area, areas), *map(drawn.mark, marks)]
        y = drawn.bottom
    width = left + views[0].wide_mm * scale + broad
    role = "group" if areas else "img"
    told = say(Message("drawing_title", {"piece": name, "what": shape.described}), reader)
    return Markup(
        f'<svg xmlns="http://www.w3.org/2000/svg" class="drawing" role="{role}"'
        f' viewBox="0 0 {width:.0f} {y + 4:.0f}" stroke-width="1.2"><title>{escape(told)}</title>'
        f'<rect class="paper" width="100%" height="100%" fill="#ffffff"/>{"".join(parts)}</svg>'
    )


def _only(view: View) -> bool:
    """Whether its height is the one measure beside it."""
    return sum(one.outside for one in view.dimensions) == 1


class _View:
    """One view, put on the sheet with its upper left corner at a place [px]."""

    def __init__(self, view: View, scale: float, left: float, top: float, reader: Reader) -> None:
        self.view, self.scale, self.left, self.top, self.reader = view, scale, left, top, reader
        self.right = left + view.wide_mm * scale
        self.low = top + view.high_mm * scale
        self.bottom = self.low + (FOOT if view.key == "plan" else 8.0)

    def svg(self) -> str:
        words = say(Message(f"drawing_{self.view.key}"), self.reader)
        caption = f'<text class="soft" x="{self.left:.0f}" y="{self.top - 10:.0f}" {TEXT}>'
        return "".join(
            [
                f"{caption}{escape(words)}</text>",
                *self._figures(),
                *(self._dimension(one) for one in self.view.dimensions),
                *self._openings(),
            ]
        )

    def area(self, one: Area) -> str:
        x, y = self.at(one.x_mm, one.y_mm + one.high_mm)
        look = "area chosen" if one.chosen else "area"
        words = escape(one.words)
        return (
            f'<a class="{look}" href="{escape(one.href)}" aria-label="{words}">'
            f"<title>{words}</title>"
            f'<rect x="{x:.1f}" y="{y:.1f}" width="{one.wide_mm * self.scale:.1f}"'
            f' height="{one.high_mm * self.scale:.1f}" fill="none" stroke="#4c5350"'
            ' stroke-dasharray="2 3" pointer-events="all"/></a>'
        )

    def mark(self, one: Mark) -> str:
        x, y = self.at(one.x_mm, one.y_mm)
        circle = f'<circle class="mark" cx="{x:.1f}" cy="{y:.1f}" r="9" fill="#ffffff"'
        return f'{circle} stroke="#16191a" stroke-width="2"/>' + _text(
            x, y + 5, one.words, "middle"
        )

    def at(self, x: float, y: float) -> tuple[float, float]:
        """A point of the piece on the sheet [px]."""
        return self.left + x * self.scale, self.low - y * self.scale

    def _figures(self) -> Iterator[str]:
        """Concrete that joins shows no joint: lines first, then what they enclose."""
        for look, group in groupby(self.view.figures, key=lambda one: one.look):
            paths = [self._path(one) for one in group]
            joined = look == "solid" and len(paths) > 1
            for path in paths:
                broad = ' stroke-width="2"' if joined else ""
                yield f'<path {LOOKS[look]}{broad} d="{path}"/>'
            for path in paths if joined else ():
                yield f'<path {JOINED} d="{path}"/>'

    def _path(self, figure: Figure) -> str:
        points = [self.at(*one) for one in figure.points]
        return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points) + "Z"

    def _dimension(self, one: Dimension) -> str:
        (x1, y1), (x2, y2) = self.at(*one.begin), self.at(*one.end)
        words = measure(one.length_mm, "length_mm", self.reader)
        level = abs(y2 - y1) < abs(x2 - x1)
        if level:
            return self._level(x1, x2, y1, words, one.outside)
        return self._upright(x1, y1, y2, words, one)

    def _level(self, x1: float, x2: float, y: float, words: str, outside: bool) -> str:
        if outside:
            y = self.low + 16
        ends = _line(x1, y - 4, x1, y + 4) + _line(x2, y - 4, x2, y + 4)
        middle, half = (x1 + x2) / 2, WIDE_PX * len(words) / 2 + 4
        if x2 - x1 < 2 * half:
            return ends + _line(x1, y, x2, y) + _text(x2 + 5, y + 4, words, "start")
        line = _line(x1, y, middle - half, y) + _line(middle + half, y, x2, y)
        return ends + line + _text(middle, y + 4, words, "middle")

    def _upright(self, x: float, y1: float, y2: float, words: str, one: Dimension) -> str:
        whole = one.outside and one.begin[0] == 0 and one.begin[1] == 0
        level = abs(y1 - y2) < TURNED_PX
        beside = whole and level and _only(self.view) and self.view.key == "section"
        if one.outside:
            x = self.right + 10 if beside or not whole else self.left - 10
        line = _line(x, y1, x, y2) + _line(x - 4, y1, x + 4, y1) + _line(x - 4, y2, x + 4, y2)
        middle = (y1 + y2) / 2
        if level and one.outside:
            anchor, x = ("start", x + 8) if x > self.left else ("end", x - 8)
            return line + _text(x, middle + 4, words, anchor)
        turn = f' transform="rotate(-90 {x:.1f} {middle:.1f})"'
        return line + _text(x, middle - 3, words, "middle", turn)

    def _openings(self) -> Iterator[str]:
        """Sizes in the opening where there is room, else beside it."""
        for one in self.view.openings:
            x, y = self.at(*one.middle)
            words = self._sides(one)
            half = one.length_mm * self.scale / 2
            wide = WIDE_PX * len(words)
            if 2 * half <= wide <= self.right - x - half - 4:
                yield _text(x + half + 4, y + 4, words, "start")
            elif 2 * half <= wide <= x - half - 4 - self.left:
                yield _text(x - half - 4, y + 4, words, "end")
            else:
                yield _text(x, y + 4, words, "middle")

    def _sides(self, one: Spot) -> str:
        """Of a circle its diameter; of others both, their unit once."""
        first, second = (
            measure(mm, "length_mm", self.reader) for mm in (one.length_mm, one.width_mm)
        )
        if one.round and one.length_mm == one.width_mm:
            return f"⌀ {first}"
        number, _, unit = first.rpartition(" ")
        return f"{number if second.endswith(f' {unit}') else first} × {second}"


def _line(x1: float, y1: float, x2: float, y2: float) -> str:
    way = f"M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}"
    return f'<path class="size" fill="none" stroke="#4c5350" d="{way}"/>'


def _text(x: float, y: float, words: str, anchor: str, more: str = "") -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" {TEXT}{more}>{escape(words)}</text>'
    )
