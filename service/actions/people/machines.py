"""Secrets of machines: an instrument that writes readings, a screen that only shows."""

from datetime import datetime

from sqlmodel import Session

from models.errors import InputError
from models.records import Place, Pour, Token
from models.records.token import KINDS
from models.units import one_of
from service import secret
from service.actions.people.join import a_name
from service.queries.rows import find


def let_in(
    session: Session,
    now: datetime,
    name: str,
    kind: str,
    place_id: int | None = None,
    pour_id: int | None = None,
) -> str:
    """The secret of a new machine, told once. An instrument writes for one place or one pour."""
    one_of("kind", kind, KINDS)
    wanted = a_name(name)
    if kind == "instrument" and (place_id is None) == (pour_id is None):
        raise InputError("place_id", place_id, "not one target", "a place or a pour, not both")
    if place_id is not None:
        find(session, Place, place_id, "place_id")
    if pour_id is not None:
        find(session, Pour, pour_id, "pour_id")
    made = secret.new()
    session.add(
        Token(
            created_at=now,
            name=wanted,
            kind=kind,
            place_id=place_id if kind == "instrument" else None,
            pour_id=pour_id if kind == "instrument" else None,
            digest=secret.digest(made),
        )
    )
    return made


def revoke(session: Session, now: datetime, token_id: int) -> Token:
    """It comes in no more."""
    row = find(session, Token, token_id)
    row.revoked_at = row.revoked_at or now
    session.add(row)
    return row
