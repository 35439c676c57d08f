"""It went wrong: can it be saved? Cards that need no signal; of a pour, with its own hours."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from models.facts.mends import MENDS, Mend
from models.message import Message
from models.sources import SOURCES
from service.answers import read_answer
from service.pages import page_data, render, view
from service.pages.form_post import PageRoute
from service.request_context import ContextDep, Key
from service.words import Reader, say, word

router = APIRouter(route_class=PageRoute, include_in_schema=False)
PARTS = ("look", "verdict", "do", "again")


@dataclass(frozen=True)
class Card:
    """One card in words; `hours` : of the pour's own steps that its mend waits for."""

    key: str
    title: str
    look: str
    verdict: str
    do: str
    again: str
    sources: tuple[str, ...]
    hours: tuple[view.StepView, ...] = ()


def card(key: str, reader: Reader, hours: tuple[view.StepView, ...] = ()) -> Card:
    row = MENDS[key]
    values = dict(row.numbers)
    code = key.replace("-", "_")
    words = {part: say(Message(f"mend_{code}_{part}", values), reader) for part in PARTS}
    sources = tuple(SOURCES[one].title for one in row.sources)
    return Card(key, word("mend", key, reader), sources=sources, hours=hours, **words)


@router.get("/help/saved")
def saved(context: ContextDep) -> Response:
    reader = context.reader()
    cards = [card(key, reader) for key in MENDS]
    return render.page(
        "saved.html", title="Can it be saved?", tab="help", reader=reader, cards=cards, pour=None
    )


@router.get("/pours/{pour_id}/saved")
def saved_pour(pour_id: Key, context: ContextDep) -> Response:
    """The same, with the hours of this piece that a mend waits for."""
    data = page_data.of_pour(context, pour_id)
    clock = view.Clock(context.now, context.reader(data.place.timezone, data.pour.placed_at))
    row = data.projection
    windows = [] if row is None else read_answer(row.answer).steps
    steps = {one.step: view.step(one, clock, row.checked_at) for one in windows} if row else {}

    def hours(mend: Mend) -> tuple[view.StepView, ...]:
        found = (steps[step] for step in mend.steps if step in steps)
        return tuple(one for one in found if one.state != "done")

    return render.page(
        "saved.html",
        title="Can it be saved?",
        reader=clock.reader,
        cards=[card(key, clock.reader, hours(mend)) for key, mend in MENDS.items()],
        pour=data,
    )
