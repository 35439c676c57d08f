"""The check of a pour for the two pages that ask it: the form, the answer, its words."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from models.errors import Doubtful, InputError
from models.planning.fumes import FUMES
from service.actions.pours import doubtful
from service.actions.windows.check_tonight import TonightAnswer, check_tonight
from service.answers import PourAnswerResponse, PourOptionResponse, RiskResponse
from service.nouns.form import NEW, Control, Form
from service.nouns.pour import CONCRETE
from service.nouns.tonight import NIGHT, START, TonightRequest
from service.pages import view
from service.pages.choices import TEMPERATURES, Choices, chosen_fields
from service.pages.form_post import Refused, refuse_faults
from service.queries.rows import find_shop
from service.request_context import RequestContext

SMALLEST_CHANCE = 0.005  # a chance that rounds to none is not told


def fields(have: Choices) -> list[Control]:
    return [*chosen_fields(have), START, *NIGHT, CONCRETE]


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


def worst(option: PourOptionResponse) -> RiskResponse:
    """The risk that stands out: what forbids it, the worst harm first, else the likeliest."""
    return option.risks[0]


@dataclass(frozen=True)
class OptionView:
    """One cover at one start; `why` is all that forbids it, else its largest risk."""

    words: str
    passes: bool
    why: str
    risks: list[tuple[bool, str]]  # whether it alone forbids, and what it is
    cautions: Sequence[str]
    frost: str
    strip: view.Moment | None
    turn: view.Moment | None


def at_first_start(found: TonightAnswer, clock: view.Clock) -> list[OptionView]:
    """The options of the start that was asked about: those that pass first, the cheapest first."""
    options = found.answer.options
    return [
        _option(one, clock)
        for one in sorted(options, key=lambda one: (not one.passes, float(one.effort)))
        if one.start == options[0].start
    ]


def _option(option: PourOptionResponse, clock: view.Clock) -> OptionView:
    risks = [
        (risk.probability > risk.allowed, risk_text(risk))
        for risk in option.risks
        if risk.probability >= SMALLEST_CHANCE
    ]
    stops = [text for forbids, text in risks if forbids]
    largest = risks[0][1] if risks else "nothing stands against it"
    return OptionView(
        option.protection,
        option.passes,
        "; ".join(stops) or largest,
        risks,
        option.cautions,
        _frost(option, clock),
        clock(option.strip_p90),
        clock(option.turn_p90),
    )


def _frost(option: PourOptionResponse, clock: view.Clock) -> str:
    """How cold its coldest corner gets until it bears frost; empty where that is not known."""
    if option.lowest_C is None or option.frost_chance is None:
        return ""
    chance = percent(option.frost_chance)
    return (
        f"coldest corner {clock.measure(round(option.lowest_C), 'temperature_C')}, frost {chance}"
    )


def percent(fraction: float) -> str:
    """34 %, under 1 %."""
    return "under 1 %" if fraction < 0.01 else f"{fraction:.0%}".replace("%", " %")


def risk_text(risk: RiskResponse) -> str:
    """A risk in words and numbers."""
    unit = risk.unit.replace("degC", "°C")
    return (
        f"{percent(risk.probability)} chance of {risk.risk}"
        f" ({risk.value:g} {unit}, limit {risk.limit:g})"
    )
