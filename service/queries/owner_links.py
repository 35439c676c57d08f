"""Codes of the pages of owners, and the pours they open."""

from sqlmodel import Session, col, select

from models.records import OwnerLink


def of_owner(session: Session, code: str) -> OwnerLink | None:
    """The one of a code, revoked or not."""
    return session.exec(select(OwnerLink).where(OwnerLink.code == code)).one_or_none()


def that_counts(session: Session, pour_id: int) -> OwnerLink | None:
    """The one that opens a pour; None: the pour is not there."""
    wanted = select(OwnerLink).where(
        OwnerLink.pour_id == pour_id, col(OwnerLink.revoked_at).is_(None)
    )
    return session.exec(wanted.order_by(col(OwnerLink.id))).first()
