"""A logger's file taken in on the page of a place: chosen, shown as it was understood, corrected
where it was understood wrongly, kept."""

from dataclasses import replace
from typing import Any

from fastapi import APIRouter, Response
from sqlmodel import Session

from models.errors import InputError
from models.records import Place
from service.actions.changes import added
from service.actions.pours.hold_file import held, hold
from service.actions.pours.take_logger import forget, remember, remembered, take_logger
from service.nouns import blame
from service.nouns.form import Control, Form
from service.pages import flash, render, view
from service.pages.flash import Landing
from service.pages.form_post import FilePostDep, FormPost, FormPostDep, PageRoute, refuse_faults
from service.queries.loggers import loggers
from service.queries.rows import find, find_shop
from service.request_context import ContextDep, Key, RequestContext
from service.weather import logger_file, logger_table
from service.weather.logger_file import DECIMALS, Layout, Logged, LoggerFile
from service.weather.logger_table import DELIMITERS, Table
from service.words import measure

router = APIRouter(
    prefix="/places/{place_id}/logger", route_class=PageRoute, include_in_schema=False
)
SHOWN = 10  # rows, from first to last
FILE = Control("file", "The logger’s file", "file")
NONE = (("", "none"),)
ORDERS = (("dmy", "The day"), ("mdy", "The month"))
UNITS = (("C", "\u00b0C"), ("F", "\u00b0F"))


@router.get("")
def ask(place_id: Key, context: ContextDep) -> Response:
    return _page(context, place_id, Form.of([FILE], None, context.reader()))


@router.post("")
def understand(place_id: Key, file_post: FilePostDep) -> Response:
    """No reading is stored yet: the file is held until somebody has seen how it is read."""
    post = file_post.post
    form = post.form([FILE])
    try:
        if not file_post.content:
            raise InputError("file", None, "no file was chosen", "a CSV")
        table = logger_table.read(file_post.content, "the file")
        with post.context.store.unit_of_work() as session:
            word = hold(session, post.context.now, file_post.content)
    except InputError as error:
        form.refuse(error)
        return _page(post.context, place_id, form, 422)
    with post.context.store.reading() as session:
        known = remembered(session, table)
    layout, unsaid = _guessed(post.context, place_id, table)
    name = ""
    if known is not None:
        (name, layout), unsaid = known, set()
    return _shown(post.context, place_id, word, table, layout, name=name, known=name, unsaid=unsaid)


@router.post("/keep")
def keep(place_id: Key, post: FormPostDep) -> Response:
    """The file becomes readings of the air as it was shown; or it is read anew."""
    form, context = post.form([FILE]), post.context
    word = post.text("held")
    try:
        with context.store.reading() as session:
            content = held(session, word)
        table = logger_table.read(content, "the file", post.text("delimiter"))
    except InputError as error:
        form.refuse(error)
        return _page(context, place_id, form, 422)
    guess, unsaid = _guessed(context, place_id, table)
    layout = _corrected(post, table, guess)
    name = post.text("name")

    def shown(refused: Form | None = None) -> Response:
        return _shown(
            context, place_id, word, table, layout, name=name, unsaid=unsaid, refused=refused
        )

    if post.text("act") != "keep":
        return shown()

    def store(session: Session) -> Landing:
        refuse_faults(form)
        found = logger_file.read(table, layout)
        kept = take_logger(session, context.now, place_id, logger_file.thinned(found.readings))
        if name:
            remember(session, context.now, name, layout)
        told = {"count": len(kept)}
        return Landing(f"/places/{place_id}", "saved_logger", told, flash.UNDO, kept=added(kept))

    return post.write(form, store, lambda: shown(form))


@router.post("/{logger_id}/forget")
def forget_logger(place_id: Key, logger_id: Key, post: FormPostDep) -> Response:
    """Its next file is guessed at as the first one was; its readings stay."""

    def store(session: Session) -> Landing:
        forget(session, logger_id)
        return Landing(f"/places/{place_id}/logger", "saved_no_logger")

    return post.write(Form.of([]), store)


def _guessed(context: RequestContext, place_id: int, table: Table) -> tuple[Layout, set[str]]:
    with context.store.reading() as session:
        place = find(session, Place, place_id, "place_id")
    reader = context.reader(place.timezone)
    usual = reader.units.temperature, reader.order == "mdy"
    return logger_file.guessed(table, place.timezone, *usual)


def _corrected(post: FormPost, table: Table, guess: Layout) -> Layout:
    """As it is told on the page; a column that another delimiter has taken away is guessed."""
    told = {
        name: post.text(name)
        for name in ("delimiter", "decimal", "unit", "zone")
        if post.text(name)
    }
    for name in ("date_column", "time_column", "air_column", "wet_column"):
        value = post.text(name)
        may_be_none = name in ("date_column", "wet_column") and name in post.fields
        if value in table.headings or (not value and may_be_none):
            told[name] = value
    order = post.text("order")
    first = order == "mdy" if order else guess.month_first
    return replace(guess, **told, month_first=first)


def _controls(table: Table, layout: Layout, zones: list[str], name: str) -> list[Control]:
    headings = tuple((one, one) for one in table.headings)
    return [
        Control("unit", "Its degrees are", "radio", options=UNITS, default=layout.unit),
        Control(
            "order",
            "Which stands first in its dates?",
            "radio",
            options=ORDERS,
            default="mdy" if layout.month_first else "dmy",
        ),
        Control(
            "zone",
            "Its clock ran on",
            "choice",
            options=tuple((one, one) for one in zones),
            default=layout.zone,
            hint="UTC and an offset: a clock that nobody changes between summer and winter",
        ),
        Control(
            "delimiter",
            "Columns are parted by",
            "choice",
            options=tuple(DELIMITERS.items()),
            default=layout.delimiter,
        ),
        Control(
            "decimal",
            "Its decimals",
            "radio",
            options=tuple(DECIMALS.items()),
            default=layout.decimal,
        ),
        *(
            Control(name, words, "choice", options=options, default=value, typed=True)
            for name, words, options, value in (
                ("time_column", "Time", headings, layout.time_column),
                (
                    "date_column",
                    "Date, where it stands apart",
                    (*NONE, *headings),
                    layout.date_column,
                ),
                ("air_column", "Temperature", headings, layout.air_column),
                ("wet_column", "Relative humidity", (*NONE, *headings), layout.wet_column),
            )
        ),
        Control("name", "Name of the logger", default=name, hint="its next file is read alike"),
    ]


def _shown(
    context: RequestContext,
    place_id: int,
    word: str,
    table: Table,
    layout: Layout,
    *,
    name: str,
    unsaid: set[str],
    known: str = "",
    refused: Form | None = None,
) -> Response:
    """Ten rows as they would be kept, what the file leaves open, and how it is read besides."""
    with context.store.reading() as session:
        place, shop = find(session, Place, place_id, "place_id"), find_shop(session)
    reader = context.reader(place.timezone)
    form = refused or Form.of([FILE], None, reader)
    found: LoggerFile | None = None
    try:
        zones = logger_file.zones(table, layout, place.timezone, shop.timezone)
        found = logger_file.read(table, layout)
    except InputError as error:
        zones = [place.timezone, shop.timezone, "UTC"]
        form.refuse(error)
    kept = logger_file.thinned(found.readings) if found is not None else []
    every = max(len(kept) // SHOWN, 1)
    clock = view.Clock(context.now, reader)
    unread = found.unread if found is not None else ()
    return _page(
        context,
        place_id,
        form,
        422 if form.messages or form.wrong else 200,
        held=word,
        ways=Form.of(_controls(table, layout, zones, name), None, reader),
        unsaid=unsaid,
        readable=found is not None,
        known=known,
        zone=layout.zone,
        zoned=found is not None and found.zoned,
        seen=[_line(one, clock) for one in kept[::every][:SHOWN]],
        found=0 if found is None else len(found.readings),
        kept=len(kept),
        silent=0 if found is None else found.silent,
        unread=len(unread),
        first=blame.above(unread[0], reader) if unread else "",
    )


def _line(one: Logged, clock: view.Clock) -> tuple[str, str, str]:
    moment = clock(one.at)
    assert moment is not None
    wet = "" if one.rh_pct is None else f"{one.rh_pct:.0f} %"
    return moment.clock, measure(one.air_C, "temperature_C", clock.reader), wet


def _page(
    context: RequestContext, place_id: int, form: Form, status: int = 200, **shown: Any
) -> Response:
    with context.store.reading() as session:
        place = find(session, Place, place_id, "place_id")
        remembered_ones = loggers(session)
    return render.page(
        "logger.html",
        status,
        title="A logger’s file",
        tab="shop",
        reader=context.reader(place.timezone),
        place=place,
        form=form,
        shown=shown,
        loggers=remembered_ones,
        delimiters=DELIMITERS,
    )
