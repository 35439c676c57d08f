"""Do the walls of a mould hold the piece that is cast in it?"""

from dataclasses import dataclass
from typing import Any

from sqlmodel import Session

from models.message import Message
from models.mould.check import Checked, check
from models.mould.pressure import Placing, pressing_kg_m3
from models.records import Mix, Mould, Piece
from service.actions.windows.scenario_rows import board_of, shape_of
from service.answers import readable
from service.nouns.walls import FillingAsk
from service.queries import projections
from service.queries.pours import newest_in
from service.queries.rows import find


@dataclass(frozen=True)
class MouldWalls:
    """A mould, its piece, and the answer; `missing` says why there is none.

    logged_mm : how deep the mix of the pour that stands in it was fresh at once, by its batches
    """

    mould: Mould
    piece: Piece | None
    found: Checked | None
    missing: Message | None = None
    logged_mm: float | None = None


def placing_of(asked: FillingAsk, mix: Mix | None = None) -> Placing:
    """How a mould is filled, as it was told, and with what."""
    return Placing(
        placing_h=asked.placing_h,
        concrete_C=asked.concrete_C,
        cement=asked.cement,
        slump_mm=asked.slump_mm,
        shaken=asked.shaken,
        density_kg_m3=pressing_kg_m3(0.0 if mix is None else mix.density_kg_m3),
    )


def mould_walls(
    session: Session, mould_id: int, asked: FillingAsk, piece_id: int | None = None
) -> MouldWalls:
    """The check of a mould with the piece that is named, else it is built for, else it had last;
    filled with the mix of its newest pour.

    Raises NoSuchRow for a mould or a piece that is not there, InputError for what cannot be.
    """
    mould = find(session, Mould, mould_id, "mould_id")
    piece_id = piece_id or mould.piece_id
    last = newest_in(session, mould_id)
    if piece_id is None:
        piece_id = None if last is None else last.piece_id
    if piece_id is None:
        return MouldWalls(mould, None, None, _missing("mould_no_piece", "mould_say_piece"))
    piece = find(session, Piece, piece_id, "piece_id")
    shape = shape_of(piece)
    if not shape.depth_known:
        return MouldWalls(mould, piece, None, _missing("mould_no_height", "mould_say_height"))
    mix = None if last is None else find(session, Mix, last.mix_id, "mix_id")
    found = check(shape, board_of(mould), placing_of(asked, mix), asked.fresh_mm)
    logged_mm = None
    if last is not None and last.closed_at is None and last.piece_id == piece_id:
        told = readable(_answer(session, last.id))
        logged_mm = None if told is None else told.fresh_mm
    return MouldWalls(mould, piece, found, None, logged_mm)


def _answer(session: Session, pour_id: int) -> dict[str, Any] | None:
    row = projections.newest_of(session, [pour_id]).get(pour_id)
    return None if row is None else row.answer


def _missing(why: str, how: str) -> Message:
    values = {"what": Message("mould_walls"), "why": Message(why), "how": Message(how)}
    return Message("unknown", values)
