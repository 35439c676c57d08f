"""What stood for what nobody told is so: it is kept as told, and counts with that doubt."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlmodel import Session

from models.errors import InputError
from models.records import Mix, Owned, Place, Pour, Sealer, Shop
from service.actions.shop import jobs
from service.actions.shop.set_up_shop import change_shop
from service.actions.windows import scenario_rows
from service.actions.windows.assumed import COLUMNS, LISTS, is_base, usual, usual_of
from service.queries.poured import TABLES
from service.queries.pours import load_pour, made_of
from service.queries.rows import NoSuchRow, find, find_shop


@dataclass(frozen=True)
class Confirmed:
    """What was confirmed of a row, by name; of the row itself, and of which pours."""

    names: tuple[str, ...]
    of_row: bool
    pours: tuple[int, ...]


def confirm(
    session: Session,
    now: datetime,
    noun: str,
    row_id: int,
    names: Collection[str] = (),
    pours: Collection[int] = (),
) -> Confirmed:
    """Keep the usual values as told.

    noun, row_id : the row that they are of, `shop` for the shop
    names : of the values; none: all
    pours : keys of pours under way that are of it too; the others stay as they were poured
    Raises InputError where one is assumed nowhere any more.
    """
    if noun == "shop":
        shop = find_shop(session)
        told = _chosen(usual(shop), names)
        _some(told, names)
        change_shop(session, now, _columns(told))
        return Confirmed(tuple(told), True, ())
    row, under_way = _with_pours(session, noun, row_id, pours)
    told = _chosen(usual(row), names)
    found = dict(told)
    for name, value in _columns(told).items():
        setattr(row, name, value)
    _checked(row)
    session.add(row)
    of: list[int] = []
    for pour in under_way:
        rows = load_pour(session, pour.id)
        here = _chosen(usual_of(session, rows).get(noun, {}), names)
        if here:
            _change_copy(session, now, pour, noun, _columns(here))
            found |= here
            of.append(pour.id)
    _some(found, names)
    return Confirmed(tuple(found), bool(told), tuple(of))


def take_back(session: Session, now: datetime, noun: str, row_id: int, what: Confirmed) -> None:
    """Nobody told it after all; a value that was told anew meanwhile stays."""
    columns = [_column(name) for name in what.names]
    emptied: dict[str, Any] = {one: [] if one in LISTS else None for one in columns}
    if noun == "shop":
        change_shop(session, now, _still_usual(find_shop(session), emptied))
        return
    if what.of_row:
        row = find(session, TABLES[noun], row_id)
        for name, value in _still_usual(row, emptied).items():
            setattr(row, name, value)
        session.add(row)
    for pour_id in what.pours:
        rows = load_pour(session, pour_id)
        here = _still_usual(getattr(rows, noun), emptied, base=is_base(rows))
        _change_copy(session, now, rows.pour, noun, here)


def _still_usual(
    row: Owned | Shop, emptied: Mapping[str, Any], *, base: bool = False
) -> dict[str, Any]:
    """Of the columns to be emptied those that hold what would stand for them."""
    values = {name: getattr(row, name) for name in type(row).model_fields}
    would = _columns(usual(type(row)(**{**values, **emptied}), base=base))
    return {name: none for name, none in emptied.items() if values[name] == would.get(name)}


def _with_pours(
    session: Session, noun: str, row_id: int, pours: Collection[int]
) -> tuple[Owned, list[Pour]]:
    if noun not in TABLES:
        raise NoSuchRow("address", noun, "nothing is there", " | ".join((*TABLES, "shop")))
    under_way = {pour.id: pour for pour in made_of(session, noun, row_id)}
    for key in pours:
        if key not in under_way:
            allowed = ", ".join(map(str, sorted(under_way))) or "none: no pour is under way with it"
            raise InputError("apply_to_pours", key, "no pour under way with it", allowed)
    return find(session, TABLES[noun], row_id), [under_way[key] for key in pours]


def _change_copy(
    session: Session, now: datetime, pour: Pour, noun: str, columns: Mapping[str, Any]
) -> None:
    pour.poured = {**pour.poured, noun: {**pour.poured[noun], **columns}}
    scenario_rows.planned(session, pour)  # what is told must still go together
    session.add(pour)
    jobs.windows_due(session, now, pour)


def _checked(row: Owned) -> None:
    """What is told of a row goes together."""
    if isinstance(row, Mix):
        scenario_rows.mixture_of(row)
    elif isinstance(row, Place):
        scenario_rows.site_of(row)
    elif isinstance(row, Sealer):
        scenario_rows.sealer_of(row)


def _column(name: str) -> str:
    return COLUMNS.get(name, name)


def _columns(values: Mapping[str, Any]) -> dict[str, Any]:
    return {_column(name): value for name, value in values.items()}


def _chosen(values: Mapping[str, Any], names: Collection[str]) -> dict[str, Any]:
    return {name: value for name, value in values.items() if not names or name in names}


def _some(found: Mapping[str, Any], names: Collection[str]) -> None:
    if not found:
        wrong = "is assumed no more" if names else "nothing is assumed"
        raise InputError("what", ", ".join(names), wrong, "what is marked as assumed")
