"""Is tonight too cold: pour, pour under which cover, or wait until when."""

from collections.abc import Sequence
from datetime import timedelta
from math import isfinite
from typing import Any

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from models.errors import Unknown
from models.records import Mix, Piece, Place
from service.actions.changes import added, removed
from service.actions.pours import doubtful
from service.actions.weather.refresh_forecasts import type_weather, untype_weather
from service.actions.windows.check_tonight import TonightAnswer
from service.answers import told
from service.nouns.form import NEW, Form
from service.nouns.tonight import BOTH
from service.pages import flash, page_data, render, view, ways
from service.pages.check_view import checked, danger, fields
from service.pages.choices import TEMPERATURES, Choices, choices, chosen_rows
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute, Refused, refuse_faults
from service.pages.night import low_words, span, typed_words
from service.pages.prices import Prices
from service.queries.rows import find, find_shop
from service.request_context import ContextDep, Key, RequestContext
from service.words import say_all

router = APIRouter(route_class=PageRoute, include_in_schema=False)
HALF_DAY = timedelta(hours=12)


DESCRIBED: dict[str, type[Piece] | type[Mix] | type[Place]] = {
    "piece_id": Piece,
    "mix_id": Mix,
    "place_id": Place,
}


@router.get("/tonight")
def ask(request: Request, context: ContextDep) -> Response:
    """Without `asked` the form alone; with it the answer, which a reload asks for anew."""
    query = request.query_params
    with context.store.reading() as session:
        have = choices(session)
    typed = {name: query.getlist(name) for name in query} if "asked" in query else None
    form = Form.of(fields(have), typed, context.reader())
    if typed is None:
        return _page(context, have, form)
    try:
        return _page(context, have, form, found=checked(context, form, brief=True))
    except Refused:
        return _page(context, have, form, 422)


@router.post("/tonight")
def describe(post: FormPostDep) -> Response:
    """Store a piece, a mix, a place that were described here; then ask about them."""
    context = post.context
    with context.store.reading() as session:
        have = choices(session)
    form = Form.of(fields(have, post.text("town")), post.fields, context.reader())

    def store(session: Session) -> Landing:
        described = [name for name in DESCRIBED if form.shown(name) == NEW]
        rows = chosen_rows(session, post, form, have)
        made = [find(session, DESCRIBED[name], rows[name]) for name in described]
        night = {name: form.said(name) for name in ("start_at", "concrete_C", *TEMPERATURES)}
        path = "/tonight?" + render.query({**rows, **night, "asked": "1"})
        if not made:
            return Landing(path)
        names = {"name": ", ".join(one.name for one in made)}
        kept = added(made)  # the address of the answer names what the undo puts away
        return Landing(path, "saved_described", names, flash.UNDO, kept=kept, back="/tonight")

    return post.write(form, store, lambda: _page(context, have, form, 422))


@router.post("/places/{place_id}/weather/back")
def take_back(place_id: Key, post: FormPostDep) -> Response:
    """The two typed temperatures count no more."""

    def store(session: Session) -> Landing:
        gone = removed(untype_weather(session, post.context.now, place_id))
        return Landing("/", "saved_forecast", undo=flash.UNDO, kept=gone)

    return post.write(Form.of([]), store)


@router.post("/places/{place_id}/weather")
def keep(place_id: Key, post: FormPostDep) -> Response:
    """Use the two typed temperatures for the pours at the place."""
    form = post.form(BOTH)

    def store(session: Session) -> Landing:
        night = form.values(TEMPERATURES)
        refuse_faults(form)
        found = doubtful.of_night(session, post.context.now, place_id, night, form)
        run = type_weather(session, post.context.now, place_id, **night)
        doubtful.ask(found, form.confirmed)
        return Landing("/", "saved_weather", undo=flash.UNDO, kept=added([run]))

    return post.write(form, store)


def _page(
    context: RequestContext,
    have: Choices,
    form: Form,
    status: int = 200,
    found: TonightAnswer | None = None,
) -> Response:
    shown: dict[str, Any] = {"answer": None}
    place = _place(context, form)
    if found is not None and place is not None:
        clock = view.Clock(context.now, context.reader(place.timezone))
        with context.store.reading() as session:
            prices = Prices.of_shop(find_shop(session))
        shown = _answer(found, clock, form, have, place, prices)
    weather = None
    if place is not None:
        with context.store.reading() as session:
            weather = page_data.weather(session, context.now, place)
    counts = weather is not None and (not weather.source or weather.typed or weather.overdue)
    return render.page(
        "tonight.html",
        status,
        title="Pour tonight?",
        tab="tonight",
        reader=context.reader(),
        form=form,
        have=have,
        ready=bool(have.pieces and have.mixes and have.places),
        place=place,
        heated=place is not None and place.kind == "heated room",
        weather=weather,
        keeps=counts,
        attribution=page_data.credit(context.weather, [weather] if weather else []),
        **shown,
    )


def _place(context: RequestContext, form: Form) -> Place | None:
    chosen = form.shown("place_id")
    if chosen == NEW or chosen not in [key for key, _ in form.fields["place_id"].options]:
        return None
    with context.store.reading() as session:
        return session.get(Place, int(chosen))


def _answer(
    found: TonightAnswer,
    clock: view.Clock,
    form: Form,
    have: Choices,
    place: Place,
    prices: Prices,
) -> dict[str, Any]:
    answer, reader = told(found.answer, clock.reader), clock.reader
    options = answer.options
    first = options[0].start if options else None
    asked = ways.of_start((one for one in options if one.start == first), clock, prices)
    later = ways.of_start(
        (one for one in options if one.start == answer.wait_until and one.passes), clock, prices
    )
    go = answer.answer_code.code != "wait"
    best = asked[0] if asked else None
    top, rest = ways.three(asked)
    night = form.values(TEMPERATURES)
    typed = all(value is not None for value in night.values())
    issued = found.weather_issued_at
    return {
        "answer": answer,
        "danger": danger(answer),
        "verdict": ways.verdict(best if go else None, reader),
        "go": go,
        "best": best,
        "bare": next((way for way in asked if way.bare and not way.passes), None),
        "sooner": _sooner(best, asked) if go and best else None,
        "until": clock(answer.wait_until),
        "then": later[0] if later else None,
        "about": " · ".join(_about(form, have, place)),
        "why": answer.because,
        "source": found.weather_source,
        "age": "" if issued is None or typed else view.age(clock.now - issued),
        "warnings": say_all(found.warnings, reader),
        "typed": typed,
        "tonight": "" if typed else _tonight(found, clock),
        "understood": typed_words(night["night_low_C"], night["day_high_C"], reader)
        if typed
        else "",
        "concrete_C": form.value("concrete_C"),
        "confirmed": form.confirmed,
        "top": top,
        "rest": rest,
        "week": f"/week/wait?{render.query({name: form.said(name) for name in form.fields})}",
        "start": clock(first),
    }


def _tonight(found: TonightAnswer, clock: view.Clock) -> str:
    """How cold it gets outdoors; nothing where no weather is known."""
    if isinstance(found.air, Unknown):
        return ""
    begin, end = span(clock.now, clock.reader.timezone)
    hours = zip(found.air.times(), found.air.air_C, strict=True)
    air_C = [float(one) for at, one in hours if begin <= at <= end and isfinite(one)]
    return low_words(min(air_C), clock.reader) if air_C else ""


def _about(form: Form, have: Choices, place: Place) -> list[str]:
    """What was asked about, by name."""
    rows = (("piece_id", have.pieces), ("mix_id", have.mixes))
    chosen = [row.name for name, of in rows for row in of if str(row.id) == form.shown(name)]
    return [*chosen, place.name]


def _sooner(best: ways.Way, asked: Sequence[ways.Way]) -> tuple[ways.Way, int] | None:
    """A way that costs more and frees the mould sooner, and by how many half days."""
    strip = best.option.strip_p90
    for way in asked:
        other = way.option.strip_p90
        if way.passes and way is not best and other is not None and strip is not None:
            saved = (strip - other) // HALF_DAY
            if saved >= 1:
                return way, saved
    return None
