"""Rows of a CSV text that a person made: blank ones left out, each with its line."""

import csv
import io
from collections.abc import Iterator

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
