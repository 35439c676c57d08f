"""Further pieces of the mixing of a pour: one mix, one weather, windows of their own."""

from collections.abc import Sequence
from datetime import datetime

from sqlmodel import Session

from models.errors import Conflict
from models.records import Piece, Pour
from models.records.pour import PourBase
from service.actions.pours.log_pour import log_pour
from service.actions.windows.scenario_rows import shape_of
from service.nouns.pour import AlsoPoured, PourCreate
from service.queries.poured import poured
from service.queries.rows import find, mixing_of

OF_ITS_OWN = {
    "piece_id",
    "mould_id",
    "bags",
    "note",
    "water_added_l",
    "series_of",
    "burner_fitted",  # of each piece by whoever fitted that
}


def pour_also(
    session: Session, now: datetime, pour_id: int, wanted: Sequence[AlsoPoured]
) -> list[Pour]:
    """A pour for each piece, all or none; their batches are those of the first.

    Water that was added over the label is shared by volume, as it is in the mix.
    """
    first = find(session, Pour, pour_id, "pour_id")
    if first.closed_at is not None:
        raise Conflict(f"pour {pour_id}", f"closed at {first.closed_at.isoformat()}")
    alike = {name: getattr(first, name) for name in set(PourBase.model_fields) - OF_ITS_OWN}
    added = first.water_added_l / shape_of(poured(session, first).piece).volume_l
    made = []
    for one in wanted:
        piece = find(session, Piece, one.piece_id, "piece_id")
        told = PourCreate(
            **alike,
            **one.model_dump(),
            water_added_l=added * shape_of(piece).volume_l,
            placed_at=first.placed_at,
        )
        pour = log_pour(session, now, told)
        pour.poured_with_id = mixing_of(session, pour_id)
        session.add(pour)
        made.append(pour)
    session.flush()
    return made
