"""A pour as a template: what the form begins with, and where a pour stands in its series."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from sqlmodel import Session

from models.message import Message
from models.records import Pour
from service.actions.pours.pour_again import meant_of, template_of
from service.actions.record.unlike import CHANGED, MEASURED, Difference, differences
from service.nouns.controls import as_typed
from service.nouns.form import Control
from service.queries.poured import piece_label
from service.queries.pours import load_pour
from service.queries.series import NOT_MADE, Series, series_of
from service.words import Reader, measure, say, word

DIMENSIONS = {
    "water_added_l": "volume_l",
    "bags": "count",
    "placing_h": "time_h",
    **{name: "temperature_C" for name in MEASURED if name.endswith("_C")},
}


@dataclass(frozen=True)
class Again:
    """The pour that is poured again: its key and name, how many acts come along, and which of its
    series the next one is."""

    id: int
    label: str
    acts: int
    number: int


def as_before(session: Session, fields: Sequence[Control], like: Pour) -> list[Control]:
    """The controls of the form, each beginning with what that pour had."""
    taken: dict[str, Any] = template_of(session, like.id)
    covers = taken.pop("protections")
    taken["cover"] = covers[0].kind if covers else "none"
    if covers:
        taken |= {"cover_faces": covers[0].faces, "cover_setpoint_C": covers[0].setpoint_C}
    return [_begun(one, taken) for one in fields]


def _begun(one: Control, taken: dict[str, Any]) -> Control:
    value = taken.get(one.name)
    if value is None or one.kind == "key":
        return one
    return replace(one, default="|".join(as_typed(one, value)))


def told(session: Session, like: Pour) -> Again:
    """What the form says of it."""
    series = series_of(session, like)
    made = [one for one in series.pours if one.closed_why not in NOT_MADE]
    acts = meant_of(session, like, like.placed_at)
    return Again(like.id, piece_label(like), len(acts), len(made) + 1)


def place(session: Session, pour: Pour, reader: Reader) -> tuple[Series, list[str]]:
    """Where a pour stands in its series, and what differs from the one before it, in words."""
    found = series_of(session, pour)
    if found.before is None:
        return found, []
    before, now = (load_pour(session, key) for key in (found.before.id, pour.id))
    return found, [_words(one, reader) for one in differences(before, now)]


def _words(one: Difference, reader: Reader) -> str:
    if one.now == CHANGED:
        return say(Message("differs_changed", {"field": one.field, "name": one.before}), reader)
    was, now = (_value(one.field, value, reader) for value in (one.before, one.now))
    return say(Message("differs", {"field": one.field, "was": was, "now": now}), reader)


def _value(field: str, value: str | float | None, reader: Reader) -> str:
    if value is None or value == 0:
        return say(Message("differs_none"), reader)
    if isinstance(value, str):
        return word("cover", value) if field == "cover" else value
    return measure(value, DIMENSIONS[field], reader)
