"""Labels at their true size: a grid of them on paper, or one by one, drawn in millimetres."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from markupsafe import Markup

from models.errors import InputError
from service.pages import qr
from service.words import Reader, measure
from service.words.reader import PRESETS

PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
LEAST_MODULE_MM = 0.4  # common practice: what a phone still reads at arm's length
EDGE = 0.06  # of a label's shorter side that stays free, at most so many millimetres
MOST_EDGE_MM = 2.0
BESIDE = 1.3  # so much wider than high, and the words stand beside the square
LETTER_WIDTH = 0.68  # of a bold letter of a wide face, in heights of the type
LINE = 1.15
TYPE = 10.0  # as the style sheet sets it; scaled to the size it has on the label
SIZES_MM = (7.0, 6.0, 5.0, 4.2, 3.6, 3.0, 2.6, 2.2)
CODE_MM = 2.6


@dataclass(frozen=True)
class Grid:
    """Labels on a sheet, all in millimetres. One by one, the sheet is the label."""

    paper: tuple[float, float]
    label: tuple[float, float]
    columns: int = 1
    rows: int = 1
    left: float = 0.0
    top: float = 0.0
    across: float = 0.0  # between two columns
    down: float = 0.0

    @property
    def count(self) -> int:
        return self.columns * self.rows

    def size(self, reader: Reader) -> str:
        """Of a label, as such labels are sold: by the inch on Letter, else to a tenth of a
        millimetre, where that is its reader's own unit."""
        if self.paper == PAPERS["Letter"]:
            return " × ".join(_inches(side) for side in self.label) + " in"
        if reader.units == PRESETS["us"]:
            return " × ".join(measure(side, "length_mm", reader) for side in self.label)
        return " × ".join(f"{side:.1f}".removesuffix(".0") for side in self.label) + " mm"

    def corners(self) -> Iterator[tuple[float, float]]:
        """Where each label begins, row by row."""
        for row in range(self.rows):
            for column in range(self.columns):
                yield (
                    self.left + column * (self.label[0] + self.across),
                    self.top + row * (self.label[1] + self.down),
                )

    def check(self) -> None:
        """Refuse labels that do not fit on their paper, by the measure that is too much."""
        for k, (first, gap, number, names) in enumerate(
            (
                (self.left, self.across, self.columns, ("left", "columns", "width_mm")),
                (self.top, self.down, self.rows, ("top", "rows", "height_mm")),
            )
        ):
            taken = first + number * self.label[k] + (number - 1) * gap
            if taken > self.paper[k] + 0.05:
                name = names[1] if number > 1 else names[2]
                wrong = f"takes {taken:.1f} mm of {self.paper[k]:.1f} mm"
                raise InputError(name, number, wrong, "what fits on the paper")


def _inches(mm: float) -> str:
    whole, part = divmod(Fraction(mm / 25.4).limit_denominator(16), 1)
    return " ".join(str(one) for one in (whole, part) if one) or "0"


# sheets of labels as they are usually cut; from memory, so measure your own
SHEETS: dict[str, Grid] = {
    "a4-3x7": Grid(PAPERS["A4"], (63.5, 38.1), 3, 7, 7.2, 15.1, 2.5),
    "a4-3x8": Grid(PAPERS["A4"], (70.0, 37.0), 3, 8, 0.0, 0.5),
    "a4-2x4": Grid(PAPERS["A4"], (99.1, 67.7), 2, 4, 4.6, 13.1, 2.5),
    "letter-2x7": Grid(PAPERS["Letter"], (101.6, 33.867), 2, 7, 4.0, 21.2, 4.7),
    "letter-2x5": Grid(PAPERS["Letter"], (101.6, 50.8), 2, 5, 4.0, 12.7, 4.7),
    "letter-3x10": Grid(PAPERS["Letter"], (66.675, 25.4), 3, 10, 4.8, 12.7, 3.1),
}


@dataclass(frozen=True)
class Label:
    """What stands on one: a name, the address in the square, and its code for a hand."""

    name: str
    address: str
    code: str


def sheets(grid: Grid, labels: Sequence[Label], *, first: int, edges: bool) -> list[Markup]:
    """Each sheet as a drawing of its true size.

    first : the label of the first sheet to begin at; edges : drawn, to be cut out of plain paper
    """
    corners = list(grid.corners())
    placed = [None] * (first - 1) + list(labels)
    return [
        _sheet(grid, list(zip(corners, placed[k : k + grid.count], strict=False)), edges=edges)
        for k in range(0, len(placed), grid.count)
        if any(placed[k : k + grid.count])
    ]


def _sheet(
    grid: Grid, placed: Sequence[tuple[tuple[float, float], Label | None]], *, edges: bool
) -> Markup:
    width, height = grid.paper
    drawn = [
        Markup('<g transform="translate({:.2f} {:.2f})">{}</g>').format(
            x, y, _label(label, *grid.label, edges=edges)
        )
        for (x, y), label in placed
        if label is not None
    ]
    names = ", ".join(label.name for _, label in placed if label is not None)
    return Markup(
        '<svg class="labels" role="img" width="{0:g}mm" height="{1:g}mm"'
        ' viewBox="0 0 {0:g} {1:g}"><title>{2}</title>{3}</svg>'
    ).format(width, height, names, Markup("").join(drawn))


def _label(label: Label, width: float, height: float, *, edges: bool) -> Markup:
    """The square, and the name beside it or under it, whatever room there is."""
    free = min(MOST_EDGE_MM, EDGE * min(width, height))
    inner_width, inner_height = width - 2 * free, height - 2 * free
    beside = width >= BESIDE * height
    side = min(inner_height, 0.6 * inner_width) if beside else min(inner_width, 0.68 * inner_height)
    square = _square(label.address, side, free if beside else (width - side) / 2, free)
    if beside:
        words = _words(label, free + side, free, inner_width - side, inner_height)
    else:
        words = _words(label, free, free + side, inner_width, inner_height - side)
    edge = Markup('<rect class="edge" width="{:g}" height="{:g}"/>').format(width, height)
    return (edge if edges else Markup("")) + square + words


def _square(address: str, side: float, x: float, y: float) -> Markup:
    if not address:
        return Markup("")
    modules, path = qr.path(address)
    if side / modules < LEAST_MODULE_MM:
        least = f"{modules * LEAST_MODULE_MM + 2 * MOST_EDGE_MM:.0f} mm or more"
        raise InputError("height_mm", f"{side:.0f} mm", "too small for the square", least)
    return Markup(
        '<g transform="translate({0:.2f} {1:.2f}) scale({2:.5f})">'
        '<path class="light" d="M0 0h{3}v{3}h-{3}z"/><path class="dark" d="{4}"/></g>'
    ).format(x, y, side / modules, modules, path)


def _words(label: Label, x: float, y: float, width: float, height: float) -> Markup:
    """The name as large as it fits, and the code under it."""
    size, lines = fitted(label.name, width, height - LINE * CODE_MM)
    drawn, at = [], y + (height - LINE * (size * len(lines) + CODE_MM)) / 2
    for kind, text, high in (
        *(("name", one, size) for one in lines),
        ("hand", label.code, CODE_MM),
    ):
        at += LINE * high
        scale, room = high / TYPE, LETTER_WIDTH * high * len(text)
        squeezed = Markup(' textLength="{:.2f}" lengthAdjust="spacingAndGlyphs"')
        drawn.append(
            Markup(
                '<text class="{}" transform="translate({:.2f} {:.2f}) scale({:g})"{}>{}</text>'
            ).format(
                kind,
                x,
                at - 0.25 * high,
                scale,
                squeezed.format(width / scale) if room > width else "",
                text,
            )
        )
    return Markup("").join(drawn)


def fitted(text: str, width: float, height: float) -> tuple[float, list[str]]:
    """The largest type in which a text fits, and its lines; of one that never does so many lines
    as there is room for, the last one whole and squeezed."""
    for size in SIZES_MM:
        lines = _wrapped(text, width / (LETTER_WIDTH * size))
        fits = all(len(line) * LETTER_WIDTH * size <= width for line in lines)
        if fits and len(lines) * LINE * size <= height:
            return size, lines
    most = max(int(height / (LINE * SIZES_MM[-1])), 1)
    lines = _wrapped(text, width / (LETTER_WIDTH * SIZES_MM[-1]))
    rest = [" ".join(lines[most - 1 :])] if lines[most - 1 :] else []
    return SIZES_MM[-1], [*lines[: most - 1], *rest]


def _wrapped(text: str, letters: float) -> list[str]:
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and len(longer) > letters:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines
