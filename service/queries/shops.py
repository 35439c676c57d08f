"""The shops of a server, and which of them a code leads to; asked where every shop is seen."""

from collections.abc import Sequence

from sqlmodel import Session, col, select

from models.records import Invitation, OwnerLink, Shop, Sticker
from service import secret


def all_shops(session: Session) -> Sequence[Shop]:
    """The server's own first."""
    return session.exec(select(Shop).order_by(col(Shop.id))).all()


def shop_ids(session: Session) -> Sequence[int]:
    return session.exec(select(Shop.id).order_by(col(Shop.id))).all()


def named(session: Session, name: str) -> Sequence[Shop]:
    """The shops of a name."""
    return session.exec(select(Shop).where(Shop.name == name).order_by(col(Shop.id))).all()


def alone(session: Session) -> int | None:
    """The one shop that there is; None of several, or before the first is opened."""
    found = session.exec(select(Shop.id).limit(2)).all()
    return found[0] if len(found) == 1 else None


def of_code(session: Session, kind: str, code: str) -> int | None:
    """The shop of a sticker (s), of the page of a piece's owner (c), of a link that lets somebody
    in (join) or of a calendar."""
    code = code.strip()
    wanted = {
        "s": select(Sticker.shop_id).where(Sticker.code == "".join(code.split()).lower()),
        "c": select(OwnerLink.shop_id).where(OwnerLink.code == code),
        "join": select(Invitation.shop_id).where(Invitation.digest == secret.digest(code)),
        "calendar": select(Shop.id).where(Shop.feed_token == code),
    }[kind]
    return session.exec(wanted).first()
