"""What is listened to at the broker."""

from collections.abc import Sequence

from sqlmodel import Session, col, select

from models.records import Topic


def topics(session: Session) -> Sequence[Topic]:
    """In the order in which they were added."""
    return session.exec(select(Topic).order_by(col(Topic.id))).all()
