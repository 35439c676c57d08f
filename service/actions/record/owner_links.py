"""Codes of the pages of owners: given with a pour; one that got into wrong hands opens nothing."""

from datetime import datetime

from sqlmodel import Session

from models.records import OwnerLink
from service import secret
from service.queries.owner_links import that_counts
from service.queries.rows import NoSuchRow, find


def give(session: Session, now: datetime, pour_id: int) -> None:
    """The code of a new pour."""
    session.add(OwnerLink(created_at=now, code=secret.unguessed(), pour_id=pour_id))


def revoke(session: Session, now: datetime, pour_id: int) -> int:
    """The key of the code that opens nothing any more; another takes its place."""
    row = that_counts(session, pour_id) or find(session, OwnerLink, 0, "pour_id")
    _closed(session, now, row)
    give(session, now, pour_id)
    return row.id


def bring_back(session: Session, now: datetime, link_id: int, pour_id: int) -> OwnerLink:
    """Undo that; the one that took its place opens nothing."""
    row = find(session, OwnerLink, link_id)
    if row.pour_id != pour_id:
        raise NoSuchRow("link", link_id, "a square of another piece", "one of this piece")
    other = that_counts(session, pour_id)
    if other is not None:
        _closed(session, now, other)
    row.revoked_at = None
    session.add(row)
    return row


def _closed(session: Session, now: datetime, row: OwnerLink) -> None:
    row.revoked_at = now
    session.add(row)
    session.flush()
