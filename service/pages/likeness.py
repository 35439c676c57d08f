"""Like pour 12: two pours beside each other, and from when their colours may be judged."""

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Query, Response

from models.message import Message
from models.records.fields import LARGEST_KEY
from service.actions.pours.likeness import Beside, Fact, likeness
from service.pages import render
from service.pages.form_post import PageRoute
from service.queries.pours import zone_of
from service.request_context import ContextDep, Key
from service.words import Reader, measure, say, word
from service.words.instants import instant

router = APIRouter(route_class=PageRoute, include_in_schema=False)
HOURS_A_DAY = 24.0


@dataclass(frozen=True)
class Line:
    """One fact of both in words, and what its difference does to a face."""

    name: str
    then: str
    now: str
    differs: bool
    why: str


@router.get("/pours/{pour_id}/like")
def show(
    pour_id: Key,
    context: ContextDep,
    other_id: Annotated[int | None, Query(ge=1, le=LARGEST_KEY)] = None,
) -> Response:
    with context.store.reading() as session:
        found = likeness(session, pour_id, other_id)
        zone = zone_of(session, pour_id)
    reader = context.reader(zone, found.placed_at)
    lines = [_line(one, reader) for one in found.facts]
    return render.page(
        "like.html",
        title=f"{found.piece} beside {found.other}",
        reader=reader,
        found=found,
        unlike=[one for one in lines if one.differs],
        alike=[one for one in lines if not one.differs],
        judge=instant(found.judge_from, "date", reader),
        too_soon=context.now < found.judge_from,
        dates=[instant(at, "date", reader) for at in (found.other_placed_at, found.placed_at)],
    )


def _line(one: Beside, reader: Reader) -> Line:
    why = say(Message(f"unlike_{one.what}"), reader) if one.differs else ""
    name = word("beside", one.what, reader)
    return Line(name, _told(one.then, one, reader), _told(one.now, one, reader), one.differs, why)


def _told(fact: Fact, one: Beside, reader: Reader) -> str:
    if fact is None or fact == "":
        return "not told"
    if isinstance(fact, str):
        return fact
    if one.dimension == "time_h":
        return f"{fact:.0f} h" if fact < 2 * HOURS_A_DAY else f"{fact / HOURS_A_DAY:.1f} d"
    return f"{fact:.2f}" if one.dimension == "ratio" else measure(fact, one.dimension, reader)
