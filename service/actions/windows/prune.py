"""Let go of what was told of a pour, when it is closed."""

from sqlmodel import Session, col, delete

from models.records import Projection
from service.queries.projections import before_done, first_ids, newest_ids


def prune(session: Session, pour_id: int) -> None:
    """What its record tells stays: the first windows, the newest, those before each step that was
    done, and every move; and so do the hourly bands of the newest."""
    kept = [row.id for row in before_done(session, pour_id).values()]
    session.execute(
        delete(Projection).where(
            col(Projection.pour_id) == pour_id,
            col(Projection.moved).is_(None),
            col(Projection.id).not_in(kept),
            col(Projection.id).not_in(newest_ids().scalar_subquery()),
            col(Projection.id).not_in(first_ids().scalar_subquery()),
        )
    )
