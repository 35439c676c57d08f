"""The air of a place from the file of a logger: a row a reading, with its time, temperature and
perhaps its humidity, whatever stands above, beside and below them.

The heading says which column is what. What it does not say is asked: the unit of the temperature,
the clock of times without an offset, the order of day and month where either could be meant.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from models.errors import InputError
from service import region
from service.csv_rows import rows_of
from service.weather.csv_file import COLUMNS

HEADER = "a row of headings with a time and a temperature, as Date, Time, Temperature (C), RH (%)"
TEMPERATURE, HUMIDITY = re.compile(r"temp|^air", re.I), re.compile(r"humid|\brh\b|rh_pct", re.I)
TIME, DATE = re.compile(r"time|stamp|zeit|hour", re.I), re.compile(r"date|day", re.I)
NEVER = re.compile(r"dew|wet.?bulb|min|max|alarm|heat.?index", re.I)  # of other things than the air
FAHRENHEIT = re.compile(r"°\s*f\b|\bf\b|degf|fahr|_f\b", re.I)
CELSIUS = re.compile(r"°\s*c\b|\bc\b|degc|cels|_c\b", re.I)
SLASHED = re.compile(
    r"(\d{1,4})[/.-](\d{1,2})[/.-](\d{1,4})[ T,]+(\d{1,2}):(\d{2})(?::\d{2})?(?:\.\d+)?"
    r"\s*([ap]\.?m\.?)?",
    re.I,
)
NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?")
PARTERS = re.compile(r"[|~]")  # by which a form carries the rows on
EVERY = timedelta(hours=3)  # of what is kept: nights keep their low, and a month stays readable
MOST = 240  # so many readings are kept of one file, the newest
Row = tuple[str, str, str]  # time, temperature, humidity, as they stand in the file
TIME_FORM = "2026-10-14 18:00, 10/14/2026 6:00 PM or 14.10.2026 18:00"


@dataclass(frozen=True)
class Asked:
    """How the times and the temperatures of a file are to be read."""

    unit: str  # C | F
    zone: str
    month_first: bool


@dataclass(frozen=True)
class Logged:
    """One reading: the air [degC], its relative humidity [%] where it has one."""

    at: datetime
    air_C: float
    rh_pct: float | None


@dataclass(frozen=True)
class LoggerFile:
    """Its rows; unit : C | F | nothing where the heading does not say; zoned : whether every time
    has an offset."""

    rows: tuple[Row, ...]
    unit: str
    zoned: bool


def read(content: bytes, name: str) -> LoggerFile:
    """InputError where no row of headings, or no reading under it, is found."""
    text = _text(content)
    lines = text.splitlines()
    head = next((line for line in lines if _heads(line)), "")
    delimiter = max("\t;,", key=head.count)
    rows = [cells for _, cells in rows_of(PARTERS.sub("", text), delimiter, name, HEADER)]
    first = next((k for k, cells in enumerate(rows) if _columns(cells)), None)
    if first is None:
        raise InputError("file", name, "no headings of a time and a temperature", HEADER)
    columns = _columns(rows[first])
    assert columns is not None
    stamps, temperature, humidity = columns
    heading = rows[first][temperature]
    found = []
    for cells in rows[first + 1 :]:
        if len(cells) > max(*stamps, temperature):
            told = " ".join(cells[k] for k in stamps), cells[temperature]
            if _is_time(told[0]) and NUMBER.match(told[1]):
                wet = cells[humidity] if humidity is not None and humidity < len(cells) else ""
                found.append((*told, wet))
    if not found:
        raise InputError("file", name, "no row with a time and a number under the headings", HEADER)
    return LoggerFile(
        tuple(found),
        "F" if FAHRENHEIT.search(heading) else "C" if CELSIUS.search(heading) else "",
        all(_aware(stamp) for stamp, *_ in found),
    )


def month_first(rows: Sequence[Row]) -> bool | None:
    """Whether the month stands first, as far as some row shows it."""
    for stamp, *_ in rows:
        match = SLASHED.search(stamp)
        if match and len(match[1]) < 3 and int(match[1]) > 12:
            return False
        if match and len(match[1]) < 3 and int(match[2]) > 12:
            return True
    return None


def understood(rows: Iterable[Row], asked: Asked) -> list[Logged]:
    """The rows as readings, in their order; InputError names the first that is none."""
    return [_logged(*row, asked) for row in rows]


def thinned(logged: Sequence[Logged]) -> list[Logged]:
    """The first of every three hours, and of these the newest."""
    kept: dict[int, Logged] = {}
    for one in sorted(logged, key=lambda one: one.at):
        kept.setdefault(int(one.at.timestamp() // EVERY.total_seconds()), one)
    return list(kept.values())[-MOST:]


def _text(content: bytes) -> str:
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", "replace")  # degree signs of older programs


def _heads(line: str) -> bool:
    return any(_columns([cell.strip(' "') for cell in line.split(by)]) is not None for by in "\t;,")


def _columns(cells: Sequence[str]) -> tuple[tuple[int, ...], int, int | None] | None:
    """Columns of the time (or date and time), the temperature, the humidity; None: no heading."""
    air = [k for k, cell in enumerate(cells) if TEMPERATURE.search(cell) and not NEVER.search(cell)]
    times = [k for k, cell in enumerate(cells) if TIME.search(cell)]
    dates = [k for k, cell in enumerate(cells) if DATE.search(cell) and k not in times]
    if not air or not (times or dates):
        return None
    both = (dates[0], times[0]) if dates and times else ((times or dates)[0],)
    wet = [k for k, cell in enumerate(cells) if HUMIDITY.search(cell) and not NEVER.search(cell)]
    return both, air[0], wet[0] if wet else None


def _is_time(stamp: str) -> bool:
    return _aware(stamp) or SLASHED.search(stamp) is not None


def _aware(stamp: str) -> bool:
    try:
        return datetime.fromisoformat(stamp).tzinfo is not None
    except ValueError:
        return False


def _logged(stamp: str, air: str, wet: str, asked: Asked) -> Logged:
    at = _instant(stamp, asked)
    value = float(NUMBER.match(air)[0].replace(",", "."))  # type: ignore[index]
    air_C = (value - 32.0) / 1.8 if asked.unit == "F" else value
    low, high, _ = COLUMNS["air_C"]
    if not low <= air_C <= high:
        shown = f"{value:g} {asked.unit} at {stamp}"
        raise InputError("temperature", shown, "no air is like that", f"{low:g} to {high:g} C")
    match = NUMBER.match(wet)
    rh_pct = None if match is None else float(match[0].replace(",", "."))
    least, most, _ = COLUMNS["rh_pct"]
    return Logged(at, air_C, rh_pct if rh_pct is not None and least <= rh_pct <= most else None)


def _instant(stamp: str, asked: Asked) -> datetime:
    if _aware(stamp):
        return datetime.fromisoformat(stamp)
    match = SLASHED.search(stamp)
    if match is None:
        raise InputError("time", stamp, "not a time", TIME_FORM)
    a, b, c = (int(part) for part in match.groups()[:3])
    if len(match[1]) > 2:
        year, month, day = a, b, c
    else:
        month, day = (a, b) if asked.month_first else (b, a)
        year = c + 2000 if c < 100 else c
    half = (match[6] or "").lower().replace(".", "")
    hour = int(match[4]) % 12 + 12 * (half == "pm") if half else int(match[4])
    zone = region.known_zone("zone", asked.zone)
    try:  # of an hour that comes twice the later one, as everywhere
        return datetime(year, month, day, hour, int(match[5]), tzinfo=zone, fold=1)
    except ValueError:
        raise InputError("time", stamp, "not a time", TIME_FORM) from None
