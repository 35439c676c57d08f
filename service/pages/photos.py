"""Photos of a pour: taken or chosen on the phone, looked at, removed."""

from datetime import datetime

from fastapi import APIRouter, Response
from sqlmodel import Session

from service.actions.pours.keep_photo import keep_photo, photo_of, remove_photo
from service.actions.pours.put_back import copy_of
from service.answers import read_answer
from service.nouns.form import Control, Form
from service.nouns.step import MOMENT
from service.pages import page_data, render, view
from service.pages.flash import Landing
from service.pages.form_post import (
    FilePostDep,
    FormPostDep,
    PageRoute,
    form_action,
    refuse_faults,
)
from service.queries.pours import photos_of
from service.queries.rows import find_shop
from service.request_context import ContextDep, Key, RequestContext
from service.words import Reader

router = APIRouter(prefix="/pours/{pour_id}/photos", route_class=PageRoute, include_in_schema=False)


@router.get("")
def ask(pour_id: Key, context: ContextDep) -> Response:
    data = page_data.of_pour(context, pour_id)
    return _page(context, data, _form(data, context.reader()))


@router.post("")
def add(pour_id: Key, file_post: FilePostDep) -> Response:
    post = file_post.post
    data = page_data.of_pour(post.context, pour_id)
    form = _form(data, post.context.reader(), post.fields)

    def store(session: Session) -> Landing:
        at = form.value("at", find_shop(session).timezone) or post.happened_at
        step, note = form.value("step"), form.value("note") or ""
        refuse_faults(form)
        kept = keep_photo(
            session, post.context.now, pour_id, file_post.content, at=at, step=step, note=note
        )
        page = f"/pours/{pour_id}"
        return Landing(page, "saved_photo", undo=f"{page}/photos/{kept.id}/remove")

    return post.write(form, store, lambda: _page(post.context, data, form, 422))


@router.post("/{row_id}/remove")
def remove(pour_id: Key, row_id: Key, post: FormPostDep) -> Response:
    def work(session: Session, _now: datetime) -> Landing:
        copy = copy_of(photo_of(session, pour_id, row_id))
        remove_photo(session, pour_id, row_id)
        return Landing(f"/pours/{pour_id}", "saved_removed", kept=copy)

    return form_action(post, pour_id, work, "removed")


def _form(
    data: page_data.PourData, reader: Reader, typed: dict[str, list[str]] | None = None
) -> Form:
    windows = read_answer(data.projection.answer).steps if data.projection else []
    steps = tuple((one.step, view.title(one.step, reader)) for one in windows)
    done = [one.step for one in windows if one.done_at is not None]
    return Form.of(
        [
            Control("photo", "Photo", "file"),
            Control(
                "step",
                "Of which step",
                "choice",
                options=(("", "the piece as a whole"), *steps),
                default=done[-1] if done else "",
            ),
            MOMENT,
            Control("note", "Note"),
        ],
        typed,
        reader,
    )


def _page(
    context: RequestContext, data: page_data.PourData, form: Form, status: int = 200
) -> Response:
    clock = view.Clock(context.now, context.reader(data.place.timezone, data.pour.placed_at))
    with context.store.reading() as session:
        rows = photos_of(session, data.pour.id)
    return render.page(
        "photos.html",
        status,
        title="Photos",
        reader=clock.reader,
        data=data,
        form=form,
        photos=[
            (
                row,
                view.title(row.step, clock.reader) if row.step else "The piece",
                clock(row.at),
            )
            for row in rows
        ],
    )
