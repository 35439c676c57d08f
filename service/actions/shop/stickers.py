"""Stickers: a code for each mould and each pour; one that was lost leads nowhere any more."""

from datetime import datetime

from sqlmodel import Session

from models.errors import Conflict
from models.records import Mould, Pour, Sticker
from service import secret
from service.queries import stickers
from service.queries.rows import find


def give_code(session: Session, now: datetime, row: Mould | Pour) -> Sticker:
    """The code of a new mould or pour."""
    made = Sticker(created_at=now, code=secret.short())
    if isinstance(row, Mould):
        made.mould_id = row.id
    else:
        made.pour_id = row.id
    session.add(made)
    return made


def revoke(session: Session, now: datetime, sticker_id: int) -> Sticker:
    """It says that it counts no more; another takes its place."""
    row = find(session, Sticker, sticker_id)
    if row.revoked_at is not None:
        raise Conflict("this sticker", "it was revoked already")
    _replaced(session, now, row)
    session.add(
        Sticker(created_at=now, code=secret.short(), mould_id=row.mould_id, pour_id=row.pour_id)
    )
    return row


def bring_back(session: Session, now: datetime, sticker_id: int) -> Sticker:
    """Undo that; the one that took its place counts no more."""
    row = find(session, Sticker, sticker_id)
    noun, key = ("mould", row.mould_id) if row.mould_id is not None else ("pour", row.pour_id)
    for other in stickers.that_count(session, noun, [key or 0]).values():
        _replaced(session, now, other)
    row.revoked_at = None
    session.add(row)
    return row


def _replaced(session: Session, now: datetime, row: Sticker) -> None:
    row.revoked_at = now
    session.add(row)
    session.flush()
