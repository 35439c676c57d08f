"""A mould: the board, and the piece it is built for."""

from collections.abc import Sequence
from typing import Any

from models.concrete.section import MouldBoard
from models.facts.materials import BOARDS
from models.records import Piece
from models.records.mould import MouldBase
from service.nouns.base import Owned, RequestBody, ResponseBody
from service.nouns.controls import Controls
from service.nouns.form import Control, Form
from service.vocabulary import Board
from service.words import Reader, measure

BOARD_WORDS = {"ground": "the ground, cast in place"}
MOULD = "mould."


class MouldWords(MouldBase):
    material: Board = "melamine"


class MouldCreate(MouldWords, RequestBody):
    pass


class MouldPoured(MouldWords, ResponseBody):
    pass


class MouldRead(MouldPoured, Owned):
    pass


def controls(pieces: Sequence[Piece]) -> list[Control]:
    boards = tuple((kind, BOARD_WORDS.get(kind, kind)) for kind in BOARDS)
    built_for = (("", "any piece"), *((str(row.id), row.name) for row in pieces))
    mould = Controls(MouldCreate, MOULD)
    return [
        mould("name", "Name", placeholder="named for you"),
        mould("material", "Cast on", "choice", options=boards, default="melamine", needed=True),
        mould("thickness_mm", "Board thickness", default="16 mm or 5/8 in", needed=True),
        mould("piece_id", "Built for", "key", options=built_for),
    ]


def values(form: Form, name: str) -> dict[str, Any]:
    """What a mould's row shall say."""
    values = form.values_of(MouldCreate, MOULD)
    return {**values, "name": values["name"] or name}


def usual_board(reader: Reader) -> str:
    """What a piece without a mould of its own is taken to be cast on."""
    board = MouldBoard()
    return f"{board.material}, {measure(board.thickness_mm, 'length_mm', reader)}"
