"""Rows of a CSV text that a person made, and CSV text that a spreadsheet opens without harm."""

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence

from models.errors import InputError


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
