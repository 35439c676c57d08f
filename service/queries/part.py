"""A part of a list: so many rows, from where the part before it ended."""

import json
from base64 import urlsafe_b64decode, urlsafe_b64encode
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, literal, tuple_
from sqlmodel import Session
from sqlmodel.sql.expression import SelectOfScalar

from models.errors import InputError
from models.instants import instant
from models.records.fields import LARGEST_KEY

R = TypeVar("R")
LONGEST_TEXT = 200  # of a name in a cursor


class Part:
    """At most `limit` rows (None: all) after those that ended with the row of `cursor`.

    `more` then is the cursor of the next part; empty where the list ends.
    """

    def __init__(self, limit: int | None = None, cursor: str = "") -> None:
        self._limit, self._cursor, self.more = limit, cursor, ""

    def rows(
        self, session: Session, wanted: SelectOfScalar[R], *by: Any, newest_first: bool = False
    ) -> Sequence[R]:
        """Rows by columns that are never null, together different for each row."""
        wanted = wanted.order_by(*(one.desc() if newest_first else one for one in by))
        if self._cursor:
            here, there = tuple_(*by), tuple_(*self._values(by))
            wanted = wanted.where(here < there if newest_first else here > there)
        if self._limit is None:
            return session.exec(wanted).all()
        rows = session.exec(wanted.limit(self._limit + 1)).all()
        return self._ended(rows, lambda row: [getattr(row, one.key) for one in by])

    def items(self, all_of: Sequence[R], key: Callable[[R], list[Any]]) -> Sequence[R]:
        """The same of a list that is made anew each time; `key` tells its items apart."""
        begins = 0
        if self._cursor:
            known = [_written(key(one)) for one in all_of]
            if self._cursor not in known:
                allowed = "the list from its beginning, without cursor"
                raise InputError("cursor", self._cursor, "no longer in the list", allowed)
            begins = known.index(self._cursor) + 1
        return self._ended(all_of[begins:], key)

    def _ended(self, rows: Sequence[R], key: Callable[[R], list[Any]]) -> Sequence[R]:
        if self._limit is not None and len(rows) > self._limit:
            self.more = _written(key(rows[self._limit - 1]))
        return rows[: self._limit]

    def _values(self, by: Sequence[Any]) -> list[ColumnElement[Any]]:
        try:
            told = json.loads(urlsafe_b64decode(self._cursor.encode()))
        except (ValueError, RecursionError):
            told = None
        if not isinstance(told, list) or len(told) != len(by):
            raise self._unknown()
        return [literal(self._value(one, of), of.type) for one, of in zip(told, by, strict=True)]

    def _value(self, told: object, column: Any) -> object:
        kind = getattr(column.type, "impl", column.type).python_type
        if kind is datetime:
            try:
                return instant("cursor", told)
            except InputError:
                raise self._unknown() from None
        fits = (
            isinstance(told, str)
            and len(told) <= LONGEST_TEXT
            and told.translate({9: None, 10: None}).isprintable()
            if kind is str
            else type(told) is int and 0 < told <= LARGEST_KEY
        )
        if not fits:
            raise self._unknown()
        return told

    def _unknown(self) -> InputError:
        allowed = "the cursor of the Link header of this list"
        return InputError("cursor", self._cursor, "not one that this list gave", allowed)


def _written(values: list[Any]) -> str:
    told = [one.isoformat() if isinstance(one, datetime) else one for one in values]
    return urlsafe_b64encode(json.dumps(told, separators=(",", ":")).encode()).decode()


WHOLE = Part()  # a list without end keeps nothing of its reader
