"""A logger's file taken in on the page of a place: chosen, shown as it was understood, kept."""

from collections.abc import Sequence
from typing import Any

from fastapi import APIRouter, Response
from sqlmodel import Session

from models.errors import InputError
from models.records import Place
from service.actions.changes import added
from service.actions.pours.take_logger import take_logger
from service.nouns.form import Control, Form
from service.pages import flash, render, view
from service.pages.flash import Landing
from service.pages.form_post import FilePostDep, FormPost, FormPostDep, PageRoute
from service.queries.rows import find, find_shop
from service.request_context import ContextDep, Key, RequestContext
from service.weather import logger_file
from service.weather.logger_file import Asked, Logged, Row
from service.words import measure

router = APIRouter(
    prefix="/places/{place_id}/logger", route_class=PageRoute, include_in_schema=False
)
SHOWN = 10  # rows, from first to last
FILE = Control("file", "The logger’s file", "file")
PARTED = "|"  # between the cells of a row that the form carries on
ROWED = "~"  # and between rows; no time or number has either


@router.get("")
def ask(place_id: Key, context: ContextDep) -> Response:
    return _page(context, place_id, Form.of([FILE], None, context.reader()))


@router.post("")
def understand(place_id: Key, file_post: FilePostDep) -> Response:
    """Nothing is stored yet: the rows go on within the form."""
    post = file_post.post
    form = post.form([FILE])
    try:
        if not file_post.content:
            raise InputError("file", None, "no file was chosen", "a CSV")
        found = logger_file.read(file_post.content, "the file")
    except InputError as error:
        form.refuse(error)
        return _page(post.context, place_id, form, 422)
    return _shown(post, place_id, found.rows, unit=found.unit, zoned=found.zoned)


@router.post("/keep")
def keep(place_id: Key, post: FormPostDep) -> Response:
    """The rows as they were shown become readings of the air; or they are read anew."""
    rows = _carried(post.text("rows"))
    unit, zoned = post.text("unit"), post.text("zoned") == "1"
    if post.text("act") != "keep" or unit not in ("C", "F"):
        return _shown(post, place_id, rows, unit=unit, zoned=zoned)
    form = post.form([FILE])
    asked = Asked(unit, post.text("zone"), post.text("order") == "mdy")

    def store(session: Session) -> Landing:
        logged = logger_file.thinned(logger_file.understood(rows, asked))
        kept = take_logger(session, post.context.now, place_id, logged)
        told = {"count": len(kept)}
        return Landing(f"/places/{place_id}", "saved_logger", told, flash.UNDO, kept=added(kept))

    return post.write(form, store, lambda: _page(post.context, place_id, form, 422))


def _carried(text: str) -> list[Row]:
    cells = (row.split(PARTED) for row in text.split(ROWED))
    return [(row[0], row[1], row[2]) for row in cells if len(row) == 3]


def _shown(
    post: FormPost, place_id: int, rows: Sequence[Row], *, unit: str, zoned: bool
) -> Response:
    """Ten rows as they would be kept, and the questions that the file leaves open."""
    context = post.context
    with context.store.reading() as session:
        place, shop = find(session, Place, place_id, "place_id"), find_shop(session)
    reader = context.reader(place.timezone)
    sure = logger_file.month_first(rows)
    order = post.text("order") or (
        "mdy" if sure or (sure is None and reader.order == "mdy") else "dmy"
    )
    zone = post.text("zone") or place.timezone
    guessed = unit or reader.units.temperature
    form = post.form([FILE])
    try:
        read = logger_file.understood(rows, Asked(guessed, zone, order == "mdy"))
    except InputError as error:
        form.refuse(error)
        return _page(context, place_id, form, 422)
    kept = logger_file.thinned(read)
    every = max(len(kept) // SHOWN, 1)
    clock = view.Clock(context.now, reader)
    slim = _slim(rows, read, kept)
    return _page(
        context,
        place_id,
        form,
        rows=ROWED.join(PARTED.join(row) for row in slim),
        unit=unit,
        guessed=guessed,
        zone=zone,
        zones=list(dict.fromkeys((place.timezone, shop.timezone, "UTC"))),
        zoned=zoned,
        order=order,
        either=sure is None and any(_slashed(row) for row in rows),
        seen=[_line(one, clock) for one in kept[::every][:SHOWN]],
        found=len(read),
        kept=len(kept),
    )


def _slashed(row: Row) -> bool:
    match = logger_file.SLASHED.search(row[0])
    return match is not None and len(match[1]) < 3


def _slim(rows: Sequence[Row], read: Sequence[Logged], kept: Sequence[Logged]) -> list[Row]:
    """Of the rows only those that would be kept, so that the form carries little."""
    wanted = set(kept)
    return [row for row, one in zip(rows, read, strict=True) if one in wanted]


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
    return render.page(
        "logger.html",
        status,
        title="A logger’s file",
        tab="shop",
        reader=context.reader(place.timezone),
        place=place,
        form=form,
        shown=shown,
    )
