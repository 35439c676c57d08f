"""Is tonight too cold: pour, pour under which cover, or wait until when."""

from typing import Any

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from models.message import Message
from models.records import Place
from service.actions.pours import doubtful
from service.actions.weather.refresh_forecasts import type_weather
from service.actions.windows.check_tonight import TonightAnswer
from service.answers import PourAnswerResponse
from service.nouns.form import NEW, Form
from service.nouns.tonight import BOTH
from service.pages import page_data, render, view
from service.pages.check_view import at_first_start, checked, danger, fields
from service.pages.choices import TEMPERATURES, Choices, choices, chosen_rows
from service.pages.form_post import FormPostDep, PageRoute, Refused, refuse_faults
from service.request_context import ContextDep, Key, RequestContext
from service.words import say
from service.words.reader import PLAIN

router = APIRouter(route_class=PageRoute, include_in_schema=False)


@router.get("/tonight")
def ask(request: Request, context: ContextDep) -> Response:
    """Without `asked` the form alone; with it the answer, which a reload asks for anew."""
    query = request.query_params
    with context.store.reading() as session:
        have = choices(session)
    typed = {name: query.getlist(name) for name in query} if "asked" in query else None
    form = Form.of(fields(have), typed, have.units)
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
    form = Form.of(fields(have), post.fields, have.units)

    def store(session: Session) -> str:
        rows = chosen_rows(session, post, form, have)
        night = {name: post.text(name) for name in ("start_at", "concrete_C", *TEMPERATURES)}
        return "/tonight?" + render.query({**rows, **night, "asked": "1"})

    return post.write(form, store, lambda: _page(context, have, form, 422))


@router.post("/places/{place_id}/weather")
def keep(place_id: Key, post: FormPostDep) -> Response:
    """Use the two typed temperatures for the pours at the place."""
    form = post.form(BOTH)

    def store(session: Session) -> str:
        night = form.values(TEMPERATURES)
        refuse_faults(form)
        found = doubtful.of_night(session, post.context.now, place_id, night, form)
        type_weather(session, post.context.now, place_id, **night)
        doubtful.ask(found, form.confirmed)
        return "/"

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
        shown = _answer(found, view.Clock(context.now, context.reader(place.timezone)), form)
    weather = None
    if place is not None:
        with context.store.reading() as session:
            weather = page_data.weather(session, context.now, place)
    return render.page(
        "tonight.html",
        status,
        title="Is tonight too cold?",
        tab="tonight",
        reader=context.reader(),
        form=form,
        have=have,
        ready=bool(have.pieces and have.mixes and have.places),
        place=place,
        weather=weather,
        attribution=page_data.credit(context.weather, [weather] if weather else []),
        **shown,
    )


def _place(context: RequestContext, form: Form) -> Place | None:
    chosen = form.shown("place_id")
    if chosen == NEW or chosen not in [key for key, _ in form.fields["place_id"].options]:
        return None
    with context.store.reading() as session:
        return session.get(Place, int(chosen))


def _answer(found: TonightAnswer, clock: view.Clock, form: Form) -> dict[str, Any]:
    answer = found.answer
    options = answer.options
    typed = all(form.shown(name).strip() for name in TEMPERATURES)
    issued = found.weather_issued_at
    return {
        "answer": answer,
        "danger": danger(answer),
        "words": _words(answer),
        "go": answer.answer_code.code != "wait",
        "until": clock(answer.wait_until),
        "source": found.weather_source,
        "age": "" if issued is None or typed else view.age(clock.now - issued),
        "warnings": found.warnings,
        "typed": typed,
        "confirmed": form.confirmed,
        "understood": _understood(form, clock),
        "covers": at_first_start(found, clock),
        "week": f"/week?{render.query({name: form.shown(name) for name in form.fields})}",
        "start": clock(options[0].start) if options else None,
    }


def _understood(form: Form, clock: view.Clock) -> str:
    """What was typed, as it was read."""
    read = [(form.fields[name].label, form.value(name)) for name in (*TEMPERATURES, "concrete_C")]
    parts = [
        f"{label.lower()} {clock.measure(value, 'temperature_C')}"
        for label, value in read
        if value is not None
    ]
    return "; ".join(parts)


def _words(answer: PourAnswerResponse) -> str:
    if answer.answer_code.code == "pour":
        return say(Message("pour_no_cover"), PLAIN)
    return answer.answer[:1].upper() + answer.answer[1:]
