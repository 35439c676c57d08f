"""A fault of a piece: kept with its place, or it was none."""

from datetime import datetime

from sqlmodel import Session

from models.errors import InputError
from models.facts.faults import FAULTS
from models.instants import not_ahead
from models.piece.shape import Shape
from models.records import Pour, PourFault
from models.records.fault import PourFaultBase
from models.units import number_within, one_of
from service.actions.pours.keep_photo import photo_of
from service.actions.windows.scenario_rows import shape_of
from service.nouns.fault import PourFaultCreate
from service.queries.poured import poured
from service.queries.rows import find, find_of

MOST_OF_A_POUR = 40


def keep_fault(session: Session, now: datetime, pour_id: int, wanted: PourFaultCreate) -> PourFault:
    """The fault, checked against the piece; raises InputError for a place that is not on it."""
    pour, at = find(session, Pour, pour_id, "pour_id"), wanted.at or now
    not_ahead("at", at, now)
    if at < pour.placed_at:
        allowed = f"{pour.placed_at.isoformat()} or later"
        raise InputError("at", at.isoformat(), "before the pour", allowed)
    one_of("kind", wanted.kind, FAULTS)
    _on_the_piece(wanted, shape_of(poured(session, pour).piece))
    if wanted.photo_id is not None:
        photo_of(session, pour_id, wanted.photo_id)
    values = wanted.model_dump(include=set(PourFaultBase.model_fields))
    row = PourFault(created_at=now, pour_id=pour_id, at=at, **values)
    session.add(row)
    session.flush()
    return row


def _on_the_piece(wanted: PourFaultCreate, shape: Shape) -> None:
    if wanted.face is not None:
        one_of("face", wanted.face, dict.fromkeys(one.key for one in shape.faces))
    if (wanted.x_mm is None) != (wanted.y_mm is None):
        missing = "y_mm" if wanted.y_mm is None else "x_mm"
        raise InputError(missing, None, "one of two", "both x_mm and y_mm, or neither")
    if wanted.x_mm is not None:
        number_within("x_mm", wanted.x_mm, 0.0, shape.length_mm, "mm, the length of the piece")
        number_within("y_mm", wanted.y_mm, 0.0, shape.width_mm, "mm, the width of the piece")


def fault_of(session: Session, pour_id: int, fault_id: int) -> PourFault:
    """One fault; NoSuchRow when it is not this pour's."""
    return find_of(session, PourFault, fault_id, "fault", "pour", pour_id)


def remove_fault(session: Session, pour_id: int, fault_id: int) -> None:
    session.delete(fault_of(session, pour_id, fault_id))
    session.flush()
