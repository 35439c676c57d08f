"""One table of a TOML file, read key by key; a refusal names file, key, and what is allowed."""

import difflib
import tomllib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import time
from pathlib import Path
from typing import Any, TypeVar

from models import quantity
from models.errors import InputError
from models.facts.conversions import DIMENSIONS
from models.instants import INSTANT_EXAMPLE, instant
from service.input_file import text_of
from service.region import known_zone

LARGEST_BYTES = 1_000_000

Made = TypeVar("Made")
Keys = dict[str, str]  # key -> a dimension of models.quantity, or a reader of READERS


def parsed(path: Path) -> "Table":
    """The whole file as a table; syntax errors name the line."""
    where = path.name
    text = text_of(path, where, f"at most {LARGEST_BYTES} bytes, a text in UTF-8", LARGEST_BYTES)
    try:
        return Table(tomllib.loads(text), where, "")
    except RecursionError:
        raise InputError("file", where, "nested too deeply", "tables and rows", where) from None
    except ValueError as error:  # TOMLDecodeError, and numbers of thousands of digits
        raise _syntax(str(error), text, where) from None


class Table:
    """Raw values, the dotted path of the table, and the name of the file."""

    def __init__(self, raw: dict[str, Any], where: str, path: str) -> None:
        self.raw, self.where, self.path = raw, where, path

    def refusal(self, name: str, value: object, wrong: str, allowed: str) -> InputError:
        key = f"{self.path}.{name}" if self.path else name
        return InputError(key, value, wrong, allowed, self.where)

    @contextmanager
    def placed(self, renamed: dict[str, str] | None = None) -> Iterator[None]:
        """Errors raised inside, put under this table and into this file unless they are already."""
        try:
            yield
        except InputError as error:
            if error.where:
                raise
            name = (renamed or {}).get(error.field, error.field)
            raise self.refusal(name, error.value, error.wrong, error.allowed) from None

    def table(self, name: str, *, needed: bool = False) -> "Table":
        path = f"{self.path}.{name}" if self.path else name
        raw = self.raw.get(name)
        if raw is None and needed:
            raise self.refusal(name, None, "the table is missing", f"[{path}] and keys under it")
        if raw is not None and not isinstance(raw, dict):
            raise self.refusal(name, raw, "not a table", f"[{path}] and keys under it")
        return Table(raw or {}, self.where, path)

    def rows(self, name: str) -> "list[Table]":
        path = f"{self.path}.{name}" if self.path else name
        raw = self.raw.get(name, [])
        if not isinstance(raw, list) or not all(isinstance(row, dict) for row in raw):
            raise self.refusal(name, raw, "not a list of tables", f"[[{path}]] and keys under it")
        return [Table(row, self.where, f"{path}[{k}]") for k, row in enumerate(raw)]

    def values(
        self, keys: Keys, *, tables: tuple[str, ...] = (), needed: tuple[str, ...] = ()
    ) -> dict[str, Any]:
        """Every key through its reader; unknown and missing keys are refused."""
        known = (*keys, *tables)
        for name, value in self.raw.items():
            if name not in known:
                near = difflib.get_close_matches(name, known, n=1)
                first = f"{near[0]} perhaps; " if near else ""
                raise self.refusal(
                    name, value, "not a known key", f"{first}one of {' | '.join(known)}"
                )
        for name in needed:
            if name not in self.raw:
                raise self.refusal(name, None, "is missing", _example(keys[name]))
        with self.placed():
            return {
                name: _value(name, self.raw[name], kind)
                for name, kind in keys.items()
                if name in self.raw
            }

    def build(
        self,
        make: Callable[..., Made],
        keys: Keys,
        *,
        tables: tuple[str, ...] = (),
        needed: tuple[str, ...] = (),
        **more: Any,
    ) -> Made:
        """`make` called with the values of this table and `more`."""
        values = self.values(keys, tables=tables, needed=needed)
        with self.placed():
            return make(**values, **more)


def _value(name: str, value: object, kind: str) -> Any:
    if kind in READERS:
        return READERS[kind][0](name, value)
    return quantity.read(name, value, kind)


def _example(kind: str) -> str:
    return READERS[kind][1] if kind in READERS else DIMENSIONS[kind].examples


def _word(name: str, value: object) -> str:
    fits = isinstance(value, str) and value.strip() and len(value) <= 200
    if not isinstance(value, str) or not fits or not value.isprintable():
        raise InputError(name, value, "not a text of 1 to 200 characters", READERS["word"][1])
    return value


def _words(name: str, value: object) -> tuple[str, ...]:
    if not isinstance(value, list):
        raise InputError(name, value, "not a list of words", READERS["words"][1])
    return tuple(_word(f"{name}[{k}]", one) for k, one in enumerate(value))


def _zone(name: str, value: object) -> str:
    return known_zone(name, _word(name, value)).key


def _yes_or_no(name: str, value: object) -> bool:
    if not isinstance(value, bool):
        raise InputError(name, value, "neither true nor false", READERS["yes or no"][1])
    return value


def _whole_number(name: str, value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise InputError(name, value, "not a whole number", READERS["whole number"][1])
    return value


def _temperatures(name: str, value: object) -> tuple[float, ...]:
    values = value if isinstance(value, list) else [value]
    return tuple(
        quantity.read(f"{name}[{k}]" if value is values else name, one, "temperature_C")
        for k, one in enumerate(values)
    )


def _hours(name: str, value: object) -> tuple[time, time]:
    """Two clock times of a day, begin and end."""
    if isinstance(value, list) and len(value) == 2:
        begin, end = (_clock(one) for one in value)
        if begin is not None and end is not None and begin != end:
            return begin, end
    raise InputError(name, value, "not two times of the day", READERS["hours"][1])


def _clock(value: object) -> time | None:
    if isinstance(value, str):
        try:
            value = time.fromisoformat(value)
        except ValueError:
            return None
    return value if isinstance(value, time) and value.tzinfo is None else None


READERS: dict[str, tuple[Callable[[str, object], Any], str]] = {
    "word": (_word, "a word in quotes"),
    "words": (_words, 'a list of words in quotes, as ["shade", "fog"]'),
    "zone": (_zone, "an IANA name, as America/Chicago"),
    "yes or no": (_yes_or_no, "true or false"),
    "whole number": (_whole_number, "a whole number, as 2"),
    "instant": (instant, INSTANT_EXAMPLE),
    "temperatures": (_temperatures, "a temperature, as 12.5 or '55 F', or [low, high]"),
    "hours": (_hours, 'two times as ["07:00", "21:00"]'),
}


def _syntax(message: str, text: str, where: str) -> InputError:
    line = message.rpartition("(at line ")[2].partition(",")[0]
    wrong = message.partition(" (at ")[0].lower()
    rows = text.splitlines()
    shown = rows[int(line) - 1].strip() if line.isdigit() and int(line) <= len(rows) else ""
    field = f"line {line}" if line.isdigit() else "file"
    allowed = "TOML: [table] lines and key = value lines, texts in quotes"
    return InputError(field, shown or where, f"not TOML, {wrong}", allowed, where)
