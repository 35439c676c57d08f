"""Log a pour: the piece brings the rest from its last time, or is described here."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Annotated

from fastapi import APIRouter, Query, Response
from sqlmodel import Session

from models.doubt import Doubt
from models.errors import InputError
from models.facts.cements import CLASSES
from models.facts.protection import COVERS
from models.records import Mould, Piece, Pour
from models.records.fields import LARGEST_KEY
from service import preference, towns
from service.actions.pours import doubtful
from service.actions.pours.log_pour import log_pour
from service.actions.pours.mould_room import InTheWay, TwoInOne
from service.actions.pours.pour_again import log_again
from service.actions.shop.set_up_shop import save_mould
from service.actions.weather.refresh_forecasts import type_weather
from service.nouns import mould, pour
from service.nouns import piece as pieces
from service.nouns.controls import listed
from service.nouns.cover import FACES_WORDS, ProtectionCreate
from service.nouns.form import NEW, Control, Form
from service.nouns.pour import MouldHeld, PourCreate
from service.nouns.tonight import NIGHT
from service.pages import again, render, view
from service.pages.choices import (
    TEMPERATURES,
    Choices,
    choices,
    chosen_fields,
    chosen_rows,
    then_chosen,
)
from service.pages.flash import Landing
from service.pages.form_post import FormPost, FormPostDep, PageRoute, Refused, refuse_faults
from service.pages.moulds import fault_words
from service.queries.held import holder
from service.queries.moulds import faults
from service.queries.poured import piece_label
from service.queries.pours import last_of_pieces, newest, newest_in
from service.queries.rows import by_name, find, find_shop, free_name, key_in
from service.request_context import ContextDep, RequestContext
from service.words import Reader, spelt, word

OWN_PLACE = ("concrete_C", "bags", "water_added_l", "series_of", "note")  # on the page
PIECES_SHOWN = 5
SOON_AGAIN = timedelta(minutes=30)
router = APIRouter(route_class=PageRoute, include_in_schema=False)
COVER_WORDS = {"none": "bare", **{kind: word("cover", kind) for kind in COVERS}}
AGO = {"0": "now", "30": "half an hour ago", "60": "an hour ago"}
HELD = {"stripped": "It was stripped", "another": "I have another mould of the kind"}
HELD_BEFORE = HELD | {"stripped": "This one was stripped before that"}
HELD_TOLD = HELD | {"stripped": "It was stripped earlier than that"}


@dataclass(frozen=True)
class Holder:
    """The pour that is in the way in the mould that is chosen."""

    id: int
    mould: str
    label: str
    day: str
    first: bool  # it was poured before the one that is logged here
    out: str  # when the first of the two was stripped, as it is told


def pour_fields(have: Choices, town: str = "") -> list[Control]:
    return [
        *(_unanswered(one, have) for one in chosen_fields(have, town)),
        have.mould(),
        *mould.controls(()),
        have.sealer(),
        *have.then(),
        Control("cover", "Cover", "radio", options=listed(COVER_WORDS), default=have.last_cover),
        Control("cover_faces", "Where", "radio", options=listed(FACES_WORDS), default="top"),
        Control(
            "cover_setpoint_C",
            "Enclosure kept at",
            default="15 C or 60 F",
            dimension="temperature_C",
        ),
        Control("ago", "When", "radio", options=listed(AGO), default="0"),
        Control("placed_at", "Earlier, or later", "moment"),
        Control("held", "The mould", "radio", options=listed(HELD)),
        Control("stripped_at", "Stripped at", "moment", hint="empty: just before the second pour"),
        *pour.controls(),
        *NIGHT,
    ]


def _unanswered(one: Control, have: Choices) -> Control:
    """What an empty shop is asked has no answer before it is given one."""
    first = {"mix.kind": not have.mixes, "place.kind": not have.places}
    return replace(one, default="") if first.get(one.name) else one


@router.get("/pour")
def ask(
    context: ContextDep,
    piece: Annotated[str, Query(max_length=12)] = "",
    mould: Annotated[int | None, Query(ge=1, le=LARGEST_KEY)] = None,
    like: Annotated[int | None, Query(ge=1, le=LARGEST_KEY)] = None,
) -> Response:
    """piece, mould : what is chosen already; the mould brings what was poured into it last
    like : a pour that is poured again
    """
    with context.store.reading() as session:
        row = session.get(Mould, mould) if mould else None
        last = newest_in(session, row.id) if row else session.get(Pour, like or 0)
        built_for = last.piece_id if last else row.piece_id if row else None
        have = _choices(session, piece or str(built_for or ""), last)
        if row is not None:
            have = replace(have, taken={**have.taken, "mould_id": row.id})
        fields = pour_fields(have)
        if have.like is not None:
            fields = again.as_before(session, fields, have.like)
        form = Form.of(fields, None, _reader(context, have))
        return _page(session, context, have, form)


@router.get("/pour/pieces")
def ask_piece(context: ContextDep, q: Annotated[str, Query(max_length=120)] = "") -> Response:
    """Every piece, for a shop that has more than stand on the page."""
    with context.store.reading() as session:
        rows = [(row.id, row.name) for row in by_name(session, Piece, q=q.strip())]
    return render.page(
        "pieces.html", title="Which piece?", tab="pour", reader=context.reader(), pieces=rows, q=q
    )


@router.post("/pour")
def log(post: FormPostDep) -> Response:
    """Stored at once; the page that follows computes the windows."""
    with post.context.store.reading() as session:
        key = key_in(post.text("like"))
        like = None if key is None else session.get(Pour, key)
        have = _choices(session, post.text("piece_id"), like)
    reader = _reader(post.context, have)
    form = Form.of(pour_fields(have, post.text("town")), post.fields, reader)

    clashes: list[InTheWay] = []

    def store(session: Session) -> Landing:
        return _store(session, post, form, have, clashes)

    def again() -> Response:
        with post.context.store.reading() as session:
            return _page(session, post.context, have, form, 422, clashes[-1] if clashes else None)

    return post.write(form, store, again)


def _first(have: Choices) -> bool:
    """Whether the shop is empty, so that three questions are asked."""
    return not have.pieces and not have.mixes


def _reader(context: RequestContext, have: Choices) -> Reader:
    """Whose numbers these are; the first are typed before the shop has told its units."""
    own = context.reader()
    return preference.proposed(own, context.accepted) if _first(have) else own


def _choices(session: Session, key: str, like: Pour | None) -> Choices:
    """Of the piece that is asked for; of the one poured last where none is, or it is gone.

    like : what it is poured like, where that is of this piece
    """
    if key == NEW:
        return choices(session, NEW)
    if like is not None and key == str(like.piece_id):
        return choices(session, like.piece_id, like=like)
    known = {str(row.id): row.id for row in by_name(session, Piece)}
    last = newest(session)
    return choices(session, known.get(key, last.piece_id if last else None))


def _store(
    session: Session, post: FormPost, form: Form, have: Choices, clashes: list[InTheWay]
) -> Landing:
    now = post.context.now
    values = form.values_of(PourCreate, unread={"placed_at", "mould_id"})
    form.values(("placed_at", "stripped_at", *TEMPERATURES))
    described = form.value("piece_id") == NEW
    rows = chosen_rows(session, post, form, have)
    zone = find_shop(session).timezone  # which a first place has just given it
    clock = view.Clock(now, replace(post.context.reader(), timezone=zone))
    placed_at = form.value("placed_at", zone) or post.happened_at - _ago(form)
    covers = _covers(form)
    refuse_faults(form)
    if not described:
        _not_twice(session, form, rows["piece_id"], placed_at, clock)
    mould_id = _mould(session, post.context, form, rows["piece_id"])
    values["sealer_then"] = then_chosen(form)
    values |= {**rows, "mould_id": mould_id, "placed_at": placed_at, "protections": covers}
    values["mould_held"] = _answer(form, zone)
    logged = _logged(session, form, PourCreate(**values), clock, clashes, have.like)
    found = doubtful.of_pour(session, now, rows["place_id"], placed_at, values, form)
    found += typed_weather(session, post.context, form, rows["place_id"])
    if described:
        found += doubtful.of_piece(pieces.values(form, ""), "piece.")
    doubtful.ask(found, form.confirmed)
    page = f"/pours/{logged.id}"
    return Landing(page, "saved_poured", undo=f"{page}/close", fields={"why": "logged by mistake"})


def _ago(form: Form) -> timedelta:
    return timedelta(minutes=int(form.value("ago") or 0))


def _not_twice(
    session: Session, form: Form, piece_id: int, placed_at: datetime, clock: view.Clock
) -> None:
    """The same piece again within minutes is asked about: back and again is easily pressed."""
    last = newest(session, piece_id)
    if last is None or last.closed_at is not None or form.confirmed:
        return
    if abs(placed_at - last.placed_at) < SOON_AGAIN:
        when = clock.at(last.placed_at).clock
        form.messages.append(
            f"{piece_label(last)} was logged already, poured {when}. A second one?"
        )
        form.doubted.append("piece_id")
        raise Refused(form)


def _mould(session: Session, context: RequestContext, form: Form, piece_id: int) -> int | None:
    chosen = form.value("mould_id")
    if chosen != NEW:
        return int(chosen) if chosen else None
    made_for = find(session, Piece, piece_id)
    values = {
        **mould.values(form, f"{made_for.name} {spelt('mould', form.reader)}"),
        "piece_id": piece_id,
    }
    refuse_faults(form)
    if not form.shown("mould.name").strip():
        values["name"] = free_name(session, Mould, values["name"])
    with form.named("mould."):
        return save_mould(session, context.now, values).id


def _logged(
    session: Session,
    form: Form,
    wanted: PourCreate,
    clock: view.Clock,
    clashes: list[InTheWay],
    like: Pour | None,
) -> Pour:
    """The pour; where its mould holds another the form comes back and asks about that one."""
    try:
        with form.named("", {"at": "stripped_at", "mould_held.stripped_at": "stripped_at"}):
            if like is not None:
                return log_again(session, clock.now, like.id, wanted)
            return log_pour(session, clock.now, wanted)
    except TwoInOne as error:
        wrong = f"holds {error.other.label}, poured {clock.at(error.other.placed_at).clock}"
        left = error.other.out_at
        if left is not None:
            wrong = f"{wrong}, stripped {clock.at(left).clock}"
        asked = "an earlier hour at which" if left else "when"
        allowed = spelt(f"{asked} the first was stripped, or another mould", form.reader)
        clashes.append(error.other)
        raise InputError("held", error.mould, wrong, allowed) from None


def _answer(form: Form, zone: str) -> MouldHeld | None:
    """What was answered about the pour that the mould still holds."""
    about, what = key_in(form.shown("held_pour")), form.value("held")
    if not what or about is None:
        return None
    at = form.value("stripped_at", zone)
    refuse_faults(form)
    return MouldHeld(pour_id=about, what=what, stripped_at=at)


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


def _page(
    session: Session,
    context: RequestContext,
    have: Choices,
    form: Form,
    status: int = 200,
    found: InTheWay | None = None,
) -> Response:
    """found : the pour that was in the way of this one; None: none, or not tried yet"""
    clock = view.Clock(context.now, form.reader)
    key = form.shown("piece_id")
    own = have.last if have.last and str(have.last.piece_id) == key else None
    first = _first(have)
    return render.page(
        "first.html" if first else "log.html",
        status,
        title="Your first pour" if first else "Log a pour",
        tab="pour",
        reader=form.reader,
        form=form,
        piece_key=key,
        summary=_summary(form),
        last=clock.at(own.placed_at).clock if own else "",
        pieces=_shown(have, last_of_pieces(session), key),
        many=len(have.pieces) > PIECES_SHOWN,
        held=_held(session, form, clock, found),
        fault=_last_fault(session, form),
        like=again.told(session, have.like) if have.like else None,
        further=[one.name for one in pour.controls() if one.name not in OWN_PLACE],
        usual=CLASSES,
        credit=towns.CREDIT,
    )


def _shown(have: Choices, last: dict[int, int], key: str) -> Sequence[tuple[str, str]]:
    """The pieces on the page: this one, then those that were poured last."""
    ranked = sorted(have.pieces, key=lambda row: (str(row.id) != key, -last.get(row.id, 0)))
    return [(str(row.id), row.name) for row in ranked[:PIECES_SHOWN]]


def _summary(form: Form) -> list[tuple[str, str]]:
    """What is stored when the button is pressed, by field."""
    shown = []
    for name in ("piece_id", "mix_id", "place_id", "mould_id", "cover", "sealer_id", "ago"):
        chosen = form.shown(name)
        words = dict(form.fields[name].options).get(chosen, "") if chosen else ""
        if chosen == NEW:
            words = f"a new {name.removesuffix('_id')}"
        if name == "ago":
            words = form.shown("placed_at").replace("T", " ") or words
        shown.append((name, words.partition(": ")[0]))
    return shown


def _held(session: Session, form: Form, clock: view.Clock, found: InTheWay | None) -> Holder | None:
    chosen = form.shown("mould_id")
    key, name = key_in(chosen), dict(form.fields["mould_id"].options).get(chosen, "")
    if found is not None and (found.out_at or not found.first):
        words = HELD_TOLD if found.out_at else HELD_BEFORE
        form.fields["held"] = replace(form.fields["held"], options=listed(words))
    if found is not None and found.out_at:
        form.fields["stripped_at"] = replace(form.fields["stripped_at"], hint="")
    row = None if key is None else holder(session, key)
    if row is not None and found is None:
        found = InTheWay(row.id, piece_label(row), row.placed_at, True, None)
    if found is None:
        return None
    day, out = (clock.at(at).clock if at else "" for at in (found.placed_at, found.out_at))
    return Holder(found.pour_id, name, found.label, day, found.first, out)


def _last_fault(session: Session, form: Form) -> tuple[int, str] | None:
    """What was wrong with the mould that is chosen, and its key: it is looked at before it is
    filled again."""
    key = key_in(form.shown("mould_id"))
    if key is None:
        return None
    wrong = faults(session, [key])[key]
    return (key, fault_words(wrong[0], form.reader)) if wrong else None
