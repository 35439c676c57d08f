"""Log a pour: everything preselected from the last one, or described here for the first."""

from fastapi import APIRouter, Response
from sqlmodel import Session

from models.doubt import Doubt
from models.facts.protection import COVERS
from models.records import Mould, Piece, Place
from service.actions.pours import doubtful
from service.actions.pours.log_pour import log_pour
from service.actions.shop.set_up_shop import save_mould
from service.actions.weather.refresh_forecasts import type_weather
from service.nouns import mould, piece, pour
from service.nouns.controls import listed
from service.nouns.cover import FACES_WORDS, ProtectionCreate
from service.nouns.form import NEW, Control, Form
from service.nouns.pour import PourCreate
from service.nouns.tonight import NIGHT
from service.pages import render
from service.pages.choices import (
    TEMPERATURES,
    Choices,
    choices,
    chosen_fields,
    chosen_rows,
    free_name,
)
from service.pages.form_post import FormPost, FormPostDep, PageRoute, refuse_faults
from service.queries.rows import by_name, find
from service.request_context import ContextDep, RequestContext
from service.words import word

OWN_PLACE = ("concrete_C", "bags", "water_added_l", "note")  # on the page
router = APIRouter(route_class=PageRoute, include_in_schema=False)
COVER_WORDS = {"none": "nothing", **{kind: word("cover", kind) for kind in COVERS}}


def pour_fields(have: Choices) -> list[Control]:
    covers = listed(COVER_WORDS)
    return [
        *chosen_fields(have),
        have.mould(),
        *mould.controls(()),
        have.sealer(),
        Control("cover", "Cover from the start", "radio", options=covers, default=have.last_cover),
        Control("cover_faces", "Where", "radio", options=listed(FACES_WORDS), default="top"),
        Control("cover_setpoint_C", "Enclosure kept at", default="15 C", dimension="temperature_C"),
        Control("placed_at", "Not just now? Youngest batch went in at", "moment"),
        *pour.controls(),
        *NIGHT,
    ]


@router.get("/pour")
def ask(context: ContextDep) -> Response:
    with context.store.reading() as session:
        have = choices(session)
    return _page(context, have, Form.of(pour_fields(have), None, have.units))


@router.post("/pour")
def log(post: FormPostDep) -> Response:
    """Stored at once; the page that follows computes the windows."""
    with post.context.store.reading() as session:
        have = choices(session)
    form = Form.of(pour_fields(have), post.fields, have.units)

    def store(session: Session) -> str:
        return _store(session, post, form, have)

    return post.write(form, store, lambda: _page(post.context, have, form, 422))


def _store(session: Session, post: FormPost, form: Form, have: Choices) -> str:
    now = post.context.now
    values = form.values_of(PourCreate, unread={"placed_at", "mould_id"})
    form.values(("placed_at", *TEMPERATURES))
    rows = chosen_rows(session, post, form, have)
    zone = find(session, Place, rows["place_id"]).timezone
    placed_at = form.value("placed_at", zone) or now
    covers = _covers(form)
    refuse_faults(form)
    mould_id = _mould(session, post.context, form, rows["piece_id"])
    values |= {**rows, "mould_id": mould_id, "placed_at": placed_at, "protections": covers}
    logged = log_pour(session, now, PourCreate(**values))
    found = doubtful.of_pour(session, now, rows["place_id"], placed_at, values, form)
    found += typed_weather(session, post.context, form, rows["place_id"])
    if form.value("piece_id") == NEW:
        found += doubtful.of_piece(piece.values(form, ""), "piece.")
    doubtful.ask(found, form.confirmed)
    return f"/pours/{logged.id}?said=poured"


def _mould(session: Session, context: RequestContext, form: Form, piece_id: int) -> int | None:
    chosen = form.value("mould_id")
    if chosen != NEW:
        return int(chosen) if chosen else None
    made_for = find(session, Piece, piece_id)
    values = {**mould.values(form, f"{made_for.name} mould"), "piece_id": piece_id}
    refuse_faults(form)
    values = free_name(values, by_name(session, Mould))
    with form.named("mould."):
        return save_mould(session, context.now, values).id


def _covers(form: Form) -> list[ProtectionCreate]:
    kind = form.value("cover")
    if kind in (None, "none"):
        return []
    warm = form.value("cover_setpoint_C") if kind == "heated enclosure" else None
    faces = form.value("cover_faces") or "top"
    return [ProtectionCreate(kind=kind, setpoint_C=warm, faces=faces)]


def typed_weather(
    session: Session, context: RequestContext, form: Form, place_id: int
) -> list[Doubt | None]:
    """Tonight's low and tomorrow's high, when both were typed; what is to be asked about them."""
    low, high = form.value("night_low_C"), form.value("day_high_C")
    for name, value, other in (("night_low_C", low, high), ("day_high_C", high, low)):
        if value is None and other is not None and name not in form.wrong:
            form.wrong[name] = "Empty, while the other is typed; give both, or neither."
    refuse_faults(form)
    if low is None or high is None:
        return []
    found = doubtful.of_night(session, context.now, place_id, form.values(TEMPERATURES), form)
    type_weather(session, context.now, place_id, low, high)
    return found


def _page(context: RequestContext, have: Choices, form: Form, status: int = 200) -> Response:
    return render.page(
        "log.html",
        status,
        title="Log a pour",
        tab="pour",
        reader=context.reader(),
        form=form,
        have=have,
        first=have.last is None,
        further=[one.name for one in pour.controls() if one.name not in OWN_PLACE],
    )
