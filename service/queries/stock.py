"""Rows of the stock, and the pours that take of it."""

from collections.abc import Sequence

from sqlmodel import Session, col, select

from models.records import Pour, StepDone, Stock


def in_stock(
    session: Session, *, kinds: Sequence[str] = (), archived: bool = False
) -> Sequence[Stock]:
    """What is not used up (or what is), of some kinds or all, by kind and name."""
    used = col(Stock.archived_at)
    wanted = select(Stock).where(used.is_not(None) if archived else used.is_(None))
    if kinds:
        wanted = wanted.where(col(Stock.kind).in_(kinds))
    order = (col(Stock.kind), col(Stock.name), col(Stock.best_before), col(Stock.id))
    return session.exec(wanted.order_by(*order)).all()


def under_way(session: Session) -> Sequence[Pour]:
    """Pours that are not closed, those to come too."""
    return session.exec(select(Pour).where(col(Pour.closed_at).is_(None))).all()


def coats_on(session: Session) -> Sequence[tuple[int, str]]:
    """Of pours that are not closed every coat that is on: key of the pour, and the step."""
    wanted = select(StepDone.pour_id, StepDone.step).join(Pour)
    on = col(StepDone.step).startswith("coat-"), col(StepDone.undone_at).is_(None)
    return session.exec(wanted.where(col(Pour.closed_at).is_(None), *on)).all()
