"""One piece: its drawing, how much it is, its faces, and what is cast in. Fits one sheet."""

from fastapi import APIRouter, Response

from models.piece import quantities
from models.piece.inserts import look_at
from models.records import Piece
from service.actions.windows.scenario_rows import shape_of
from service.nouns.shape import centre
from service.pages import render
from service.pages.form_post import PageRoute
from service.piece_drawing import drawing
from service.queries.held import free_mould
from service.queries.pours import newest
from service.queries.rows import find
from service.request_context import ContextDep, Key
from service.words import say, word

router = APIRouter(route_class=PageRoute, include_in_schema=False)


@router.get("/pieces/{piece_id}")
def show(piece_id: Key, context: ContextDep) -> Response:
    reader = context.reader()
    with context.store.reading() as session:
        row = find(session, Piece, piece_id, "piece_id")
        shape = shape_of(row)
        return render.page(
            "piece.html",
            title=row.name,
            tab="shop",
            reader=reader,
            piece=row,
            mould_id=free_mould(session, row.id),
            shape=shape,
            last=newest(session, piece_id),
            described=say(shape.described, reader),
            drawing=drawing(shape, row.name, reader),
            mass_kg=quantities.mass_kg(shape.volume_l),
            balances=say(centre(shape), reader),
            cast=word("cast", shape.cast_as, reader),
            faces=[(word("face", one.key, reader), one) for one in shape.faces],
            coated=sum(one.area_m2 for one in shape.faces if one.shown),
            inserts=[
                (
                    word("insert", one.material, reader),
                    [say(caution, reader) for caution in look_at(one).cautions],
                )
                for one in shape.inserts
            ],
        )
