"""A pour corrected, closed, opened again, reckoned anew."""

from dataclasses import replace
from datetime import datetime
from typing import Any

from fastapi import APIRouter, Response
from sqlmodel import Session

from models.errors import InputError
from models.records import Pour
from service.actions.changes import noted
from service.actions.pours import doubtful
from service.actions.pours.log_pour import CLOSE_REASONS, close_pour, correct_pour, reopen_pour
from service.actions.pours.mould_room import TwoInOne
from service.actions.shop import jobs
from service.nouns import pour
from service.nouns.controls import as_typed
from service.nouns.form import NEW, Control, Form
from service.nouns.moments import typed_moment
from service.nouns.pour import PourCreate
from service.pages import flash, page_data, render, view
from service.pages.choices import THEN, choices, then_chosen, then_typed
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute, form_action, refuse_faults
from service.queries.rows import find, find_shop
from service.request_context import ContextDep, Key, RequestContext
from service.words import spelt

router = APIRouter(prefix="/pours/{pour_id}", route_class=PageRoute, include_in_schema=False)


@router.post("/close")
def close(pour_id: Key, post: FormPostDep) -> Response:
    why = post.text("why")

    def work(session: Session, now: datetime) -> None:
        if why not in CLOSE_REASONS:
            raise InputError("why", why, "not a reason", " | ".join(CLOSE_REASONS))
        close_pour(session, now, pour_id, why)

    return form_action(post, pour_id, work, "closed", "reopen")


@router.post("/reopen")
def reopen(pour_id: Key, post: FormPostDep) -> Response:
    with post.context.store.reading() as session:
        why = find(session, Pour, pour_id, "pour_id").closed_why

    def work(session: Session, now: datetime) -> None:
        reopen_pour(session, now, pour_id)

    return form_action(post, pour_id, work, "reopened", "close", why=why)


@router.post("/reckon")
def recompute(pour_id: Key, post: FormPostDep) -> Response:
    def work(session: Session, now: datetime) -> None:
        jobs.windows_due(session, now, find(session, Pour, pour_id, "pour_id"))

    return form_action(post, pour_id, work, "reckoned")


def _edit_fields(session: Session, row: Pour) -> list[Control]:
    have = choices(session, pour=row)
    without_new = (
        replace(one, options=tuple(option for option in one.options if option[0] != NEW))
        for one in (*have.rows(), have.mould(), have.sealer(), *have.then())
    )
    return [
        *without_new,
        Control("placed_at", "Youngest batch went in at", "moment", needed=True),
        *pour.controls(),
    ]


@router.get("/edit")
def ask_edit(pour_id: Key, context: ContextDep) -> Response:
    with context.store.reading() as session:
        data = page_data.pour(session, context.now, pour_id)
        fields = _edit_fields(session, data.pour)
    typed: dict[str, list[str]] = {}
    for one in fields:
        if one.kind == "moment":
            typed |= typed_moment(one.name, data.pour.placed_at, context.reader().timezone)
        elif one.name.startswith(THEN):
            typed[one.name] = then_typed(data.pour)[one.name]
        else:
            typed[one.name] = as_typed(one, getattr(data.pour, one.name))
    return _edit_page(context, data, Form.of(fields, typed, context.reader()))


def _edit_page(
    context: RequestContext, data: page_data.PourData, form: Form, status: int = 200
) -> Response:
    return render.page(
        "edit.html",
        status,
        title="Correct the pour",
        reader=context.reader(data.place.timezone),
        data=data,
        form=form,
    )


def _corrected(
    session: Session, context: RequestContext, form: Form, pour_id: int, values: dict[str, Any]
) -> None:
    try:
        correct_pour(session, context.now, pour_id, values)
    except TwoInOne as error:
        day = view.Clock(context.now, form.reader).at(error.other.placed_at).clock
        wrong = f"{error.mould} holds {error.other.label}, poured {day}"
        allowed = spelt("the strip of the first first, or another mould", form.reader)
        raise InputError("mould_id", error.mould, wrong, allowed) from None


@router.post("/edit")
def edit(pour_id: Key, post: FormPostDep) -> Response:
    context = post.context
    with context.store.reading() as session:
        data = page_data.pour(session, context.now, pour_id)
        form = Form.of(_edit_fields(session, data.pour), post.fields, context.reader())

    def store(session: Session) -> Landing:
        values = form.values_of(PourCreate, unread={"placed_at"})
        values["placed_at"] = form.value("placed_at", find_shop(session).timezone)
        values["sealer_then"] = then_chosen(form)
        refuse_faults(form)
        if abs(values["placed_at"] - data.pour.placed_at).total_seconds() < 60:
            values["placed_at"] = data.pour.placed_at  # the control shows no seconds
        if values["burner_fitted"] == data.pour.burner_fitted:
            del values["burner_fitted"]  # what the form began with is not told of another piece
        found = doubtful.of_pour(
            session, context.now, values["place_id"], values["placed_at"], values, form
        )
        with noted(session, [find(session, Pour, pour_id, "pour_id")]) as kept:
            _corrected(session, context, form, pour_id, values)
        doubtful.ask(found, form.confirmed)
        return Landing(f"/pours/{pour_id}", "saved_corrected", undo=flash.UNDO, kept=kept)

    return post.write(form, store, lambda: _edit_page(context, data, form, 422))
