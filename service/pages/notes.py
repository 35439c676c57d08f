"""A note on a pour: a line with its hour, from the sheet or from a check that moves no window."""

from datetime import datetime
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Response
from sqlmodel import Session

from service.actions.pours.note import add_note, remove_note
from service.nouns.form import Control, Form
from service.nouns.step import WHEN, moment_of
from service.pages import page_data, render
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute, form_action, refuse_faults
from service.queries.pours import zone_of
from service.request_context import ContextDep, Key, RequestContext

router = APIRouter(prefix="/pours/{pour_id}/note", route_class=PageRoute, include_in_schema=False)
FIELDS = (Control("note", "Note", needed=True, hint="Thumb at the north corner: still soft"), *WHEN)


@router.get("/add")
def ask(pour_id: Key, context: ContextDep) -> Response:
    return _page(context, pour_id, Form.of(FIELDS, None, context.reader()))


def _page(context: RequestContext, pour_id: int, form: Form, status: int = 200) -> Response:
    data = page_data.of_pour(context, pour_id)
    return render.page(
        "note.html",
        status,
        title="A note",
        reader=context.reader(data.place.timezone),
        data=data,
        form=form,
        button="Save the note",
        action=f"/pours/{pour_id}/note",
    )


@router.post("")
def add(pour_id: Key, post: FormPostDep) -> Response:
    form = post.form(FIELDS)

    def store(session: Session) -> Landing:
        zone = zone_of(session, pour_id)
        at, text = moment_of(form, post.happened_at, zone), form.value("note")
        refuse_faults(form)
        line = add_note(session, pour_id, text, at.astimezone(ZoneInfo(zone)))
        page = f"/pours/{pour_id}"
        return Landing(page, "saved_note", undo=f"{page}/note/remove", fields={"line": line})

    return post.write(form, store, lambda: _page(post.context, pour_id, form, 422))


@router.post("/remove")
def remove(pour_id: Key, post: FormPostDep) -> Response:
    line = post.text("line")

    def work(session: Session, _now: datetime) -> None:
        remove_note(session, pour_id, line)

    return form_action(post, pour_id, work, "removed", "note", note=line[17:], at=line[:16])
