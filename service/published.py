"""The register: values that others have printed beside ours, as the tests wrote them down.

Its rows are data (published.json); the calls that give ours live in the tests, which hold the file
current. Here it becomes a table: for a terminal, for Markdown, as JSON. Beside it stand the
constants of models/facts, each with how it is known.
"""

import json
import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources import files

STATUSES = (
    "page",
    "second-hand",
    "library",
    "open data",
    "fit",
    "mathematics",
    "own judgement",
    "from memory",
    "common practice",
)
EXACT = "exact"
FROM_MEMORY = "from memory"
HEADINGS = ("source", "quantity", "published", "ours", "difference", "tolerance", "status")
RIGHT = frozenset(("published", "ours", "difference"))
OUTSIDE = "OUTSIDE"


@dataclass(frozen=True)
class Row:
    """A printed value and ours.

    source : key of the bibliography; title, place : the source and where it is found
    where : place in it, and what is arithmetic on it
    published, ours : both in `unit`; ours is NaN where the program gave no number
    tolerance : "0.05" in `unit`, "0.5 %" of the published value, or "exact"
    status : how the printed value is known, one of STATUSES
    """

    source: str
    title: str
    place: str
    where: str
    quantity: str
    unit: str
    published: float
    ours: float
    tolerance: str
    status: str

    @property
    def allowed(self) -> float:
        return allowed(self.tolerance, self.published)

    @property
    def difference(self) -> float:
        return self.ours - self.published

    @property
    def holds(self) -> bool:
        """Whether the difference is within the tolerance; a value that is no number is not."""
        return abs(self.difference) <= self.allowed


def allowed(tolerance: str, published: float) -> float:
    """The largest difference that counts as agreement; NaN where `tolerance` says none."""
    if tolerance == EXACT:
        return 0.0
    number, percent, rest = tolerance.partition(" %")
    try:
        value = float(number)
    except ValueError:
        return math.nan
    if rest:
        return math.nan
    return value / 100 * abs(published) if percent else value


def rows() -> tuple[Row, ...]:
    """Every row of the register."""
    register = json.loads((files("service") / "published.json").read_text(encoding="utf-8"))
    return tuple(
        Row(
            **one | {"ours": math.nan if one["ours"] is None else one["ours"]},
            title=title,
            place=place,
        )
        for one in register["rows"]
        for title, place in (register["sources"][one["source"]],)
    )


@dataclass(frozen=True)
class Fact:
    """A constant of models/facts by file and name; kind how it is known, sources its keys."""

    name: str
    kind: str
    sources: str


def facts() -> tuple[Fact, ...]:
    """Every constant of models/facts."""
    register = json.loads((files("service") / "published.json").read_text(encoding="utf-8"))
    return tuple(Fact(*one) for one in register["facts"])


def of_facts(told: Sequence[Fact]) -> list[str]:
    """Lines: how many constants are known in which way, and those that are from memory."""
    counts = ", ".join(
        f"{kind} {count}" for kind, count in Counter(f.kind for f in told).most_common()
    )
    lines = [f"{len(told)} constants of models/facts: {counts}"]
    for one in told:
        if one.kind == FROM_MEMORY:
            lines.append(f"{FROM_MEMORY}  {one.name}  {one.sources}".rstrip())
    return lines


def as_text(rows: Sequence[Row]) -> str:
    """Columns for a terminal, the constants from memory, last a line with the counts by status."""
    cells = [HEADINGS, *(_cells(row) for row in rows)]
    widths = [max(len(line[k]) for line in cells) for k in range(len(HEADINGS))]
    lines = [
        "  ".join(
            cell.rjust(width) if name in RIGHT else cell.ljust(width)
            for name, cell, width in zip(HEADINGS, line, widths, strict=True)
        ).rstrip()
        for line in cells
    ]
    return "\n".join([*lines, "", *of_facts(facts()), "", summary(rows)])


def as_markdown(rows: Sequence[Row]) -> str:
    """A Markdown table, the counts by status, and what the keys stand for."""
    rule = ["---:" if name in RIGHT else "---" for name in HEADINGS]
    lines = [_line(HEADINGS), _line(rule), *(_line(_cells(row)) for row in rows)]
    keys = [
        f"- {key}: {_escaped('; '.join(part for part in named if part))}"
        for key, named in {row.source: (row.title, row.place) for row in rows}.items()
    ]
    known = [f"- {_escaped(line)}" for line in of_facts(facts())]
    return "\n".join(
        ["# Published values and ours", "", *lines, "", *keys, "", *known, "", summary(rows)]
    )


def as_json(rows: Sequence[Row]) -> dict[str, object]:
    """Plain values; a value that is no number is null."""
    known = facts()
    return {
        "rows": [
            {
                **vars(row),
                "ours": _finite(row.ours),
                "difference": _finite(row.difference),
                "within": row.holds,
            }
            for row in rows
        ],
        "by_status": _by_status(rows),
        "facts": [vars(one) for one in known],
        "facts_by_kind": dict(Counter(one.kind for one in known).most_common()),
        "outside": sum(not row.holds for row in rows),
    }


def summary(rows: Sequence[Row]) -> str:
    """Counts by status, and how many rows are outside their tolerance."""
    counts = ", ".join(f"{status} {count}" for status, count in _by_status(rows).items())
    files = len({row.source for row in rows})
    outside = sum(not row.holds for row in rows)
    verdict = f"{outside} outside" if outside else "all within"
    return f"{len(rows)} rows, {files} sources: {counts}; {verdict} tolerance"


def _by_status(rows: Sequence[Row]) -> dict[str, int]:
    counts = Counter(row.status for row in rows)
    return {status: counts[status] for status in STATUSES if counts[status]}


def _cells(row: Row) -> tuple[str, ...]:
    unit = "" if row.unit == "-" else f" {row.unit}"
    return (
        row.source,
        row.quantity,
        f"{row.published:.7g}{unit}",
        _number(row.ours, row),
        _number(row.difference, row, sign=True),
        row.tolerance,
        row.status if row.holds else f"{row.status}, {OUTSIDE}",
    )


def _number(value: float, row: Row, sign: bool = False) -> str:
    """One digit more than the tolerance shows, at least as many as tell the value apart from 0."""
    if not math.isfinite(value):
        return "no value"
    finest = row.allowed or max(abs(row.published), 1e-6) / 1e3
    decimals = min(max(0, 1 - math.floor(math.log10(finest))), 8)
    text = f"{value:{'+' if sign else ''}.{decimals}f}"
    return text.replace("-", "") if float(text) == 0.0 and not sign else text


def _line(cells: Sequence[str]) -> str:
    return "| " + " | ".join(_escaped(cell) for cell in cells) + " |"


def _escaped(text: str) -> str:
    return text.replace("|", "\\|").replace("*", "\\*").replace("<", "&lt;")


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None
