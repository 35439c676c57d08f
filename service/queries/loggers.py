"""Loggers whose files were read before."""

from collections.abc import Sequence

from sqlmodel import Session, col, select

from models.records import Logger


def loggers(session: Session) -> Sequence[Logger]:
    """The one that was read last first."""
    return session.exec(
        select(Logger).order_by(col(Logger.created_at).desc(), col(Logger.id))
    ).all()


def named(session: Session, name: str) -> Logger | None:
    return session.exec(select(Logger).where(Logger.name == name)).first()
