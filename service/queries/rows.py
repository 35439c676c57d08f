"""Finding rows by key, with an error that says what there is instead."""

from collections.abc import Sequence
from datetime import UTC, datetime
from itertools import chain, count
from typing import Any, TypeVar

from sqlmodel import Session, col, select

from models.errors import InputError
from models.records import (
    Batch,
    IdempotencyKey,
    Owned,
    Pour,
    ProtectionPeriod,
    Reading,
    Reminder,
    Row,
    Shop,
    StepDone,
    StrengthTest,
)
from service.queries.part import WHOLE, Part
from service.store.shops import NOBODYS, shop_of

R = TypeVar("R", bound=Row)
Thing = TypeVar("Thing", bound=Owned)
P = TypeVar("P", Batch, ProtectionPeriod, Reading, Reminder, StepDone, StrengthTest)
SHOWN_KEYS = 12
NEVER = datetime.min.replace(tzinfo=UTC)


class NoSuchRow(InputError):
    """A key that no row has; 404 is answered when the key stands in the address."""


def key_in(text: str) -> int | None:
    """The key that a text is; None where it is none that a table has."""
    return int(text) if text.isdecimal() and len(text) < 10 else None


def find(session: Session, table: type[R], row_id: int, field: str = "id") -> R:
    """The row, or NoSuchRow naming the field, the key and the keys there are."""
    row = session.get(table, row_id)
    if row is None:
        newest = session.exec(select(table.id).order_by(col(table.id).desc()).limit(SHOWN_KEYS))
        known = sorted(newest)
        allowed = "one of " + ", ".join(map(str, known)) if known else "none yet: create one first"
        raise NoSuchRow(field, row_id, f"no such {field.removesuffix('_id')}", allowed)
    return row


def find_of(
    session: Session, table: type[R], row_id: int, noun: str, owner: str, owner_id: int
) -> R:
    """The row (a `noun`) of an owner, as a photo of a pour; another's is as one that is not there.

    owner : in the row its key is OWNER_id
    """
    row = find(session, table, row_id, f"{noun}_id")
    if getattr(row, f"{owner}_id") != owner_id:
        wanted = f"a {noun} of this {owner}"
        raise NoSuchRow(f"{noun}_id", row_id, f"not {wanted}", wanted)
    return row


def find_shop(session: Session, shop_id: int | None = None) -> Shop:
    """The shop of the session, or of a key where it sees all; `open_shop` made it."""
    own = shop_of(session)
    shop_id = shop_id if own is None else own
    if shop_id == NOBODYS:  # who has not said which: as a shop is before anybody has told anything
        return Shop(created_at=NEVER, feed_token="of no shop")
    shop = None if shop_id is None else session.get(Shop, shop_id)
    if shop is None:
        raise NoSuchRow("shop", shop_id, "the shop has not been opened", "start the server once")
    return shop


def taken(session: Session, table: type[R], name: str, but: int | None = None) -> None:
    """Refuse a name that another row of the table has."""
    column: Any = table
    found = session.exec(select(table.id).where(column.name == name)).first()
    if found is not None and found != but:
        raise InputError("name", name, f"row {found} has this name already", "another name")


def by_name(
    session: Session,
    table: type[Thing],
    *,
    archived: bool = False,
    q: str = "",
    part: Part = WHOLE,
) -> Sequence[Thing]:
    """Rows of a noun by name: those in use, or those put away.

    q : a part of the name, in small or capital letters
    """
    column: Any = table
    away = column.archived_at.is_not(None)
    wanted = select(table).where(away if archived else ~away)
    if q:
        wanted = wanted.where(column.name.icontains(q, autoescape=True))
    return part.rows(session, wanted, column.name)


def free_name(session: Session, table: type[Thing], name: str, but: int | None = None) -> str:
    """The name, or it with the first number that makes it another one: a second garage is called
    Garage 2, what would be a second Piece 3 is called Piece 4.

    but : the row that may have it already
    """
    column: Any = table
    head, _, number = name.rpartition(" ")
    stem, first = (head, int(number)) if head and number.isdecimal() else (name, 1)
    known = select(column.name).where(column.name.startswith(stem, autoescape=True))
    names = set(session.exec(known.where(column.id != but) if but else known))
    numbered = (f"{stem} {number}" for number in count(first + 1))
    return next(one for one in chain([name], numbered) if one not in names)


def of_pour(
    session: Session, table: type[P], pour_id: int, order: str = "at", part: Part = WHOLE
) -> Sequence[P]:
    """The rows of a table that belong to a pour, by a column of time, the oldest first; batches are
    those of its mixing."""
    if issubclass(table, Batch):
        pour_id = mixing_of(session, pour_id)
    column: Any = table
    wanted = select(table).where(column.pour_id == pour_id)
    return part.rows(session, wanted, getattr(table, order), column.id)


def mixing_of(session: Session, pour_id: int) -> int:
    """The pour that has the batches of a pour: another where several pieces were poured of one
    mixing, else itself."""
    pour = session.get(Pour, pour_id)
    return pour_id if pour is None else pour.poured_with_id or pour_id


def poured_together(session: Session, pour_id: int) -> Sequence[Pour]:
    """All the pours of one mixing, the first of them first; of most pours itself alone."""
    first = mixing_of(session, pour_id)
    both = (col(Pour.id) == first) | (col(Pour.poured_with_id) == first)
    return session.exec(select(Pour).where(both).order_by(col(Pour.id))).all()


def stored_answer(session: Session, key: str) -> IdempotencyKey | None:
    """The answer that was given under an idempotency key."""
    return session.exec(select(IdempotencyKey).where(IdempotencyKey.key == key)).one_or_none()
