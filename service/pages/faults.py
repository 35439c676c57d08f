"""What went wrong with a piece: where on its drawing, and what its log speaks for."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from fastapi import APIRouter, Response
from markupsafe import Markup
from sqlmodel import Session

from models.facts.faults import FAULTS
from models.message import Message
from models.piece.shape import Shape
from models.piece.spots import SPOTS, spot_at, spots_of
from models.records import PourFault
from service.actions.pours.keep_fault import fault_of, keep_fault, remove_fault
from service.actions.pours.keep_photo import keep_photo
from service.actions.pours.put_back import copy_of
from service.actions.record.causes_of import causes_of
from service.actions.record.parts import Wrong
from service.actions.windows.scenario_rows import shape_of
from service.nouns.fault import CausesRead, PourFaultCreate, causes_read, controls
from service.nouns.form import Form
from service.pages import page_data, render, view
from service.pages.flash import Landing
from service.pages.form_post import (
    FilePostDep,
    FormPostDep,
    PageRoute,
    form_action,
    refuse_faults,
)
from service.piece_drawing import Area, Mark, drawing
from service.queries.faults import faults_of
from service.queries.pours import zone_of
from service.request_context import ContextDep, Key, RequestContext
from service.words import Reader, say, word

router = APIRouter(prefix="/pours/{pour_id}/faults", route_class=PageRoute, include_in_schema=False)


@dataclass(frozen=True)
class Shown:
    """One fault in words, and what the log speaks for where it was asked."""

    row: PourFault
    number: int
    words: str
    where: str
    causes: CausesRead | None


@dataclass(frozen=True)
class Recorded:
    """One fault as the record prints it."""

    row: Wrong
    words: str
    where: str


def recorded(row: Wrong, shape: Shape, reader: Reader) -> Recorded:
    told = Message("fault_of", {"fault": row.kind, "at": row.at})
    return Recorded(row, say(told, reader), where(row, shape, reader))


def where(row: PourFault | Wrong, shape: Shape, reader: Reader) -> str:
    """Its place in words; nothing where none was told."""
    face = word("face", row.face, reader) if row.face else ""
    spot = ""
    if row.x_mm is not None and row.y_mm is not None:
        spot = word("spot", spot_at(shape, row.x_mm, row.y_mm).key, reader)
    return ", ".join(part for part in (spot, face) if part)


@router.get("")
def show(
    pour_id: Key, context: ContextDep, fault: int = 0, spot: str = "", kind: str = ""
) -> Response:
    """fault : whose causes are told, else of the newest; spot, kind : chosen already."""
    data = page_data.of_pour(context, pour_id)
    shape, reader = shape_of(data.piece), context.reader(data.place.timezone)
    known = kind if kind in FAULTS else ""
    form = Form.of(controls(shape, reader, known, spot if spot in SPOTS else ""), None, reader)
    return _page(context, data, form, fault, spot)


@router.post("")
def add(pour_id: Key, file_post: FilePostDep) -> Response:
    post = file_post.post
    data = page_data.of_pour(post.context, pour_id)
    shape, reader = shape_of(data.piece), post.context.reader(data.place.timezone)
    form = Form.of(controls(shape, reader), post.fields, reader)

    def store(session: Session) -> Landing:
        now = post.context.now
        at = form.value("at", zone_of(session, pour_id)) or post.happened_at
        kind, note = form.value("kind"), form.value("note") or ""
        refuse_faults(form)
        x_mm, y_mm = _middle(shape, form.value("spot") or "")
        wanted = PourFaultCreate(
            kind=kind, face=form.value("face"), x_mm=x_mm, y_mm=y_mm, note=note, at=at
        )
        row = keep_fault(session, now, pour_id, wanted)
        if file_post.content:
            words = word("fault", kind, reader)
            photo = keep_photo(session, now, pour_id, file_post.content, at=at, note=words)
            row.photo_id = photo.id
            session.add(row)
        page = f"/pours/{pour_id}/faults"
        undo = f"{page}/{row.id}/remove"
        return Landing(f"{page}?fault={row.id}", "saved_pour_fault", {"fault": kind}, undo)

    return post.write(form, store, lambda: _page(post.context, data, form, 0, "", 422))


@router.post("/{row_id}/remove")
def remove(pour_id: Key, row_id: Key, post: FormPostDep) -> Response:
    def work(session: Session, _now: datetime) -> Landing:
        copy = copy_of(fault_of(session, pour_id, row_id))
        remove_fault(session, pour_id, row_id)
        page = f"/pours/{pour_id}"
        return Landing(f"{page}/faults", "saved_removed", undo=f"{page}/restore", kept=copy)

    return form_action(post, pour_id, work, "removed")


def _middle(shape: Shape, key: str) -> tuple[float | None, float | None]:
    found = next((one for one in spots_of(shape) if one.key == key), None)
    return found.middle_mm if found else (None, None)


def _page(
    context: RequestContext,
    data: page_data.PourData,
    form: Form,
    wanted: int,
    spot: str,
    status: int = 200,
) -> Response:
    reader = context.reader(data.place.timezone, data.pour.placed_at)
    clock, shape = view.Clock(context.now, reader), shape_of(data.piece)
    page = f"/pours/{data.pour.id}/faults"
    with context.store.reading() as session:
        rows = faults_of(session, data.pour.id)
    asked = next((one.id for one in rows if one.id == wanted), rows[-1].id if rows else 0)
    shown = []
    for number, row in enumerate(rows, 1):
        causes = None
        if row.id == asked:
            causes = causes_read(
                causes_of(context.store, context.now, data.pour.id, row.id), reader
            )
        told = Message("fault_of", {"fault": row.kind, "at": row.at})
        shown.append(Shown(row, number, say(told, reader), where(row, shape, reader), causes))
    return render.page(
        "faults.html",
        status,
        title="What went wrong",
        reader=clock.reader,
        data=data,
        form=form,
        faults=shown[::-1],
        page=page,
        drawing=_drawing(shape, data.piece.name, reader, page, rows, spot),
        cause=lambda key: word("cause", key, reader),
        likelier=lambda times: say(Message("cause_likelier", {"times": times}), reader),
    )


def _drawing(
    shape: Shape, name: str, reader: Reader, page: str, rows: Sequence[PourFault], spot: str
) -> Markup:
    """The piece with a grid to tap, and a number at each fault."""
    areas = [
        Area(
            one.x_mm,
            one.y_mm,
            one.wide_mm,
            one.high_mm,
            f"{page}?spot={one.key}#tell",
            word("spot", one.key, reader),
            one.key == spot,
        )
        for one in spots_of(shape)
    ]
    return drawing(shape, name, reader, areas, marks(rows))


def marks(rows: Sequence[PourFault | Wrong]) -> list[Mark]:
    """A number at each fault whose place was told."""
    return [
        Mark(row.x_mm, row.y_mm, str(number))
        for number, row in enumerate(rows, 1)
        if row.x_mm is not None and row.y_mm is not None
    ]
