"""Is tonight too cold: pour, pour under which cover, or wait until when."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any

from fastapi import APIRouter, Path, Request, Response
from sqlmodel import Session

from models.errors import Doubtful, InputError
from models.records import Place
from service.actions import doubtful
from service.actions.check_tonight import TonightAnswer, check_tonight
from service.actions.refresh_forecasts import type_weather
from service.door import Door
from service.nouns.form import NEW, Control, Form
from service.pages import look, render, view
from service.pages.log import (
    TEMPERATURES,
    Choices,
    choices,
    chosen_fields,
    chosen_rows,
    fetch,
    refuse_faults,
)
from service.pages.sent import DoorDep, PageRoute, Refused, SentDep
from service.queries.rows import find

router = APIRouter(route_class=PageRoute, include_in_schema=False)
SEEN = 0.005  # a chance that rounds to none is not told
PlaceId = Annotated[int, Path(ge=1, le=2**31 - 1)]


@dataclass(frozen=True)
class Cover:
    """One way at the start that was asked about."""

    words: str
    passes: bool
    why: str
    frost: str
    strip: view.Moment | None
    turn: view.Moment | None
    cautions: list[str]


def fields(have: Choices) -> list[Control]:
    return [
        *chosen_fields(have),
        Control("start_at", "Start (empty: now)", "moment"),
        Control("night_low_C", "Tonight's low", hint="-1 C or 30 F", dimension="temperature_C"),
        Control("day_high_C", "Tomorrow's high", hint="9 C or 48 F", dimension="temperature_C"),
        Control(
            "concrete_C",
            "Concrete as placed",
            hint="15 C or 59 F; empty: as the air",
            dimension="temperature_C",
        ),
    ]


@router.get("/tonight")
def ask(request: Request, door: DoorDep) -> Response:
    """Without `asked` the form alone; with it the answer, which a reload asks for anew."""
    query = request.query_params
    with door.store.reading() as session:
        have, units = choices(session), look.units(session)
    typed = {name: query.getlist(name) for name in query} if "asked" in query else None
    form = Form.of(fields(have), typed, units)
    if typed is None:
        return _page(door, have, form)
    try:
        return _page(door, have, form, found=checked(door, form, brief=True))
    except Refused:
        return _page(door, have, form, 422)


def checked(door: Door, form: Form, **looked: Any) -> TonightAnswer:
    """The check as the form asks for it; looked : as for `check_tonight`."""
    rows = form.values(("piece_id", "mix_id", "place_id"))
    refuse_faults(form)
    for name, value in rows.items():
        if value in (None, NEW):
            form.wrong[name] = "Describe it first, then ask."
    refuse_faults(form)
    with door.store.reading() as session:
        zone = find(session, Place, rows["place_id"]).timezone
    start = form.value("start_at", zone)
    warmth = form.values((*TEMPERATURES, "concrete_C"))
    refuse_faults(form)
    try:
        told = check_tonight(door.store, door.now, start_at=start, **rows, **warmth, **looked)
        with door.store.reading() as session:
            _ask(session, door, form, rows["place_id"], start, warmth)
        return told
    except Doubtful as error:
        form.ask(error.doubts)
        raise Refused(form) from None
    except InputError as error:
        form.refuse(
            InputError("start_at", error.value, error.wrong, error.allowed)
            if error.field == "placed_at"
            else error
        )
        raise Refused(form) from None


def _ask(
    session: Session,
    door: Door,
    form: Form,
    place_id: int,
    start: datetime | None,
    warmth: Mapping[str, Any],
) -> None:
    """Ask about figures that fit much better in the other unit."""
    low, high = (warmth[name] for name in TEMPERATURES)
    night = doubtful.of_night(session, door.now, place_id, low, high, form.typed_F, form.with_unit)
    mix = doubtful.of_pour(session, door.now, place_id, start or door.now, warmth, form.typed_F)
    doubtful.ask((*night, *mix), form.confirmed)


@router.post("/tonight")
def describe(sent: SentDep) -> Response:
    """Store a piece, a mix, a place that were described here; then ask about them."""
    door = sent.door
    with door.store.reading() as session:
        have, units = choices(session), look.units(session)
    form = Form.of(fields(have), sent.fields, units)
    made: dict[str, int] = {}

    def store(session: Session) -> str:
        new_place = form.value("place_id") == NEW
        rows = chosen_rows(session, door, form, have)
        if new_place and find(session, Place, rows["place_id"]).latitude is not None:
            made["place"] = rows["place_id"]
        kept = {name: sent.text(name) for name in ("start_at", "concrete_C", *TEMPERATURES)}
        return "/tonight?" + render.query({**rows, **kept, "asked": "1"})

    def then() -> None:
        if "place" in made:
            fetch(door, made["place"])

    try:
        return sent.once(form, store, then)
    except Refused:
        return _page(door, have, form, 422)


@router.post("/places/{place_id}/weather")
def keep(place_id: PlaceId, sent: SentDep) -> Response:
    """Use the two typed temperatures for the pours at the place."""
    fields = [Control(name, name, needed=True, dimension="temperature_C") for name in TEMPERATURES]
    with sent.door.store.reading() as session:
        units = look.units(session)
    form = Form.of(fields, sent.fields, units)

    def store(session: Session) -> str:
        low, high = (form.value(name) for name in TEMPERATURES)
        refuse_faults(form)
        found = doubtful.of_night(
            session, sent.door.now, place_id, low, high, form.typed_F, form.with_unit
        )
        type_weather(session, sent.door.now, place_id, low, high)
        doubtful.ask(found, form.confirmed)
        return "/"

    return sent.once(form, store)


def _page(
    door: Door, have: Choices, form: Form, status: int = 200, found: TonightAnswer | None = None
) -> Response:
    shown: dict[str, Any] = {"told": None}
    place = _place(door, form)
    if found is not None and place is not None:
        shown = _answer(found, view.Clock(door.now, place.timezone), form)
    weather = None
    if place is not None:
        with door.store.reading() as session:
            weather = look.weather(session, door.now, place)
    return render.page(
        "tonight.html",
        status,
        title="Is tonight too cold?",
        tab="tonight",
        form=form,
        have=have,
        ready=bool(have.pieces and have.mixes and have.places),
        place=place,
        weather=weather,
        attribution=look.credit(door.weather, [weather] if weather else []),
        **shown,
    )


def _place(door: Door, form: Form) -> Place | None:
    chosen = form.shown("place_id")
    if chosen == NEW or chosen not in [key for key, _ in form.fields["place_id"].options]:
        return None
    with door.store.reading() as session:
        return session.get(Place, int(chosen))


def _answer(found: TonightAnswer, clock: view.Clock, form: Form) -> dict[str, Any]:
    answer = found.answer
    options = answer["options"]
    typed = all(form.shown(name).strip() for name in TEMPERATURES)
    issued = found.weather_issued_at
    return {
        "told": answer,
        "danger": danger(answer["cautions"]),
        "words": _words(answer["answer"]),
        "go": answer["answer"] != "wait",
        "until": clock(answer["wait_until"]),
        "source": found.weather_source,
        "age": "" if issued is None or typed else view.age(clock.now - issued),
        "warnings": found.warnings,
        "typed": typed,
        "confirmed": form.confirmed,
        "understood": _understood(form),
        "covers": _at_start(options, 1 - found.confidence + 1e-9, clock),
        "week": f"/week?{render.query({name: form.shown(name) for name in form.fields})}",
        "start": clock(options[0]["start"]) if options else None,
    }


def danger(cautions: Sequence[str]) -> list[str]:
    """Cautions that stand before the answer: what may kill somebody."""
    return [text for text in cautions if text.lower().startswith(view.LOUD[0])]


def _understood(form: Form) -> str:
    """What was typed, as it was read, in both units."""
    read = [(form.fields[name].label, form.value(name)) for name in (*TEMPERATURES, "concrete_C")]
    told = [
        f"{label.lower()} {view.both(value, 'temperature_C')}"
        for label, value in read
        if value is not None
    ]
    return "; ".join(told)


def _words(answer: str) -> str:
    if answer == "pour":
        return "Pour, no cover needed"
    return answer[:1].upper() + answer[1:]


def worst(option: Mapping[str, Any]) -> Mapping[str, Any]:
    """The risk that stands out: what forbids it, the worst harm first, else the likeliest."""
    risk: Mapping[str, Any] = option["risks"][0]
    return risk


def why(option: Mapping[str, Any], allowed: float) -> str:
    """All that forbids a way, in the order of harm; of one that passes the largest risk."""
    stops = [told(risk) for risk in option["risks"] if risk["probability"] > allowed]
    largest = worst(option)
    if not stops and largest["probability"] < SEEN:
        return "nothing stands against it"
    return "; ".join(stops) or told(largest)


def frost(option: Mapping[str, Any]) -> str:
    """How cold its coldest corner gets until it bears frost; empty where that is not known."""
    if option["lowest_C"] is None:
        return ""
    chance = percent(option["frost_chance"])
    return f"coldest corner {view.both(round(option['lowest_C']), 'temperature_C')}, frost {chance}"


def percent(share: float) -> str:
    """34 %, under 1 %."""
    return "under 1 %" if share < 0.01 else f"{share:.0%}".replace("%", " %")


def _at_start(
    options: Sequence[Mapping[str, Any]], allowed: float, clock: view.Clock
) -> list[Cover]:
    first = options[0]["start"] if options else None
    return [
        Cover(
            one["protection"],
            one["passes"],
            why(one, allowed),
            frost(one),
            clock(one["strip_p90"]),
            clock(one["turn_p90"]),
            one["cautions"],
        )
        for one in passing_first(options)
        if one["start"] == first
    ]


def passing_first(options: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """The ways that pass before those that do not, the cheapest first."""
    return sorted(options, key=lambda one: (not one["passes"], float(one["effort"])))


def told(risk: Mapping[str, Any]) -> str:
    """A risk in words and numbers."""
    unit = risk["unit"].replace("degC", "°C")
    return (
        f"{percent(risk['probability'])} chance of {risk['risk']}"
        f" ({risk['value']:g} {unit}, limit {risk['limit']:g})"
    )
