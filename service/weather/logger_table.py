"""The table in the file of a logger: where it begins, what parts its columns, what they are called.

Whatever stands above, beside and below it is left where it is.
"""

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from models.errors import InputError
from service.csv_rows import rows_of

DELIMITERS = {";": "semicolons", "\t": "tabs", ",": "commas", "|": "strokes"}
HEADER = "a row of headings with a time and a temperature, as Date, Time, Temperature (C), RH (%)"
TEMPERATURE = re.compile(r"temp|^air\b|^air_|°\s*[CF]\b|\bt\s*[(\[]", re.I)
HUMIDITY = re.compile(r"humid|humedad|feucht|\brh\b|rh_pct|\br\.?\s?h\.?\b", re.I)
TIME, DATE = (
    re.compile(r"time|stamp|zeit|hour|heure|hora\b", re.I),
    re.compile(r"dat[eu]m?|day", re.I),
)
NEVER = re.compile(r"dew|wet.?bulb|tau|min\b|max\b|minim|maxim|alarm|heat.?index", re.I)
LOOKED_AT = 200  # rows from the top
BOMS = {b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"}
_CLOCK = re.compile(r"\d{1,2}:\d{2}")
_NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?\b")


@dataclass(frozen=True)
class Table:
    """Its headings, each only once, and its rows with the line of the file where each ends."""

    delimiter: str
    headings: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]

    def column(self, heading: str) -> int:
        """InputError where no column is called so."""
        if heading not in self.headings:
            allowed = " | ".join(self.headings)[:200]
            raise InputError("column", heading, "the file has no such column", allowed)
        return self.headings.index(heading)


@dataclass(frozen=True)
class Columns:
    """Headings of the date (where it stands apart), the time, the air and the humidity."""

    date: str
    time: str
    air: str
    wet: str


def read(content: bytes, name: str, delimiter: str = "") -> Table:
    """InputError where no row holds a time and a number.

    delimiter : empty: the one under which headings are found, else the one that is met most
    """
    text = _text(content)
    by = delimiter or _delimiter(text)
    found = [(line, tuple(cells)) for line, cells in rows_of(text, by, name, HEADER)]
    top = [cells for _, cells in found[:LOOKED_AT]]
    head = next((k for k, cells in enumerate(top) if columns(cells) is not None), None)
    if head is None:
        first = next((k for k, cells in enumerate(top) if _is_data(cells)), None)
        if first is None:
            shown = by.join(top[0])[:60] if top else None
            line = f"line {found[0][0]}, row" if found else "file"
            raise InputError(line, shown, "no headings of a time and a temperature", HEADER)
        head = first - 1
    titles = found[head][1] if head >= 0 else ()
    rows = tuple(found[head + 1 :])
    if not rows:
        raise InputError("file", name, "no row with a time and a number under the headings", HEADER)
    if by == "," and titles:
        _refuse_wider(rows, len(titles))
    return Table(by, _each_once(titles, max(len(cells) for _, cells in rows)), rows)


def _refuse_wider(rows: Sequence[tuple[int, tuple[str, ...]]], width: int) -> None:
    """A number cut in two would be read as another: -0,9 as nothing."""
    wide = [(line, cells) for line, cells in rows if any(cells[width:])]
    if 2 * len(wide) > len(rows):
        line, cells = wide[0]
        wrong = "more cells than headings: do commas stand in its numbers or dates, too?"
        allowed = "columns parted by another sign, or such cells in quotes"
        raise InputError(f"line {line}, row", ",".join(cells)[:60], wrong, allowed)


def columns(titles: Sequence[str]) -> Columns | None:
    """What the headings call time, temperature and humidity; None: these are no headings."""
    air = [one for one in titles if TEMPERATURE.search(one) and not NEVER.search(one)]
    times = [one for one in titles if TIME.search(one)]
    dates = [one for one in titles if DATE.search(one) and one not in times]
    if not air or not (times or dates) or _is_data(titles):
        return None
    wet = [one for one in titles if HUMIDITY.search(one) and not NEVER.search(one)]
    both = (dates[0], times[0]) if dates and times else ("", (times or dates)[0])
    return Columns(*both, air[0], wet[0] if wet else "")


def guessed(table: Table) -> Columns:
    """The same of a whole table, by what stands in its columns where they are not called so."""
    told = columns(table.headings)
    if told is not None:
        return told
    sample = [cells for _, cells in table.rows[:LOOKED_AT]]
    clocks = [k for k in range(len(table.headings)) if _mostly(_CLOCK, sample, k)]
    numbers = [
        k for k in range(len(table.headings)) if k not in clocks and _mostly(_NUMBER, sample, k)
    ]
    broken = [
        k for k in numbers if any(re.search(r"\d[.,]\d", row[k]) for row in sample if len(row) > k)
    ]
    time = table.headings[clocks[0]] if clocks else table.headings[0]
    air = (broken or numbers or [len(table.headings) - 1])[0]
    return Columns("", time, table.headings[air], "")


def _text(content: bytes) -> str:
    try:
        return content.decode(BOMS.get(content[:2], "utf-8-sig"))
    except UnicodeDecodeError:
        return content.decode("cp1252", "replace")  # degree signs of older programs


def _delimiter(text: str) -> str:
    lines = text.splitlines()[:LOOKED_AT]
    for line in lines:
        fits = [by for by in DELIMITERS if columns([one.strip(' "') for one in line.split(by)])]
        if fits:
            return max(fits, key=line.count)
    counts = Counter({by: sum(by in line for line in lines) for by in DELIMITERS})
    return counts.most_common(1)[0][0] if lines else ","


def _each_once(titles: Sequence[str], width: int) -> tuple[str, ...]:
    found: list[str] = []
    for k in range(max(width, len(titles))):
        title = titles[k] if k < len(titles) and titles[k] else f"column {k + 1}"
        found.append(title if title not in found else f"{title} ({k + 1})")
    return tuple(found)


def _is_data(cells: Sequence[str]) -> bool:
    """Whether it holds a time of day and a number."""
    timed = any(_CLOCK.search(one) for one in cells)
    return timed and any(_NUMBER.match(one) and not _CLOCK.search(one) for one in cells)


def _mostly(wanted: re.Pattern[str], rows: Sequence[Sequence[str]], k: int) -> bool:
    met = sum(len(cells) > k and wanted.search(cells[k]) is not None for cells in rows)
    return 2 * met > len(rows)
