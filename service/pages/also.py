"""Further pieces of the mixing of a pour: tick them, each gets its own hours."""

from fastapi import APIRouter, Response
from sqlmodel import Session

from models.errors import InputError
from models.records import Piece, Pour
from service.actions.pours.pour_also import pour_also
from service.nouns.form import Control, Form
from service.nouns.pour import AlsoPoured
from service.pages import page_data, render
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute, refuse_faults
from service.queries.held import free_mould
from service.queries.poured import piece_label
from service.queries.rows import by_name, find, poured_together
from service.request_context import ContextDep, Key, RequestContext

router = APIRouter(route_class=PageRoute, include_in_schema=False)
PIECES = "pieces"


def _controls(session: Session) -> list[Control]:
    options = tuple((str(row.id), row.name) for row in by_name(session, Piece))
    return [Control(PIECES, "What else was filled?", "boxes", options=options, typed=True)]


@router.get("/pours/{pour_id}/also")
def ask(pour_id: Key, context: ContextDep) -> Response:
    with context.store.reading() as session:
        form = Form.of(_controls(session), None, context.reader())
    return _page(context, pour_id, form)


@router.post("/pours/{pour_id}/also")
def log(pour_id: Key, post: FormPostDep) -> Response:
    """Each piece in the mould that it has, where that is empty."""
    with post.context.store.reading() as session:
        form = post.form(_controls(session))

    def store(session: Session) -> Landing:
        chosen = [int(key) for key in form.value(PIECES) or ()]
        if not chosen:
            form.refuse(InputError(PIECES, "", "none is ticked", "one or more"))
        refuse_faults(form)
        at = find(session, Pour, pour_id, "pour_id").placed_at
        wanted: list[AlsoPoured] = []
        for key in chosen:  # each mould once, though two were cast in it before
            given = [one.mould_id for one in wanted if one.mould_id is not None]
            mould_id = free_mould(session, key, at, but=given)
            wanted.append(AlsoPoured(piece_id=key, mould_id=mould_id))
        made = pour_also(session, post.context.now, pour_id, wanted)
        names = ", ".join(piece_label(row) for row in made)
        return Landing(f"/pours/{pour_id}/mode", "saved_also", {"names": names})

    return post.write(form, store, lambda: _page(post.context, pour_id, form, 422))


def _page(context: RequestContext, pour_id: int, form: Form, status: int = 200) -> Response:
    data = page_data.of_pour(context, pour_id)
    with context.store.reading() as session:
        together = [piece_label(row) for row in poured_together(session, pour_id)]
    return render.page(
        "also.html",
        status,
        tab="pour",
        reader=context.reader(data.place.timezone, data.pour.placed_at),
        title="Another piece of this mixing",
        data=data,
        form=form,
        together=together,
        button="Log them",
        action=f"/pours/{pour_id}/also",
    )
