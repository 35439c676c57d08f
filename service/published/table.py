"""The register as a table: for a terminal, for Markdown, as JSON."""

import math
from collections import Counter
from collections.abc import Iterable, Sequence

from service.published import CHECKS
from service.published.bibliography import BIBLIOGRAPHY
from service.published.check import STATUSES, Check, Compared

HEADINGS = ("source", "quantity", "published", "ours", "difference", "tolerance", "status")
RIGHT = frozenset(("published", "ours", "difference"))
OUTSIDE = "OUTSIDE"


def compared(checks: Iterable[Check] = CHECKS) -> tuple[Compared, ...]:
    """Every row with the program's value."""
    return tuple(check.compare() for check in checks)


def as_text(rows: Sequence[Compared]) -> str:
    """Columns for a terminal and a last line with the counts by status."""
    cells = [HEADINGS, *(_cells(row) for row in rows)]
    widths = [max(len(line[k]) for line in cells) for k in range(len(HEADINGS))]
    lines = [
        "  ".join(
            cell.rjust(width) if name in RIGHT else cell.ljust(width)
            for name, cell, width in zip(HEADINGS, line, widths, strict=True)
        ).rstrip()
        for line in cells
    ]
    return "\n".join([*lines, "", summary(rows)])


def as_markdown(rows: Sequence[Compared]) -> str:
    """A Markdown table, the counts by status, and what the keys stand for."""
    rule = ["---:" if name in RIGHT else "---" for name in HEADINGS]
    lines = [_line(HEADINGS), _line(rule), *(_line(_cells(row)) for row in rows)]
    keys = [
        f"- {key}: {_escaped('; '.join(part for part in (source.title, source.where) if part))}"
        for key in dict.fromkeys(row.check.source for row in rows)
        for source in (BIBLIOGRAPHY[key],)
    ]
    return "\n".join(["# Published values and ours", "", *lines, "", *keys, "", summary(rows)])


def as_json(rows: Sequence[Compared]) -> dict[str, object]:
    """Plain values; a value that is no number is null."""
    return {
        "rows": [
            {
                "source": row.check.source,
                "title": BIBLIOGRAPHY[row.check.source].title,
                "where": row.check.where,
                "quantity": row.check.quantity,
                "unit": row.check.unit,
                "published": row.check.published,
                "ours": _finite(row.ours),
                "difference": _finite(row.difference),
                "tolerance": row.check.tolerance,
                "status": row.check.status,
                "within": row.holds,
            }
            for row in rows
        ],
        "by_status": _by_status(rows),
        "outside": sum(not row.holds for row in rows),
    }


def summary(rows: Sequence[Compared]) -> str:
    """Counts by status, and how many rows are outside their tolerance."""
    counts = ", ".join(f"{status} {count}" for status, count in _by_status(rows).items())
    files = len({row.check.source for row in rows})
    outside = sum(not row.holds for row in rows)
    verdict = f"{outside} outside" if outside else "all within"
    return f"{len(rows)} rows, {files} sources: {counts}; {verdict} tolerance"


def _by_status(rows: Sequence[Compared]) -> dict[str, int]:
    counts = Counter(row.check.status for row in rows)
    return {status: counts[status] for status in STATUSES if counts[status]}


def _cells(row: Compared) -> tuple[str, ...]:
    check = row.check
    unit = "" if check.unit == "-" else f" {check.unit}"
    return (
        check.source,
        check.quantity,
        f"{check.published:.7g}{unit}",
        _number(row.ours, check),
        _number(row.difference, check, sign=True),
        check.tolerance,
        check.status if row.holds else f"{check.status}, {OUTSIDE}",
    )


def _number(value: float, check: Check, sign: bool = False) -> str:
    """One digit more than the tolerance shows, at least as many as tell the value apart from 0."""
    if not math.isfinite(value):
        return "no value"
    finest = check.allowed or max(abs(check.published), 1e-6) / 1e3
    decimals = min(max(0, 1 - math.floor(math.log10(finest))), 8)
    text = f"{value:{'+' if sign else ''}.{decimals}f}"
    return text.replace("-", "") if float(text) == 0.0 and not sign else text


def _line(cells: Sequence[str]) -> str:
    return "| " + " | ".join(_escaped(cell) for cell in cells) + " |"


def _escaped(text: str) -> str:
    return text.replace("|", "\\|").replace("*", "\\*").replace("<", "&lt;")


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None
