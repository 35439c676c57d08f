"""The check list before a pour: ticked in the yard, printed for the wall."""

from fastapi import APIRouter, Response
from sqlmodel import Session

from service.actions.pours import before_pour
from service.nouns.form import Control, Form
from service.pages import render
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute
from service.pages.view import Clock
from service.request_context import ContextDep, Key
from service.words import sentence

router = APIRouter(prefix="/pours/{pour_id}/before", route_class=PageRoute, include_in_schema=False)
FIELDS = (Control("ticked", "Looked at", "boxes"),)


@router.get("")
def ask(pour_id: Key, context: ContextDep) -> Response:
    with context.store.reading() as session:
        told = before_pour.before(session, pour_id)
    reader = context.reader(told.timezone)
    clock = Clock(context.now, reader)
    items = [
        (one.key, sentence(one.says, reader), clock(told.ticked.get(one.key))) for one in told.items
    ]
    return render.page(
        "before.html",
        title="Before you pour",
        reader=reader,
        pour_id=pour_id,
        name=told.name,
        open=told.pour.closed_at is None,
        placed=clock(told.pour.placed_at),
        items=items,
        left=sum(at is None for _, _, at in items),
    )


@router.post("")
def save(pour_id: Key, post: FormPostDep) -> Response:
    """The difference to what the form showed, `was`: two phones keep each other's ticks."""
    keys, was = (set(post.fields.get(name, [])) for name in ("ticked", "was"))

    def store(session: Session) -> Landing:
        told = before_pour.tick_further(session, post.happened_at, pour_id, keys - was, was - keys)
        ticks = sum(one.key in told.ticked for one in told.items)
        return Landing(f"/pours/{pour_id}/before", "saved_ticked", {"ticks": ticks})

    return post.write(Form.of([], post.fields), store)
