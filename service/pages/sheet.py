"""On the one sheet of what is read, seen or noted at a piece: what was read last."""

from collections.abc import Sequence
from dataclasses import replace

from models.records import Reading
from service.actions.pours.take_logger import NOTE
from service.nouns.form import Form
from service.nouns.reading import FILM_WORDS, SEEN_WORDS, SET_WORDS, SHEET_WORDS
from service.pages import logged, view

SEEN = dict.fromkeys(SET_WORDS, "set") | dict.fromkeys(FILM_WORDS, "film")


def last(rows: Sequence[Reading], clock: view.Clock) -> list[tuple[str, str]]:
    """By kind of the sheet what was read last, and when."""
    found: dict[str, str] = {}
    for row in rows:
        kind = SEEN.get(row.kind, row.kind)
        at = clock(row.at)
        if at is None or row.wrong or kind not in SHEET_WORDS | SEEN_WORDS:
            continue
        words = logged.reading(row, clock) if kind in SEEN_WORDS else _short(row, clock)
        found[kind] = f"{words}, {at.apart}"
    return list(found.items())


def _short(row: Reading, clock: view.Clock) -> str:
    return f"{SHEET_WORDS[row.kind].lower()} {logged.short(row, clock)}"


def as_last_time(form: Form, rows: Sequence[Reading]) -> None:
    """It opens at the kind that a person read last, so that a number and a tap are enough."""
    typed = [row for row in rows if not (row.instrument or row.wrong or row.note == NOTE)]
    kinds = [row.kind for row in typed if row.kind in SHEET_WORDS]
    if form.typed is None and kinds:
        form.fields["kind"] = replace(form.fields["kind"], default=kinds[-1])
