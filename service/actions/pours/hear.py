"""What an instrument says at a broker becomes a reading, or says why it did not."""

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from sqlmodel import Session

from models import quantity
from models.errors import InputError, renamed
from models.facts.conversions import DIMENSIONS
from models.instants import instant
from models.records import Place, Pour, Topic
from models.records.reading import AIR_KINDS
from models.units import one_of
from service import json_path
from service.actions.people.join import a_name
from service.actions.pours import take_readings
from service.actions.pours.take_readings import Taken
from service.nouns.base import kind_of
from service.nouns.reading import ReadingCreate
from service.queries.rows import find
from service.store import Store
from service.store.writer import writer
from service.words import say
from service.words.reader import PLAIN

FIELDS = {"humidity": "rh_pct", "tile": "mass_g"}  # of a value by kind, else value_C
KINDS = ("air", "humidity", "concrete", "surface", "tile")  # that an instrument shows
PATTERN = "levels parted by /, + for any one of them, # for the rest, as shed/+/air"
LONGEST, SHOWN = 8192, 120
MILLISECONDS = 1e11  # seconds since 1970 are fewer for three thousand years


@dataclass(frozen=True)
class Heard:
    """A message as it came. `kept` : the broker had kept it, nobody knows for how long."""

    topic: str
    payload: bytes
    kept: bool = False


def listen_to(
    session: Session, now: datetime, values: dict[str, Any], target: tuple[str, int]
) -> Topic:
    """From now on these topics are read, for a place or a pour."""
    noun, key = target
    row = Topic(created_at=now, **values)
    row.name = a_name(row.name)
    one_of("kind", row.kind, KINDS)
    if noun == "place":
        find(session, Place, key, "place_id")
        if row.kind not in AIR_KINDS:
            allowed = "air | humidity; the rest of a piece"
            raise InputError("kind", row.kind, "is not read of the air of a place", allowed)
        row.place_id = key
    else:
        row.pour_id = find(session, Pour, key, "pour_id").id
    _checked_pattern(row.pattern)
    for name in ("value_path", "at_path"):
        json_path.steps(name, getattr(row, name))
    session.add(row)
    session.flush()
    return row


def _checked_pattern(pattern: str) -> None:
    levels = pattern.split("/")
    loose = any(("+" in one or "#" in one) and one not in ("+", "#") for one in levels)
    if loose or "#" in levels[:-1] or any(c.isspace() for c in pattern) or pattern[:1] == "$":
        raise InputError("pattern", pattern, "not a pattern of topics", PATTERN)


def leave(session: Session, topic_id: int) -> None:
    """It is not listened to any more; what was read stays."""
    session.delete(find(session, Topic, topic_id))


def hear(store: Store, now: datetime, topic_id: int, heard: Heard) -> None:
    """Take what was said, and note how that went: what cannot be read stops nothing else."""
    said = heard.payload[: 4 * SHOWN].decode("utf-8", "replace")[:SHOWN]
    said = "".join(one if one.isprintable() else " " for one in said)
    try:
        _noted(store, now, topic_id, said, lambda session, row: _take(session, now, row, heard))
    except InputError as error:
        fault = str(error)
        _noted(store, now, topic_id, said, lambda *_: fault)


def _noted(
    store: Store, now: datetime, topic_id: int, said: str, take: Callable[[Session, Topic], str]
) -> None:
    with store.unit_of_work() as session:
        row = session.get(Topic, topic_id)
        if row is not None:  # else it was left meanwhile
            fault = take(session, row)
            row.heard_at, row.said, row.fault = now, said, fault[:500]
            session.add(row)


def _take(session: Session, now: datetime, row: Topic, heard: Heard) -> str:
    """Why it was not counted, or nothing."""
    told, instrument = understood(row, heard), _instrument(row, heard.topic)
    token = writer.set(instrument)
    try:
        if row.place_id is not None:
            found = take_readings.of_place(session, now, row.place_id, [told], instrument)
        else:
            assert row.pour_id is not None
            found = take_readings.of_pour(session, now, row.pour_id, [told], instrument)
        session.flush()
    finally:
        writer.reset(token)
    return _fault(found)


def _fault(found: Taken) -> str:
    whys: Iterable[take_readings.NotCounted] = (*found.left_out, *found.set_aside)
    return " ".join(say(why, PLAIN) for _, _, why in whys)


def understood(row: Topic, heard: Heard) -> ReadingCreate:
    """The reading of a message; InputError names the field.

    What the broker kept has to tell its own time: a reading of an unknown age would pass for one
    of now.
    """
    if heard.kept and not row.at_path:
        wrong = "the broker had kept it, nobody knows since when"
        raise InputError("at", None, wrong, "a path to the time of the reading, or a new message")
    if len(heard.payload) > LONGEST:
        raise InputError("message", len(heard.payload), "too long", f"at most {LONGEST} bytes")
    try:
        text = heard.payload.decode("utf-8-sig").strip()
    except UnicodeDecodeError:
        raise InputError("message", None, "not UTF-8", "text in UTF-8") from None
    told = _json(text) if row.value_path or row.at_path else text
    value = json_path.value_at("value_path", row.value_path, told) if row.value_path else told
    field = FIELDS.get(row.kind, "value_C")
    at = _at(json_path.value_at("at_path", row.at_path, told)) if row.at_path else None
    amount = _amount(field, value, row.unit)
    return ReadingCreate.model_validate({"kind": row.kind, "at": at, field: amount})


def _json(text: str) -> Any:
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        raise InputError("message", text[:SHOWN], "not JSON", "JSON, where a path is set") from None


def _amount(field: str, value: object, unit: str) -> float:
    """A number, or a text that is one, perhaps with its unit."""
    dimension = kind_of(ReadingCreate, field).dimension
    if not isinstance(value, str):  # finite, and no truth value
        value = f"{quantity.read(field, value, dimension):.6f}"
    own = unit if dimension == "temperature_C" else DIMENSIONS[dimension].shown[0][0]
    return quantity.read(field, value, dimension, bare_unit=own.lower())


def _at(value: object) -> datetime:
    """ISO 8601 with its offset, or seconds (or ms) since 1970."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return instant("at", value)
    try:
        at = datetime.fromtimestamp(value / (1000 if value >= MILLISECONDS else 1), UTC)
    except (ValueError, OverflowError, OSError):
        raise InputError("at", value, "not a time", "seconds since 1970") from None
    return instant("at", at)


def _instrument(row: Topic, topic: str) -> str:
    """Its name; where the pattern fits several topics, with the levels that tell them apart."""
    levels, wanted = topic.split("/"), row.pattern.split("/")
    own = [a for a, b in zip(levels, wanted, strict=False) if b == "+"]
    if wanted[-1] == "#":
        own += levels[len(wanted) - 1 :]
    with renamed({"name": "topic"}):
        return a_name(" ".join([row.name, *own])[:60]) if own else row.name
