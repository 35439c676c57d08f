"""Codes of stickers, and what they lead to."""

from collections.abc import Collection

from sqlmodel import Session, col, select

from models.records import Sticker


def by_code(session: Session, code: str) -> Sticker | None:
    """The sticker of a code, revoked or not."""
    return session.exec(select(Sticker).where(Sticker.code == code)).one_or_none()


def that_count(session: Session, noun: str, keys: Collection[int]) -> dict[int, Sticker]:
    """By the key of a mould or of a pour the one that leads there."""
    target = col(getattr(Sticker, f"{noun}_id"))
    wanted = select(Sticker).where(target.in_(keys), col(Sticker.revoked_at).is_(None))
    rows = session.exec(wanted.order_by(col(Sticker.id))).all()
    return {getattr(row, f"{noun}_id"): row for row in rows}
