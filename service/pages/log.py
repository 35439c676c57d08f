"""Log a pour: everything preselected from the last one, or described here for the first."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Response
from sqlmodel import Session

from models.doubt import Doubt
from models.errors import WeatherUnavailable
from models.facts.protection import COVERS
from models.records import Mix, Mould, Piece, Place, Pour, ProtectionPeriod, Row, Sealer
from service.actions import doubtful
from service.actions.log_pour import log_pour
from service.actions.refresh_forecasts import refresh_forecast, type_weather
from service.actions.set_up_shop import (
    change_shop,
    save_mix,
    save_mould,
    save_piece,
    save_place,
)
from service.door import Door
from service.nouns import mix, mould, piece, place
from service.nouns.controls import listed
from service.nouns.form import NEW, Control, Form
from service.pages import look, render
from service.pages.due import reckon
from service.pages.sent import DoorDep, PageRoute, Refused, Sent, SentDep
from service.queries.pours import newest
from service.queries.rows import by_name, find, find_shop, of_pour
from service.store import TROUBLE, trouble
from service.words import word

router = APIRouter(route_class=PageRoute, include_in_schema=False)
COVER_WORDS = {"none": "nothing", **{kind: word("cover", kind) for kind in COVERS}}
TEMPERATURES = ("night_low_C", "day_high_C")
DETAILS = ("concrete_C", "water_added_l", "bags", "note")


@dataclass(frozen=True)
class Choices:
    """What the shop has to choose from, and what it took last time."""

    pieces: Sequence[Piece]
    mixes: Sequence[Mix]
    places: Sequence[Place]
    moulds: Sequence[Mould]
    sealers: Sequence[Sealer]
    last: Pour | None
    last_cover: str
    zone: str
    units: str

    def field(self, name: str, label: str, rows: Sequence[Row], none: str = "") -> Control:
        """A choice of rows, the last one taken preselected; `none` names the empty choice."""
        options: list[tuple[str, str]] = [("", none)] if none else []
        options += [(str(row.id), row.name) for row in rows]  # type: ignore[attr-defined]
        taken = str(getattr(self.last, name) or "") if self.last else ""
        known = {key for key, _ in options}
        default = taken if taken in known else (options[0][0] if options else NEW)
        if name != "sealer_id":
            options.append((NEW, "a new one"))
        return Control(name, label, "key", options=tuple(options), needed=not none, default=default)


def choices(session: Session) -> Choices:
    last = newest(session)
    laid = of_pour(session, ProtectionPeriod, last.id, "from_at") if last else []
    return Choices(
        pieces=by_name(session, Piece),
        mixes=by_name(session, Mix),
        places=by_name(session, Place),
        moulds=by_name(session, Mould),
        sealers=by_name(session, Sealer),
        last=last,
        last_cover=laid[0].kind if laid else "none",
        zone=find_shop(session).timezone,
        units=look.units(session),
    )


def chosen_fields(have: Choices) -> list[Control]:
    """Piece, mix and place: rows to choose, or the fields of a new one."""
    return [
        have.field("piece_id", "Piece", have.pieces),
        have.field("mix_id", "Mix", have.mixes),
        have.field("place_id", "Place", have.places),
        *piece.controls(),
        *mix.controls(),
        *place.controls(have.zone),
    ]


def detail_fields() -> list[Control]:
    return [
        Control(
            "concrete_C",
            "Concrete as placed",
            dimension="temperature_C",
            hint="15 C or 59 F; empty: as the air",
        ),
        Control(
            "water_added_l",
            "Water above the label",
            dimension="volume_l",
            hint="2 l or 2 qt; empty: none",
        ),
        Control("bags", "Bags", dimension="count", hint="3 or 2 1/2"),
        Control("note", "Note"),
    ]


def pour_fields(have: Choices) -> list[Control]:
    covers = listed(COVER_WORDS)
    return [
        *chosen_fields(have),
        have.field("mould_id", "Mould", have.moulds, "melamine, 16 mm"),
        *mould.controls(()),
        have.field("sealer_id", "Sealer to come", have.sealers, "water-based acrylic, typical"),
        Control("cover", "Cover from the start", "radio", options=covers, default=have.last_cover),
        Control("cover_setpoint_C", "Enclosure kept at", default="15 C", dimension="temperature_C"),
        Control("placed_at", "Not just now? Youngest batch went in at", "moment"),
        *detail_fields(),
        Control("night_low_C", "Tonight's low", hint="-1 C or 30 F", dimension="temperature_C"),
        Control("day_high_C", "Tomorrow's high", hint="9 C or 48 F", dimension="temperature_C"),
    ]


@router.get("/pour")
def ask(door: DoorDep) -> Response:
    with door.store.reading() as session:
        have = choices(session)
    return _page(have, Form.of(pour_fields(have), None, have.units))


@router.post("/pour")
def log(sent: SentDep) -> Response:
    """Stored at once; the windows are reckoned before the answer, so that they are there."""
    with sent.door.store.reading() as session:
        have = choices(session)
    form = Form.of(pour_fields(have), sent.fields, have.units)
    made: dict[str, int] = {}

    def then() -> None:
        if made["fetch"]:
            fetch(sent.door, made["place"])
        reckon(sent.door, made["pour"])

    try:
        return sent.once(form, lambda session: _store(session, sent, form, have, made), then)
    except Refused:
        return _page(have, form, 422)


def _store(session: Session, sent: Sent, form: Form, have: Choices, made: dict[str, int]) -> str:
    now = sent.door.now
    values = {name: form.value(name) for name in (*DETAILS, "placed_at", *TEMPERATURES)}
    rows = chosen_rows(session, sent.door, form, have)
    zone = find(session, Place, rows["place_id"]).timezone
    placed_at = form.value("placed_at", zone) or now
    covers = _covers(form)
    refuse_faults(form)
    pour = log_pour(
        session,
        now,
        **rows,
        mould_id=_mould(session, sent.door, form, rows["piece_id"]),
        sealer_id=form.value("sealer_id"),
        placed_at=placed_at,
        concrete_C=values["concrete_C"],
        water_added_l=values["water_added_l"] or 0.0,
        bags=values["bags"],
        note=values["note"] or "",
        covers=covers,
    )
    warm = {"concrete_C": values["concrete_C"]}
    found = doubtful.of_pour(session, now, rows["place_id"], placed_at, warm, form.typed_F)
    found += typed_weather(session, sent.door, form, rows["place_id"])
    if form.value("piece_id") == NEW:
        found += doubtful.of_piece(piece.values(form, ""), "piece.")
    doubtful.ask(found, form.confirmed)
    at = find(session, Place, rows["place_id"])
    new_place = form.value("place_id") == NEW
    made.update(pour=pour.id, place=at.id, fetch=int(new_place and at.latitude is not None))
    return f"/pours/{pour.id}?said=poured"


def chosen_rows(session: Session, door: Door, form: Form, have: Choices) -> dict[str, int]:
    """Keys of the chosen piece, mix and place; what was described here is stored first."""
    chosen = {name: form.value(name) for name in ("piece_id", "mix_id", "place_id")}
    new = {name: row for name, row in _described(form, have).items() if chosen[name] == NEW}
    refuse_faults(form)
    now = door.now
    if "piece_id" in new:
        with form.named("piece.", piece.NAMES):
            chosen["piece_id"] = save_piece(session, now, new["piece_id"]).id
    if "mix_id" in new:
        with form.named("mix.", mix.NAMES):
            chosen["mix_id"] = save_mix(session, now, new["mix_id"]).id
    if "place_id" in new:
        with form.named("place."):
            made = save_place(session, now, new["place_id"])
        chosen["place_id"] = made.id
        if not have.places:  # the first place tells what the clock of the shop is
            change_shop(session, now, {"timezone": made.timezone})
    return chosen


def _described(form: Form, have: Choices) -> dict[str, dict[str, Any]]:
    """The new rows' values; only those that were chosen as new are read."""
    out: dict[str, dict[str, Any]] = {}
    if form.shown("piece_id") == NEW:
        out["piece_id"] = piece.values(form, f"Piece {len(have.pieces) + 1}")
    if form.shown("mix_id") == NEW:
        out["mix_id"] = _free(mix.values(form), have.mixes)
    if form.shown("place_id") == NEW:
        out["place_id"] = _free(place.values(form), have.places)
    return out


def _free(values: dict[str, Any], rows: Sequence[Any]) -> dict[str, Any]:
    """A second garage is called Garage 2."""
    names = {row.name for row in rows}
    name, number = values["name"], 1
    while values["name"] in names:
        number += 1
        values["name"] = f"{name} {number}"
    return values


def _mould(session: Session, door: Door, form: Form, piece_id: int) -> int | None:
    chosen = form.value("mould_id")
    if chosen != NEW:
        return int(chosen) if chosen else None
    made_for = find(session, Piece, piece_id)
    values = {**mould.values(form, f"{made_for.name} mould"), "piece_id": piece_id}
    refuse_faults(form)
    values = _free(values, by_name(session, Mould))
    with form.named("mould."):
        return save_mould(session, door.now, values).id


def _covers(form: Form) -> list[dict[str, Any]]:
    kind = form.value("cover")
    if kind in (None, "none"):
        return []
    warm = form.value("cover_setpoint_C") if kind == "heated enclosure" else None
    return [{"kind": kind, "setpoint_C": warm}]


def typed_weather(session: Session, door: Door, form: Form, place_id: int) -> list[Doubt | None]:
    """Tonight's low and tomorrow's high, when both were typed; what is to be asked about them."""
    low, high = form.value("night_low_C"), form.value("day_high_C")
    for name, here, other in (("night_low_C", low, high), ("day_high_C", high, low)):
        if here is None and other is not None and name not in form.wrong:
            form.wrong[name] = "Empty, while the other is typed; give both, or neither."
    refuse_faults(form)
    if low is None or high is None:
        return []
    found = doubtful.of_night(session, door.now, place_id, low, high, form.typed_F, form.with_unit)
    type_weather(session, door.now, place_id, low, high)
    return found


def refuse_faults(form: Form) -> None:
    if form.wrong or form.said:
        raise Refused(form)


def fetch(door: Door, place_id: int) -> None:
    """The forecast of a place that has just been made; the clock tries again when it fails."""
    try:
        refresh_forecast(door.store, door.now, place_id, door.weather)
    except WeatherUnavailable:
        return  # written down with its reason, which the page shows
    except TROUBLE as error:
        if not trouble(error):
            raise  # else what was sent is stored, and the forecast is due


def _page(have: Choices, form: Form, status: int = 200) -> Response:
    return render.page(
        "log.html",
        status,
        title="Log a pour",
        tab="pour",
        form=form,
        have=have,
        first=have.last is None,
    )
