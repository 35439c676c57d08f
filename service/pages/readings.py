"""What is put down about a pour later: readings, steps, covers, tests, and their undoing."""

from collections.abc import Callable
from datetime import datetime
from typing import Annotated, Any

from fastapi import APIRouter, Path, Response
from sqlmodel import Session

from models.records import Batch, Pour, ProtectionPeriod, StrengthTest
from models.records import Reading as ReadingRow
from service.actions import doubtful
from service.actions.change_protection import put_on, remove_protection, take_off
from service.actions.log_batch import log_batch, remove_batch
from service.actions.record_reading import mark_reading, record_reading, remove_reading
from service.actions.record_strength_test import record_strength_test, remove_strength_test
from service.actions.refresh_forecasts import type_weather
from service.nouns.batch import BatchCreate
from service.nouns.cover import ProtectionCreate
from service.nouns.form import Form
from service.nouns.reading import ReadingCreate
from service.nouns.strength_test import StrengthTestCreate
from service.pages import look, render
from service.pages.entries import FORMS
from service.pages.form_post import (
    ContextDep,
    FormPost,
    FormPostDep,
    PageRoute,
    PourId,
    Refused,
    RowId,
    form_action,
    refuse_faults,
)
from service.queries.pours import zone_of
from service.queries.rows import NoSuchRow, find, of_pour, units_of
from service.request_context import RequestContext

Deed = Annotated[str, Path(max_length=20)]
router = APIRouter(prefix="/pours/{pour_id}", route_class=PageRoute, include_in_schema=False)


def form_page(
    context: RequestContext, pour_id: int, kind: str, form: Form, status: int = 200
) -> Response:
    """A form about one pour, with what was typed."""
    heading, button, _ = FORMS[kind]
    with context.store.reading() as session:
        seen = look.pour(session, context.now, pour_id)
    return render.page(
        f"{kind}.html",
        status,
        title=heading,
        tab="",
        seen=seen,
        form=form,
        button=button,
        action=f"/pours/{pour_id}/{kind}",
        zone=seen.place.timezone,
    )


@router.get("/{kind}/add")
def ask(
    pour_id: PourId, kind: Annotated[str, Path(max_length=20)], context: ContextDep
) -> Response:
    """The form of a reading, a cover, a test, or of tonight's weather."""
    if kind not in FORMS:
        raise NoSuchRow("address", kind, "nothing is there", " | ".join(FORMS))
    with context.store.reading() as session:
        units = units_of(session)
    return form_page(context, pour_id, kind, Form.of(FORMS[kind][2], None, units))


def _take(
    post: FormPost, pour_id: int, kind: str, work: Callable[[Session, Form, Pour, datetime], object]
) -> Response:
    """Store what a form says about a pour, reckon it anew, go back to the pour."""
    with post.context.store.reading() as session:
        units = units_of(session)
    form = Form.of(FORMS[kind][2], post.fields, units)

    def store(session: Session) -> str:
        pour = find(session, Pour, pour_id, "pour_id")
        zone = zone_of(session, pour_id)
        at = (form.value("at", zone) if "at" in form.fields else None) or post.context.now
        work(session, form, pour, at)
        return f"/pours/{pour_id}?said={kind}"

    try:
        return post.write(form, store)
    except Refused:
        return form_page(post.context, pour_id, kind, form, 422)


@router.post("/reading")
def add_reading(pour_id: PourId, post: FormPostDep) -> Response:
    def store(session: Session, form: Form, pour: Pour, at: datetime) -> None:
        values = form.values_of(ReadingCreate, unread={"at"}) | {"at": at}
        if values["kind"] != "air-min-max":
            values["value_max_C"] = None
        refuse_faults(form)
        now = post.context.now
        record_reading(session, now, pour.id, ReadingCreate(**values))
        found = doubtful.of_reading(session, now, pour.id, values["kind"], values, form)
        doubtful.ask(found, form.confirmed)

    return _take(post, pour_id, "reading", store)


@router.post("/set")
def add_set(pour_id: PourId, post: FormPostDep) -> Response:
    def store(session: Session, form: Form, pour: Pour, at: datetime) -> None:
        values = form.values_of(ReadingCreate, unread={"at"}) | {"at": at}
        refuse_faults(form)
        record_reading(session, post.context.now, pour.id, ReadingCreate(**values))

    return _take(post, pour_id, "set", store)


@router.post("/dryness")
def add_dryness(pour_id: PourId, post: FormPostDep) -> Response:
    def store(session: Session, form: Form, pour: Pour, at: datetime) -> None:
        values = form.values_of(ReadingCreate, unread={"at"}) | {"at": at}
        if values["kind"] != "tile":
            values["mass_g"] = None
        refuse_faults(form)
        record_reading(session, post.context.now, pour.id, ReadingCreate(**values))

    return _take(post, pour_id, "dryness", store)


@router.post("/cover")
def add_cover(pour_id: PourId, post: FormPostDep) -> Response:
    def store(session: Session, form: Form, pour: Pour, at: datetime) -> None:
        values = form.values_of(ProtectionCreate) | {"from_at": at}
        if values["kind"] != "heated enclosure":
            values["setpoint_C"] = values["heater"] = None
        refuse_faults(form)
        with form.named("", {"from_at": "at"}):
            put_on(session, post.context.now, pour.id, ProtectionCreate(**values))

    return _take(post, pour_id, "cover", store)


@router.post("/test")
def add_test(pour_id: PourId, post: FormPostDep) -> Response:
    def store(session: Session, form: Form, pour: Pour, at: datetime) -> None:
        values = form.values_of(StrengthTestCreate, unread={"at"}) | {"at": at}
        refuse_faults(form)
        with form.named("", {"strength_test[0].at": "at"}):
            record_strength_test(session, post.context.now, pour.id, StrengthTestCreate(**values))

    return _take(post, pour_id, "test", store)


@router.post("/batch")
def add_batch(pour_id: PourId, post: FormPostDep) -> Response:
    def store(session: Session, form: Form, pour: Pour, at: datetime) -> None:
        values = form.values_of(BatchCreate, unread={"at"}) | {"at": at}
        refuse_faults(form)
        log_batch(session, post.context.now, pour.id, BatchCreate(**values))

    return _take(post, pour_id, "batch", store)


@router.post("/weather")
def add_weather(pour_id: PourId, post: FormPostDep) -> Response:
    def store(session: Session, form: Form, pour: Pour, _at: datetime) -> None:
        night = form.values(("night_low_C", "day_high_C"))
        refuse_faults(form)
        found = doubtful.of_night(session, post.context.now, pour.place_id, night, form)
        type_weather(session, post.context.now, pour.place_id, **night)
        doubtful.ask(found, form.confirmed)

    return _take(post, pour_id, "weather", store)


def _of_this_pour(found: Any, pour_id: int, what: str) -> None:
    if found.pour_id != pour_id:
        raise NoSuchRow(what, found.id, f"no such {what} of pour {pour_id}", "one of this pour's")


def _reading_of_place(session: Session, pour_id: int, row_id: int) -> None:
    row = find(session, ReadingRow, row_id, "reading")
    if row.place_id != find(session, Pour, pour_id).place_id:
        _of_this_pour(row, pour_id, "reading")


@router.post("/readings/{row_id}/{deed}")
def change_reading(pour_id: PourId, row_id: RowId, deed: Deed, post: FormPostDep) -> Response:
    """It was logged by mistake, or its instrument was wrong, or was not after all."""

    def work(session: Session, now: datetime) -> None:
        _reading_of_place(session, pour_id, row_id)
        if deed == "remove":
            remove_reading(session, now, row_id)
        elif deed in ("wrong", "right"):
            mark_reading(session, now, row_id, wrong=deed == "wrong")
        else:
            raise NoSuchRow("address", deed, "nothing is there", "remove | wrong | right")

    return form_action(post, pour_id, work, "removed" if deed == "remove" else "marked")


@router.post("/tests/{row_id}/remove")
def drop_test(pour_id: PourId, row_id: RowId, post: FormPostDep) -> Response:
    def work(session: Session, now: datetime) -> None:
        _of_this_pour(find(session, StrengthTest, row_id, "test"), pour_id, "test")
        remove_strength_test(session, now, row_id)

    return form_action(post, pour_id, work, "removed")


@router.post("/batches/{row_id}/remove")
def drop_batch(pour_id: PourId, row_id: RowId, post: FormPostDep) -> Response:
    def work(session: Session, _now: datetime) -> None:
        _of_this_pour(find(session, Batch, row_id, "batch"), pour_id, "batch")
        remove_batch(session, row_id)

    return form_action(post, pour_id, work, "removed")


@router.post("/covers/{row_id}/{deed}")
def change_cover(pour_id: PourId, row_id: RowId, deed: Deed, post: FormPostDep) -> Response:
    """A cover comes off now, or was never on."""

    def work(session: Session, now: datetime) -> None:
        known = [row.id for row in of_pour(session, ProtectionPeriod, pour_id, "from_at")]
        if row_id not in known:
            raise NoSuchRow("cover", row_id, "no such cover", f"one of {known}")
        if deed == "off":
            take_off(session, now, row_id, now)
        elif deed == "remove":
            remove_protection(session, now, row_id)
        else:
            raise NoSuchRow("address", deed, "nothing is there", "off | remove")

    return form_action(post, pour_id, work, "off" if deed == "off" else "removed")
