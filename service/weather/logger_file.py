"""The air of a place from the file of a logger: a row a reading, with its time, temperature and
perhaps its humidity.

How it is to be read is guessed, shown, corrected by whoever knows, and remembered under the name of
the logger. A row that cannot be read is told with its line, never dropped in silence.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta, timezone

from models.errors import InputError
from models.units import one_of
from service.weather import logger_clock, logger_table
from service.weather.csv_file import COLUMNS
from service.weather.logger_table import DELIMITERS, Table

FAHRENHEIT = re.compile(r"°\s*f\b|\bf\b|degf|fahr|_f\b", re.I)
CELSIUS = re.compile(r"°\s*c\b|\bc\b|degc|cels|_c\b", re.I)
SLASHED = re.compile(
    r"(\d{1,4})[/.-](\d{1,2})[/.-](\d{1,4})[ T,]+(\d{1,2}):(\d{2})(?::\d{2})?(?:[.,]\d+)?"
    r"\s*([ap]\.?m\.?)?",
    re.I,
)
OFFSET = re.compile(r"\s*(?:Z|(?:UTC|GMT)?\s*(?:([+\u2212-])(\d\d?)(?::?([0-5]\d))?)?)\s*", re.I)
DECIMALS = {".": "8.5", ",": "8,5"}
EMPTY = re.compile(r"[-–.\s]*|n/?a|nan|null|none", re.I)  # a cell of a sensor that was silent
EVERY = timedelta(hours=3)  # of what is kept beside the lows: a month stays readable
MOST = 240  # so many times three hours are kept of one file, the newest
UNREAD, FEW = 10, 3  # one row in ten, or a few, may be no reading; of more it is read wrongly
TIME_FORM = (
    "2026-10-14 18:00, 10/14/2026 6:00 PM or 14.10.2026 18:00, after it nothing, Z, UTC or -05:00"
)


@dataclass(frozen=True)
class Layout:
    """How a file is read. Columns by their headings; `date_column` empty: the time holds the date;
    `wet_column` empty: no humidity. unit : C | F | nothing where neither heading nor cells say."""

    delimiter: str
    decimal: str
    date_column: str
    time_column: str
    air_column: str
    wet_column: str
    unit: str
    zone: str
    month_first: bool

    def checked(self) -> "Layout":
        """InputError where a value is none of those there are."""
        one_of("delimiter", self.delimiter, list(DELIMITERS))
        one_of("decimal", self.decimal, list(DECIMALS))
        one_of("unit", self.unit, ("C", "F"))
        logger_clock.zone_of(self.zone)
        return self


@dataclass(frozen=True)
class Logged:
    """One reading: the air [degC], its relative humidity [%] where it has one."""

    at: datetime
    air_C: float
    rh_pct: float | None


@dataclass(frozen=True)
class LoggerFile:
    """Its readings; what could not be read, by line; rows in which the sensor was silent.

    zoned : whether every time has an offset of its own
    """

    readings: tuple[Logged, ...]
    unread: tuple[InputError, ...]
    silent: int
    zoned: bool


@dataclass(frozen=True)
class _Stamp:
    """The time of a row as it stands there: an instant, or what the wall clock showed."""

    at: datetime | None = None
    wall: datetime | None = None


def guessed(table: Table, zone: str, unit: str, month_first: bool) -> tuple[Layout, set[str]]:
    """How the file may be read, and which of that nothing in it says: unit | order | zone.

    zone, unit, month_first : what is usual where it is read
    """
    columns = logger_table.guessed(table)
    air, wet = table.column(columns.air), columns.wet
    cells = (row[air] for _, row in table.rows if len(row) > air)
    decimal = "," if any(re.search(r"\d,\d", one) for one in cells) else "."
    said = "F" if FAHRENHEIT.search(columns.air) else "C" if CELSIUS.search(columns.air) else ""
    layout = Layout(
        table.delimiter,
        decimal,
        columns.date,
        columns.time,
        columns.air,
        wet,
        said or unit,
        zone,
        month_first,
    )
    stamps = [_time(table, layout, cells) for _, cells in table.rows]
    sure = _month_first(stamps)
    layout = replace(layout, month_first=month_first if sure is None else sure)
    walls = _walls(table, layout)
    if walls:
        layout = replace(layout, zone=logger_clock.guessed(walls, zone))
    slashed = any(_is_slashed(one) for one in stamps)
    unsaid = {"unit": not said, "order": slashed and sure is None, "zone": bool(walls)}
    return layout, {name for name, open in unsaid.items() if open}


def zones(table: Table, layout: Layout, *more: str) -> list[str]:
    """Clocks that it may have run on, the one that is chosen first."""
    walls = _walls(table, layout)
    known = [one for one in (layout.zone, *more) if one]
    fixed = [
        logger_clock.never_changed(end, zone)
        for zone in known
        if not logger_clock.FIXED.fullmatch(zone)
        for end in (walls[:1], walls[-1:])
        if end
    ]
    return list(dict.fromkeys((*known, "UTC", *fixed)))


def read(table: Table, layout: Layout) -> LoggerFile:
    """InputError where a column is not there, or more than one row in ten cannot be read; it names
    the first of them."""
    layout.checked()
    air = table.column(layout.air_column)
    wet = table.column(layout.wet_column) if layout.wet_column else None
    unread: list[InputError] = []
    rows: list[tuple[int, str, _Stamp, float, str]] = []
    silent = 0
    for line, cells in table.rows:
        text = _time(table, layout, cells)
        value = cells[air] if len(cells) > air else ""
        try:
            stamp = _stamp(text, layout)
            if stamp is None:
                raise InputError(f"line {line}, time", text[:40], "not a time", TIME_FORM)
            if EMPTY.fullmatch(value):
                silent += 1
                continue
            air_C = _air(line, value, layout)
        except InputError as error:
            unread.append(error)
            continue
        humidity = cells[wet] if wet is not None and len(cells) > wet else ""
        rows.append((line, text, stamp, air_C, humidity))
    placed = _placed([stamp for _, _, stamp, _, _ in rows], layout.zone)
    found = []
    for (line, text, _, air_C, humidity), at in zip(rows, placed, strict=True):
        if at is None:
            wrong = f"left out by the clocks of {layout.zone} that night"
            allowed = "another zone, or a clock that was not changed, as UTC-06:00"
            unread.append(InputError(f"line {line}, time", text, wrong, allowed))
        else:
            found.append(Logged(at, air_C, _humidity(humidity, layout)))
    if unread and (not found or len(unread) > max(FEW, (len(unread) + len(found)) / UNREAD)):
        raise unread[0]
    if not found:
        wrong = "no row with a time and a number under the headings"
        raise InputError("file", layout.air_column, wrong, logger_table.HEADER)
    zoned = all(stamp.wall is None for _, _, stamp, _, _ in rows)
    return LoggerFile(tuple(found), tuple(unread), silent, zoned)


def thinned(logged: Sequence[Logged]) -> list[Logged]:
    """The first and the coldest of every three hours, and of these hours the newest."""
    spans: dict[int, list[Logged]] = {}
    for one in sorted(logged, key=lambda one: one.at):
        spans.setdefault(int(one.at.timestamp() // EVERY.total_seconds()), []).append(one)
    kept: list[Logged] = []
    for span in list(spans.values())[-MOST:]:
        coldest = min(span, key=lambda one: one.air_C)
        kept += [span[0]] if coldest is span[0] else [span[0], coldest]
    return kept


def _time(table: Table, layout: Layout, cells: Sequence[str]) -> str:
    """The text of the time of a row, as far as the row goes."""
    at = [table.column(one) for one in (layout.date_column, layout.time_column) if one]
    return " ".join(cells[k] for k in at if k < len(cells)).strip()


def _walls(table: Table, layout: Layout) -> list[datetime]:
    """What its clock showed, row by row, where it tells no offset."""
    told = (_stamp(_time(table, layout, cells), layout) for _, cells in table.rows)
    return [one.wall for one in told if one is not None and one.wall is not None]


def _month_first(stamps: Iterable[str]) -> bool | None:
    """Whether the month stands first, as far as some row shows it."""
    for stamp in stamps:
        match = SLASHED.search(stamp)
        if match and len(match[1]) < 3 and int(match[1]) > 12:
            return False
        if match and len(match[1]) < 3 and int(match[2]) > 12:
            return True
    return None


def _is_slashed(stamp: str) -> bool:
    match = SLASHED.search(stamp)
    return match is not None and len(match[1]) < 3


def _stamp(text: str, layout: Layout) -> _Stamp | None:
    """None where it is no time."""
    try:
        told = datetime.fromisoformat(text)
    except ValueError:
        return _spelled(text, layout)
    if told.tzinfo is not None:
        return _Stamp(at=told.astimezone(UTC))
    return _Stamp(wall=told) if ":" in text else None  # a day alone is no time


def _spelled(text: str, layout: Layout) -> _Stamp | None:
    """None, too, where something else than an offset stands after it: it may name a zone."""
    match = SLASHED.search(text)
    after = OFFSET.fullmatch(text, match.end()) if match is not None else None
    wall = _wall(match, layout) if match is not None else None
    if match is None or wall is None or after is None:
        return None
    if not after[0].strip():
        return _Stamp(wall=wall)
    offset = timedelta(hours=int(after[2] or 0), minutes=int(after[3] or 0))
    if offset > logger_clock.FARTHEST:
        return None
    zone = timezone(offset if after[1] in (None, "+") else -offset)
    return _Stamp(at=wall.replace(tzinfo=zone).astimezone(UTC))


def _wall(match: re.Match[str], layout: Layout) -> datetime | None:
    a, b, c = (int(part) for part in match.groups()[:3])
    if len(match[1]) > 2:
        year, month, day = a, b, c
    else:
        month, day = (a, b) if layout.month_first else (b, a)
        year = c + 2000 if c < 100 else c
    half = (match[6] or "").lower().replace(".", "")
    hour = int(match[4]) % 12 + 12 * (half == "pm") if half else int(match[4])
    try:
        return datetime(year, month, day, hour, int(match[5]))  # noqa: DTZ001 - of a wall clock
    except ValueError:
        return None


def _placed(stamps: Sequence[_Stamp], zone: str) -> list[datetime | None]:
    """Instants of all, in their order."""
    walls = [one.wall for one in stamps if one.wall is not None]
    found = iter(logger_clock.instants(walls, zone))
    return [one.at if one.wall is None else next(found) for one in stamps]


def _number(text: str, decimal: str) -> re.Match[str] | None:
    sign = re.escape(decimal)
    return re.fullmatch(rf"([+-]?\d+(?:{sign}\d+)?)\s*°?\s*([CF%]?)\s*(?:RH)?", text.strip(), re.I)


def _air(line: int, text: str, layout: Layout) -> float:
    match = _number(text, layout.decimal)
    if match is None:
        allowed = f"a number, as {DECIMALS[layout.decimal]}, or another column or decimal sign"
        raise InputError(f"line {line}, {layout.air_column}", text[:40], "not a number", allowed)
    value = float(match[1].replace(",", "."))
    unit = match[2].upper() or layout.unit
    air_C = (value - 32.0) / 1.8 if unit == "F" else value
    low, high, _ = COLUMNS["air_C"]
    if not low <= air_C <= high:
        shown = f"{value:g} {unit}"
        raise InputError(
            f"line {line}, {layout.air_column}",
            shown,
            "no air is like that",
            f"{low:g} to {high:g} C",
        )
    return air_C


def _humidity(text: str, layout: Layout) -> float | None:
    """None where there is none, or one that no air has: it is not asked for."""
    match = _number(text, layout.decimal)
    least, most, _ = COLUMNS["rh_pct"]
    rh_pct = None if match is None else float(match[1].replace(",", "."))
    return rh_pct if rh_pct is not None and least <= rh_pct <= most else None
