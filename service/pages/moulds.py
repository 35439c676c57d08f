"""Moulds as things: which is free when, what stands in each, what went wrong with it."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime

from fastapi import APIRouter, Response
from sqlmodel import Session

from models.facts.moulds import TURNAROUND_H
from models.message import Message
from models.records import Mould, MouldFault
from models.records.mould import FAULTS
from service.actions.shop import keep_mould
from service.actions.shop.mould_states import FREE, MouldState, state_of, states
from service.nouns.form import Control, Form
from service.nouns.step import MOMENT
from service.pages import render, view
from service.pages.details import detail
from service.pages.flash import Landing
from service.pages.form_post import (
    FilePostDep,
    FormPost,
    FormPostDep,
    PageRoute,
    refuse_faults,
)
from service.queries.held import EMPTIES, stays
from service.queries.moulds import alike, faults
from service.queries.poured import piece_label, piece_name
from service.queries.pours import steps_done
from service.queries.rows import by_name, find, find_shop
from service.request_context import ContextDep, Key, RequestContext
from service.words import Reader, say

router = APIRouter(prefix="/moulds", route_class=PageRoute, include_in_schema=False)
LAST = 12  # pours that are told of one mould
FAR = datetime.max.replace(tzinfo=UTC)


@dataclass(frozen=True)
class Shown:
    """One mould in words; `then` is what is said later, on a page that was kept."""

    row: Mould
    now: str
    then: str
    free: str
    is_free: bool
    pour_id: int | None
    also: tuple[str, ...]
    uses: int
    fault: str


@dataclass(frozen=True)
class Fault:
    """One fault in words."""

    row: MouldFault
    words: str


def shown(one: MouldState, reader: Reader) -> Shown:
    code, label = one.state.replace(" ", "_"), piece_label(one.pour) if one.pour else ""
    values = {"label": label, "released_at": one.mould.released_at, "strip_at": one.strip_at}
    told = replace(reader, placed_at=one.pour.placed_at if one.pour else None)
    if one.pour and one.strip_at is None:
        code = "holding_unknown"
    now = say(Message(f"mould_{code}", values), told)
    free = ""
    if one.free_at is not None and one.state not in FREE:
        free = say(Message("mould_free_from", {"free_at": one.free_at}), told)
    return Shown(
        one.mould,
        now,
        say(Message("mould_holds", values), told) if one.pour else now,
        free,
        one.state in FREE,
        one.pour.id if one.pour else None,
        tuple(say(Message("mould_also", {"label": piece_label(pour)}), told) for pour in one.also),
        one.uses,
        fault_words(one.fault, reader) if one.fault else "",
    )


def fault_words(row: MouldFault, reader: Reader) -> str:
    code = "mould_fault" if row.mended_at is None else "mould_fault_mended"
    return say(Message(code, {"kind": row.kind, "at": row.at}), reader)


@router.get("")
def listed(context: ContextDep) -> Response:
    """Every mould in use: what is free, then what comes free, the first first."""
    reader = context.reader()
    with context.store.reading() as session:
        found = states(session, context.now, by_name(session, Mould))
        found.sort(key=lambda one: (one.state not in FREE, one.free_at or FAR, one.mould.name))
        told = [shown(one, reader) for one in found]
    return render.page("moulds.html", title="Moulds", tab="shop", reader=reader, moulds=told)


@router.get("/{mould_id}")
def show(mould_id: Key, context: ContextDep) -> Response:
    return _page(context, mould_id, _form(context.reader()))


def _form(reader: Reader, typed: dict[str, list[str]] | None = None) -> Form:
    kinds = tuple((one, one) for one in FAULTS)
    return Form.of(
        [
            Control("kind", "What is wrong", "choice", options=kinds, needed=True),
            Control("photo", "Photo", "file"),
            MOMENT,
            Control("note", "Note"),
        ],
        typed,
        reader,
    )


def _page(context: RequestContext, mould_id: int, form: Form, status: int = 200) -> Response:
    reader = context.reader()
    clock = view.Clock(context.now, reader)
    with context.store.reading() as session:
        row = find(session, Mould, mould_id, "mould_id")
        state = state_of(session, context.now, row)
        kind = [one for one in alike(session, row) if one.id != mould_id]
        wrong = faults(session, [mould_id])[mould_id]
        there = stays(session, [mould_id])[mould_id]
        last = [(one, _came_out(session, one.pour.id)) for one in there[-LAST:][::-1]]
        others = [shown(one, reader) for one in states(session, context.now, kind)]
    return render.page(
        "mould.html",
        status,
        title=row.name,
        tab="shop",
        reader=reader,
        row=row,
        one=shown(state, reader),
        detail=detail(row, reader),
        released=clock(row.released_at),
        others=others,
        faults=[Fault(one, fault_words(one, reader)) for one in wrong],
        pours=[
            (one.pour.id, piece_label(one.pour), clock.at(one.pour.placed_at), how)
            for one, how in last
        ],
        piece=piece_name(there[-1].pour) if there else "",
        form=form,
        turnaround=_turnaround(row, reader),
    )


def _turnaround(row: Mould, reader: Reader) -> str:
    own = row.turnaround_h
    if own is None:
        return say(Message("mould_turnaround_usual", {"turnaround_h": TURNAROUND_H}), reader)
    return say(Message("mould_turnaround", {"turnaround_h": own}), reader)


def _came_out(session: Session, pour_id: int) -> str:
    done = steps_done(session, pour_id)
    return next((one.came_out or "" for one in done if one.step == EMPTIES), "")


@router.post("/{mould_id}/released")
def release(mould_id: Key, post: FormPostDep) -> Response:
    """It is cleaned, and release agent is on."""

    def store(session: Session) -> Landing:
        before = find(session, Mould, mould_id, "mould_id").released_at
        row = keep_mould.release(session, post.context.now, mould_id, post.happened_at)
        back = {"before": before.isoformat()} if before else {}
        page = f"/moulds/{mould_id}"
        return Landing(page, "saved_released", {"name": row.name}, f"{page}/unreleased", back)

    return post.write(Form.of([]), store)


@router.post("/{mould_id}/unreleased")
def unrelease(mould_id: Key, post: FormPostDep) -> Response:
    """That was a mistake: it was released when it was before."""
    form = Form.of([Control("before", "Before", "moment")], post.fields)

    def store(session: Session) -> Landing:
        before = form.value("before")
        refuse_faults(form)
        row = keep_mould.release(session, post.context.now, mould_id, None)
        if before is not None:  # the hour of before is earlier: it would not count over this one
            row = keep_mould.release(session, post.context.now, mould_id, before)
        return Landing(f"/moulds/{mould_id}", "saved_unreleased", {"name": row.name})

    return post.write(form, store)


@router.post("/{mould_id}/another")
def another(mould_id: Key, post: FormPostDep) -> Response:
    """One more of its kind."""

    def store(session: Session) -> Landing:
        row = keep_mould.one_more(session, post.context.now, mould_id)
        told = {"name": row.name}
        return Landing(f"/moulds/{row.id}", "saved_new", told, f"/shop/mould/{row.id}/archive")

    return post.write(Form.of([]), store)


@router.post("/{mould_id}/faults")
def add_fault(mould_id: Key, file_post: FilePostDep) -> Response:
    post = file_post.post
    form = _form(post.context.reader(), post.fields)

    def store(session: Session) -> Landing:
        at = form.value("at", find_shop(session).timezone) or post.happened_at
        kind, note = form.value("kind"), form.value("note") or ""
        refuse_faults(form)
        row = keep_mould.keep_fault(
            session, post.context.now, mould_id, kind, at=at, note=note, photo=file_post.content
        )
        page = f"/moulds/{mould_id}"
        return Landing(page, "saved_fault", {"kind": kind}, f"{page}/faults/{row.id}/remove")

    return post.write(form, store, lambda: _page(post.context, mould_id, form, 422))


@router.post("/{mould_id}/faults/{fault_id}/mended")
def mended(mould_id: Key, fault_id: Key, post: FormPostDep) -> Response:
    return _of_fault(
        post,
        mould_id,
        lambda s: keep_mould.mend(s, post.context.now, mould_id, fault_id, done=True),
        "saved_mended",
        f"{fault_id}/unmended",
    )


@router.post("/{mould_id}/faults/{fault_id}/unmended")
def unmended(mould_id: Key, fault_id: Key, post: FormPostDep) -> Response:
    return _of_fault(
        post,
        mould_id,
        lambda s: keep_mould.mend(s, post.context.now, mould_id, fault_id, done=False),
        "saved_unmended",
    )


@router.post("/{mould_id}/faults/{fault_id}/remove")
def remove(mould_id: Key, fault_id: Key, post: FormPostDep) -> Response:
    return _of_fault(
        post,
        mould_id,
        lambda s: keep_mould.remove_fault(s, post.context.now, mould_id, fault_id, gone=True),
        "saved_removed",
        f"{fault_id}/restore",
    )


@router.post("/{mould_id}/faults/{fault_id}/restore")
def restore(mould_id: Key, fault_id: Key, post: FormPostDep) -> Response:
    return _of_fault(
        post,
        mould_id,
        lambda s: keep_mould.remove_fault(s, post.context.now, mould_id, fault_id, gone=False),
        "saved_back",
    )


def _of_fault(
    post: FormPost,
    mould_id: int,
    work: Callable[[Session], MouldFault],
    said: str,
    undo: str = "",
) -> Response:
    page = f"/moulds/{mould_id}"

    def store(session: Session) -> Landing:
        row = work(session)
        back = f"{page}/faults/{undo}" if undo else ""
        return Landing(page, said, {"kind": row.kind}, back)

    return post.write(Form.of([]), store)
