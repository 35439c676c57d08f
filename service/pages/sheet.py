"""The one sheet of what is read, seen or noted at a piece: what it stores, what was read last."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlmodel import Session

from models.errors import InputError
from models.records import Pour, Reading
from models.simulation.scenario import TEMPERATURE_KINDS
from service.actions.pours import doubtful
from service.actions.pours.note import add_note
from service.actions.pours.record_reading import record_reading
from service.nouns.form import Form
from service.nouns.reading import FILM_WORDS, SEEN_WORDS, SET_WORDS, SHEET_WORDS, ReadingCreate
from service.pages import logged, view
from service.pages.form_post import refuse_faults
from service.queries.pours import zone_of

OF_KIND = {  # fields that count for some kinds alone
    "value_C": TEMPERATURE_KINDS,
    "value_max_C": ("air-min-max",),
    "rh_pct": ("humidity",),
    "mass_g": ("tile",),
}
SAID = {"set": "saved_set", "film": "saved_dryness", "note": "saved_note"}
SEEN = dict.fromkeys(SET_WORDS, "set") | dict.fromkeys(FILM_WORDS, "film")


def store(session: Session, now: datetime, form: Form, pour: Pour, at: datetime) -> Reading | str:
    """The reading, or the line of a note; Doubtful where it is asked first whether it is so."""
    kind = str(form.value("kind"))
    if kind == "note":
        text = form.value("line") or ""
        if not text:
            form.refuse(InputError("line", "", "empty", "a few words"))
        refuse_faults(form)
        return add_note(session, pour.id, text, at.astimezone(ZoneInfo(zone_of(session, pour.id))))
    if kind == "photo":
        form.refuse(InputError("kind", "", "a photo has its own button", "Keep the photo"))
        refuse_faults(form)
    unread = {name for name, kinds in OF_KIND.items() if kind not in kinds}
    values = form.values_of(ReadingCreate, unread={"at", *unread}) | {"at": at}
    if kind in SEEN_WORDS:
        values["kind"] = form.value(kind)
    refuse_faults(form)
    with form.named(""):
        row = record_reading(session, now, pour.id, ReadingCreate(**values))
    doubtful.ask(
        doubtful.of_typed(session, now, pour.id, values, form, before=row.id), form.confirmed
    )
    return row


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
    """It opens at the kind that was read last, so that a number and a tap are enough."""
    kinds = [row.kind for row in rows if row.kind in SHEET_WORDS]
    if form.typed is None and kinds:
        form.fields["kind"] = replace(form.fields["kind"], default=kinds[-1])
