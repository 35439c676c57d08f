"""A row of the shop is changed from now on, or of pours under way too: which, is asked."""

from sqlmodel import Session

from models.records import Owned, Place
from service.nouns.form import Control, Form
from service.queries.poured import piece_label
from service.queries.pours import made_of

FIELD = "apply_to_pours"


def asked(session: Session, noun: str, row: Owned | None) -> list[Control]:
    """A box for each pour under way that names the row; what stands at a place is always of it."""
    if row is None or isinstance(row, Place):
        return []
    pours = tuple((str(pour.id), piece_label(pour)) for pour in made_of(session, noun, row.id))
    if not pours:
        return []
    hint = "Not ticked, they stay as they were poured. What is finished never changes."
    return [
        Control(FIELD, "Change these pours too?", "boxes", options=pours, hint=hint, typed=True)
    ]


def chosen(form: Form) -> dict[str, list[int]]:
    """What is handed to the action that saves the row."""
    return {"pours": [int(key) for key in form.value(FIELD)]} if FIELD in form.fields else {}
