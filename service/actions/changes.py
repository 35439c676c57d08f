"""What one save changed, and its undo: that very change goes, whatever came after it stays."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from typing import Any

from pydantic import TypeAdapter
from sqlmodel import Session

from models.records import (
    Mix,
    Mould,
    Owned,
    Piece,
    Place,
    Pour,
    Reading,
    Row,
    Sealer,
    Shop,
    WeatherRun,
)
from service.actions.pours.log_pour import correct_pour
from service.actions.pours.mould_room import make_room
from service.actions.pours.record_reading import remove_reading
from service.actions.shop import jobs
from service.actions.shop.archive import put_away
from service.actions.shop.set_up_shop import (
    change_shop,
    save_mix,
    save_mould,
    save_piece,
    save_place,
    save_sealer,
)
from service.queries.rows import find

TABLES: Mapping[str, type[Row]] = {
    table.__tablename__: table
    for table in (Mix, Mould, Piece, Place, Pour, Reading, Sealer, Shop, WeatherRun)
}
# a row with other values is checked, and what rests on it is due, as if it had been saved so
SAVED: Mapping[type[Row], Callable[[Session, datetime, int], object]] = {
    Mix: lambda session, now, key: save_mix(session, now, {}, key),
    Mould: lambda session, now, key: save_mould(session, now, {}, key),
    Piece: lambda session, now, key: save_piece(session, now, {}, key),
    Place: lambda session, now, key: save_place(session, now, {}, key),
    Pour: lambda session, now, key: correct_pour(session, now, key, {}),
    Sealer: lambda session, now, key: save_sealer(session, now, {}, key),
    Shop: lambda session, now, _: change_shop(session, now, {}),
}


@contextmanager
def noted(session: Session, rows: Iterable[Row]) -> Iterator[dict[str, Any]]:
    """What becomes of these rows within it; afterwards it holds what `take_back` wants."""
    before = [(row, row.model_dump(mode="json")) for row in rows]
    kept: dict[str, Any] = {}
    yield kept
    session.flush()
    changed = []
    for row, was in before:
        now = row.model_dump(mode="json")
        values = {name: [old, now[name]] for name, old in was.items() if now[name] != old}
        if values:
            changed.append({"table": row.__tablename__, "id": row.id, "values": values})
    kept["changed"] = changed


def added(rows: Iterable[Row]) -> dict[str, Any]:
    """What `take_back` wants of rows that were stored."""
    return {"added": [{"table": row.__tablename__, "id": row.id} for row in rows]}


def removed(rows: Iterable[Row]) -> dict[str, Any]:
    """What `take_back` wants of rows that are gone."""
    return {
        "removed": [
            {"table": one.__tablename__, "row": one.model_dump(mode="json")} for one in rows
        ]
    }


def take_back(session: Session, now: datetime, kept: Mapping[str, Any]) -> None:
    """Undo what was noted, added or removed; a value that was changed again meanwhile stays."""
    changed = []
    for one in kept.get("changed", ()):
        row = find(session, TABLES[one["table"]], one["id"])
        _as_it_was(row, one["values"])
        session.add(row)
        changed.append(row)
    session.flush()
    for one, row in zip(kept.get("changed", ()), changed, strict=True):
        if isinstance(row, Pour) and {"mould_id", "placed_at"} & set(one["values"]):
            make_room(session, now, row, None)
    for row in changed:
        SAVED[type(row)](session, now, row.id)
    for one in kept.get("added", ()):
        _remove(session, now, TABLES[one["table"]], one["id"])
    for one in kept.get("removed", ()):
        row = TABLES[one["table"]].model_validate(one["row"])
        session.merge(row)
        if isinstance(row, WeatherRun):
            jobs.projections_due_at(session, now, row.place_id)
    session.flush()


def _as_it_was(row: Row, values: Mapping[str, tuple[Any, Any]]) -> None:
    stands = row.model_dump(mode="json")
    for name, (old, made) in values.items():
        if stands[name] == made:
            kind: Any = type(row).model_fields[name].annotation
            setattr(row, name, TypeAdapter(kind).validate_python(old))


def _remove(session: Session, now: datetime, table: type[Row], key: int) -> None:
    row = session.get(table, key)
    if isinstance(row, Owned):  # a pour may be of it meanwhile
        put_away(session, now, str(table.__tablename__), key)
    elif isinstance(row, Reading):
        remove_reading(session, now, key)
    elif isinstance(row, WeatherRun):
        session.delete(row)
        session.flush()
        jobs.projections_due_at(session, now, row.place_id)
