"""Help: what each word and number means, and first aid, on one page."""

from fastapi import APIRouter, Response

from service.pages import render
from service.pages.form_post import PageRoute
from service.queries.rows import find_shop
from service.request_context import ContextDep
from service.words import chance, measure

router = APIRouter(route_class=PageRoute, include_in_schema=False)


@router.get("/help/first-aid")
def first_aid(context: ContextDep) -> Response:
    """One tap away, and kept by the phone before anybody needs it."""
    return render.page("first_aid.html", title="First aid", tab="help", reader=context.reader())


@router.get("/help")
def help_page(context: ContextDep) -> Response:
    reader = context.reader()
    with context.store.reading() as session:
        confidence = find_shop(session).confidence
    return render.page(
        "help.html",
        title="What the words mean",
        tab="help",
        reader=reader,
        level=chance(confidence, reader),
        signs=(
            ("not yet", "not yet: too early"),
            ("open", "open: the hour may be used"),
            ("closing", "closing: still open, not for long"),
            ("past", "missed: too late, and what to do now stands beside it"),
            ("done", "done"),
            ("blocked", "no answer: something is missing, and what, stands beside it"),
            ("frozen", "it probably froze early"),
        ),
        frost=measure(3.5, "stress_MPa", reader),
        dew=measure(3.0, "temperature_difference_K", reader),
        counts=measure(20.0, "temperature_C", reader),
        cold=measure(5.0, "temperature_C", reader),
    )
