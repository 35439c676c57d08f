"""What follows from the shape of a piece, and its drawing."""

from fastapi import APIRouter, Response

from models.records import Piece
from service.actions.windows.scenario_rows import shape_of
from service.nouns.shape import ShapeRead, shape_read
from service.piece_drawing import drawing
from service.queries.rows import find
from service.request_context import ContextDep, Key

router = APIRouter(tags=["pieces"])
SVG = "image/svg+xml"


@router.get("/pieces/{piece_id}/shape")
def piece_shape(piece_id: Key, context: ContextDep) -> ShapeRead:
    """Volume, faces, parts that bend, where it balances, what to mind of what is cast in."""
    with context.store.reading() as session:
        return shape_read(shape_of(find(session, Piece, piece_id, "piece_id")), context.reader())


@router.get(
    "/pieces/{piece_id}/drawing.svg",
    response_class=Response,
    responses={200: {"content": {SVG: {"schema": {"type": "string"}}}}},
)
def piece_drawing(piece_id: Key, context: ContextDep) -> Response:
    """From above and cut from left to right, to scale, in the units of who asks."""
    with context.store.reading() as session:
        row = find(session, Piece, piece_id, "piece_id")
        svg = drawing(shape_of(row), row.name, context.reader())
    return Response(str(svg), media_type=SVG)
