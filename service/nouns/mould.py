"""A mould: the board, and the piece it is built for."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from pydantic import Field

from models.concrete.section import MouldBoard
from models.facts.materials import BOARDS
from models.records import Mould, Piece
from models.records.fields import Instant
from models.records.mould import MouldBase, MouldFaultBase
from service.nouns.base import Owned, RequestBody, ResponseBody, Stored
from service.nouns.controls import Controls
from service.nouns.form import Control, Form
from service.vocabulary import Board, MouldFaultKind, MouldStateWord
from service.words import Reader, measure

BOARD_WORDS = {
    "ground": "the ground, cast in place",
    "plywood": "plywood, raw",
    "mdf": "MDF",
    "hdpe": "HDPE (polyethylene)",
}
MOULD = "mould."


class MouldWords(MouldBase):
    material: Board = "melamine"


class MouldCreate(MouldWords, RequestBody):
    pass


class MouldPoured(MouldWords, ResponseBody):
    pass


class MouldRead(MouldPoured, Owned):
    pass


class MouldFaultRead(MouldFaultBase, Stored):
    kind: MouldFaultKind
    mould_id: int
    at: datetime
    mended_at: datetime | None
    media_type: str | None = Field(description="of its photo; none: no photo")
    size_bytes: int | None


class MouldStanding(ResponseBody):
    """What a mould is just now; nothing here is told by hand."""

    state: MouldStateWord
    pour_id: int | None = Field(description="the pour that stands in it")
    strip_at: datetime | None = Field(description="from when that may be stripped")
    free_at: datetime | None = Field(
        description="from when it takes the next pour; none: that is not known, so it is not free"
    )
    also_pour_ids: list[int] = Field(description="others of which nobody told that they left it")
    uses: int = Field(description="pours that were poured into it")
    released_at: datetime | None = Field(description="when release agent was last applied")
    last_fault: MouldFaultRead | None


class MouldListed(MouldRead):
    standing: MouldStanding


class MouldReleased(RequestBody):
    at: Instant | None = Field(default=None, description="now when left out")


def controls(pieces: Sequence[Piece], moulds: Sequence[Mould] = ()) -> list[Control]:
    boards = tuple((kind, BOARD_WORDS.get(kind, kind)) for kind in BOARDS)
    built_for = (("", "any piece"), *((str(row.id), row.name) for row in pieces))
    others = (("", "none"), *((str(row.id), row.name) for row in moulds))
    mould = Controls(MouldCreate, MOULD)
    return [
        mould("name", "Name", placeholder="named for you"),
        mould("material", "Cast on", "choice", options=boards, default="melamine", needed=True),
        mould("thickness_mm", "Board thickness", default="16 mm or 5/8 in", needed=True),
        mould("piece_id", "Built for", "key", options=built_for),
        mould("alike_id", "Another of the kind of", "key", options=others),
        mould("release_agent", "Release agent", placeholder="form oil, wax, soap"),
        mould("turnaround_h", "Cleaning, releasing, putting together takes", hint="45 min"),
        mould("brace_spacing_mm", "A rib or clamp along a wall, every", placeholder="none"),
        mould("rim_held", "Its rim is strapped, or bridged across"),
        mould("screw_spacing_mm", "A screw every", placeholder="150 mm or 6 in"),
        mould("screw_diameter_mm", "Screws, thick", placeholder="4 mm or 3/16 in"),
        mould("screw_length_mm", "Screws, long", placeholder="50 mm or 2 in"),
    ]


def values(form: Form, name: str) -> dict[str, Any]:
    """What a mould's row shall say."""
    values = form.values_of(MouldCreate, MOULD)
    return {**values, "name": values["name"] or name}


def usual_board(reader: Reader) -> str:
    """What a piece without a mould of its own is taken to be cast on."""
    board = MouldBoard()
    return f"{board.material}, {measure(board.thickness_mm, 'length_mm', reader)}"
