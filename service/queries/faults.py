"""Faults of pieces."""

from collections.abc import Sequence

from sqlmodel import Session, col, select

from models.records import PourFault
from service.queries.part import WHOLE, Part


def faults_of(session: Session, pour_id: int, part: Part = WHOLE) -> Sequence[PourFault]:
    """Those of a pour, the oldest first."""
    wanted = select(PourFault).where(PourFault.pour_id == pour_id)
    return part.rows(session, wanted, col(PourFault.at), col(PourFault.id))
