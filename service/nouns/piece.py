"""A piece: outside measures and openings."""

from typing import Any

from pydantic import Field

from models.piece.shape import KINDS
from models.records import Piece
from models.records.fields import Length
from models.records.piece import PieceBase
from service.nouns.base import Confirmable, Owned, RequestBody, ResponseBody
from service.nouns.controls import (
    Controls,
    listed,
    names_of_rows,
    typed_of,
    typed_parts,
)
from service.nouns.form import Control, Form
from service.vocabulary import ShapeKind

SHAPE_WORDS = {
    "panel": "panel: table top, bench seat, counter, paver",
    "box": "box: planter, hollow base",
    "block": "block: step, plinth",
}
MEASURES = {
    "panel": ("thickness_mm",),
    "box": ("height_mm", "wall_mm"),
    "block": ("height_mm",),
}
PIECE, HOLE = "piece.", "piece.hole"


class Opening(RequestBody):
    length_mm: Length
    width_mm: Length
    edge_mm: Length | None = None


class PieceWords(PieceBase):
    shape: ShapeKind


class PieceCreate(PieceWords, Confirmable):
    openings: list[Opening] = Field(default_factory=list, alias="opening", max_length=20)


class PiecePoured(PieceWords, ResponseBody):
    openings: list[dict[str, float | None]] = Field(alias="opening")


class PieceRead(PiecePoured, Owned):
    pass


NAMES = names_of_rows(Opening, "opening", HOLE)


def controls(holes: int = 1) -> list[Control]:
    """A piece with room for a number of openings."""
    shapes = listed({kind: SHAPE_WORDS[kind] for kind in KINDS})
    piece = Controls(PieceCreate, PIECE)
    found = [
        piece("name", "Name", placeholder="named for you"),
        piece("shape", "Shape", "radio", options=shapes, default="panel", needed=True),
        piece("length_mm", "Length", needed=True),
        piece("width_mm", "Width", needed=True),
        piece("thickness_mm", "Thickness"),
        piece("height_mm", "Height"),
        piece("wall_mm", "Wall"),
        piece("exposed_to_frost", "Will stand outdoors in frost", default="1"),
    ]
    for k in range(holes):
        hole = Controls(Opening, f"{HOLE}{k}.")
        found += [
            hole("length_mm", f"Opening {k + 1} length"),
            hole("width_mm", "width"),
            hole("edge_mm", "concrete to edge"),
        ]
    return found


def values(form: Form, name: str) -> dict[str, Any]:
    """What a piece's row shall say; measures of another shape are left out."""
    measured = MEASURES.get(form.shown(f"{PIECE}shape"), ())
    others = {part for parts in MEASURES.values() for part in parts}.difference(measured)
    values = form.values_of(PieceCreate, PIECE, others)
    values["openings"] = form.rows_of(Opening, HOLE)
    return {**values, "name": values["name"] or name}


def typed(row: Piece, shown: list[Control]) -> dict[str, list[str]]:
    """A row as if it had been typed."""
    return typed_of(row, shown, PIECE) | typed_parts(row.openings, shown, HOLE)
