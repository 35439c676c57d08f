"""Rows of a CSV text that a person made, and CSV text that a spreadsheet opens without harm."""

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

from models.errors import InputError

LIMIT_BYTES = 10_000_000  # of a file of hourly weather


def rows_of(text: str, delimiter: str, name: str, header: str) -> Iterator[tuple[int, list[str]]]:
    """Rows that hold something, each with the line where it ends.

    Raises InputError, placed at name:line, where the text is no CSV; `header` says what it needs.
    """
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        for cells in reader:
            stripped = [cell.strip() for cell in cells]
            if any(stripped):
                yield reader.line_num, stripped
    except csv.Error as error:
        where = f"{name}:{reader.line_num}"
        raise InputError("row", str(error), "cannot be read as CSV", header, where) from None


def bytes_of(source: str | Path, name: str, allowed: str) -> bytes:
    """The content of a file, or a text as bytes, of at most LIMIT_BYTES.

    Raises InputError, placed at `name`, where it cannot be read or is longer.
    """
    if isinstance(source, str):
        raw = source.encode("utf-8", "surrogatepass")
    else:
        try:
            with source.open("rb") as file:
                raw = file.read(LIMIT_BYTES + 1)
        except OSError as error:
            wrong = f"cannot be read ({error.strerror})"
            raise InputError("file", str(source), wrong, allowed, name) from None
    if len(raw) > LIMIT_BYTES:
        raise InputError("file", f"more than {LIMIT_BYTES} bytes", "too long", allowed, name)
    return raw


BEGINS_A_FORMULA = tuple("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20")


def text_of(header: Sequence[str], rows: Iterable[Mapping[str, str | float | None]]) -> str:
    """CSV (RFC 4180) with a header line; texts that a spreadsheet would run are quoted."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(header)
    writer.writerows([_cell(row.get(name)) for name in header] for row in rows)
    return out.getvalue()


def _cell(value: str | float | None) -> str:
    if value is None:
        return ""
    if not isinstance(value, str):
        return f"{value:.10g}"
    return f"'{value}" if value.lstrip(" ").startswith(BEGINS_A_FORMULA) else value
