"""The check of a pour for the two pages that ask it: the form, the answer, its words."""

from dataclasses import replace
from typing import Any

from models.errors import Doubtful, InputError
from models.planning.fumes import FUMES
from service.actions.pours import doubtful
from service.actions.windows.check_tonight import TonightAnswer, check_tonight
from service.answers import PourAnswerResponse
from service.nouns.form import NEW, Control, Form
from service.nouns.pour import CONCRETE
from service.nouns.tonight import NIGHT, START, TonightRequest
from service.pages import ways
from service.pages.choices import TEMPERATURES, Choices, chosen_fields
from service.pages.form_post import Refused, refuse_faults
from service.queries.rows import find_shop
from service.request_context import RequestContext


def fields(have: Choices, town: str = "") -> list[Control]:
    """Frost is asked about outdoors, unless another place is chosen."""
    last = have.last.place_id if have.last else None
    place = ways.default_place(have.places, last)
    return [
        replace(one, default=place) if one.name == "place_id" and place else one
        for one in (*chosen_fields(have, town), START, *NIGHT, CONCRETE)
    ]


def checked(context: RequestContext, form: Form, **looked: Any) -> TonightAnswer:
    """The check as the form asks for it; looked : as for `check_tonight`."""
    rows = form.values(("piece_id", "mix_id", "place_id"))
    refuse_faults(form)
    for name, value in rows.items():
        if value in (None, NEW):
            form.wrong[name] = "Describe it first, then ask."
    refuse_faults(form)
    with context.store.reading() as session:
        zone = find_shop(session).timezone
    start = form.value("start_at", zone)
    warmth = form.values((*TEMPERATURES, "concrete_C"))
    refuse_faults(form)
    try:
        wanted = TonightRequest(start_at=start, **rows, **warmth)
        answer = check_tonight(context.store, context.now, wanted, **looked)
        with context.store.reading() as session:
            at_place = (session, context.now, rows["place_id"])
            found = doubtful.of_night(*at_place, warmth, form)
            found += doubtful.of_pour(*at_place, start or context.now, warmth, form)
        doubtful.ask(found, form.confirmed)
        return answer
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


def danger(answer: PourAnswerResponse) -> list[str]:
    """Cautions that stand before the answer: what may kill somebody."""
    cautions = zip(answer.cautions, answer.caution_codes, strict=True)
    return [text for text, message in cautions if message.code == FUMES.code]
