"""A maker's own strength tests from a CSV file, one row a result.

    temperature_C,age_h,MPa

Order of columns and rows is free. A bare number is in the unit of its column, a cell may carry its
own (55 F, 3 d, 4000 psi); semicolons with decimal commas are read as well.
"""

from pathlib import Path

from models import quantity
from models.concrete.mix_fit import MixFit, Result, fit_mix
from models.errors import InputError
from service.csv_rows import rows_of
from service.input_file import text_of

HEADER = "temperature_C,age_h,MPa"
# column -> (dimension of models.quantity, unit of a bare number)
COLUMNS = {
    "temperature_C": ("temperature_C", "C"),
    "age_h": ("time_h", "h"),
    "MPa": ("stress_MPa", "MPa"),
}
LARGEST_BYTES = 1_000_000
MOST_ROWS = 1000  # a mix is tested a few dozen times; more is another file


def fitted(path: Path, kind: str) -> MixFit:
    """The fit of a file's results; InputError carries the file's name, a row's its line."""
    results = read(path)
    try:
        return fit_mix(results, kind)
    except InputError as error:
        raise error.at(path.name) from None


def read(path: Path) -> tuple[Result, ...]:
    """The results of a file, refused as `file:line: column = value: what is wrong; give ...`."""
    name = path.name
    text = _text(path)
    delimiter = ";" if ";" in text.lstrip().splitlines()[0] else ","
    header: list[str] | None = None
    results: list[Result] = []
    for line, cells in rows_of(text, delimiter, name, HEADER):
        where = f"{name}:{line}"
        if header is None:
            header = _header(cells, where)
            continue
        if len(cells) != len(header):
            wrong = f"{len(cells)} cells where the header has {len(header)}"
            allowed = "one cell a column; a comma inside a cell only between semicolons"
            raise InputError("row", delimiter.join(cells), wrong, allowed, where)
        if len(results) == MOST_ROWS:
            wrong = f"more than {MOST_ROWS} results"
            raise InputError("row", delimiter.join(cells), wrong, "the results of one mix", where)
        results.append(_result(dict(zip(header, cells, strict=True)), where))
    if not results:
        raise InputError("file", text.strip()[:40], "no results", f"rows under {HEADER}", name)
    return tuple(results)


def _result(cells: dict[str, str], where: str) -> Result:
    try:
        values = {
            column: quantity.read(column, cells[column], dimension, bare_unit=unit)
            for column, (dimension, unit) in COLUMNS.items()
        }
        return Result(**values)
    except InputError as error:
        raise error.at(where) from None


def _text(path: Path) -> str:
    allowed = f"a CSV of at most {LARGEST_BYTES // 1_000_000} MB, UTF-8"
    text = text_of(path, path.name, allowed, LARGEST_BYTES)
    if not text.strip():
        raise InputError("file", text[:20], "empty", f"rows under {HEADER}", path.name)
    return text


def _header(cells: list[str], where: str) -> list[str]:
    if sorted(cells) != sorted(COLUMNS):
        raise InputError("header", ",".join(cells), "not these three columns", HEADER, where)
    return cells
