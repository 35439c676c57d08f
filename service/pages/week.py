"""Every hour of the week on one page: which may be poured, in the cheapest way; tap one for all."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse

from models.errors import InputError
from models.message import Message, Value
from models.planning.fumes import HEATS, REACHES
from models.planning.protection import HEATED_BEFORE
from models.records import Place
from service.answers import PourOptionResponse, RiskResponse
from service.nouns.form import Form
from service.pages import render, view
from service.pages.check_view import at_first_start, checked, danger, fields, percent, worst
from service.pages.choices import choices
from service.pages.form_post import PageRoute, Refused
from service.queries.rows import find
from service.request_context import ContextDep
from service.words import say, word
from service.words.reader import PLAIN

router = APIRouter(route_class=PageRoute, include_in_schema=False)


@dataclass(frozen=True)
class Cell:
    """One start: the cheapest way that passes, or the worst of the way that comes nearest."""

    at: str
    passes: bool
    words: str
    percent: str


@router.get("/week")
def ask(request: Request, context: ContextDep) -> Response:
    """The week of a pour as the form of /tonight describes it; with `at` that start alone."""
    query = request.query_params
    if "piece_id" not in query:
        return RedirectResponse("/tonight", 303)
    with context.store.reading() as session:
        have = choices(session)
    form = Form.of(fields(have), {name: query.getlist(name) for name in query}, have.units)
    only = _instant(query.get("at"))
    try:
        found = checked(context, form, only=only)
    except Refused:
        values = {name: value for name, value in query.items() if name != "at"}
        if only is not None:  # an hour that has passed since: the week as it is now
            return RedirectResponse(f"/week?{render.query(values)}", 303)
        return RedirectResponse(f"/tonight?{render.query({**values, 'asked': '1'})}", 303)
    with context.store.reading() as session:
        place = find(session, Place, int(form.shown("place_id")))
    clock = view.Clock(context.now, context.reader(place.timezone))
    options = found.answer.options
    shown: dict[str, Any] = (
        {"options": at_first_start(found, clock)} if only else _grid(options, clock)
    )
    question = {name: value for name, value in query.items() if name != "at" and value}
    return render.page(
        "week.html",
        title="The week" if only is None else "This hour",
        tab="tonight",
        reader=clock.reader,
        answer=found.answer,
        danger=danger(found.answer),
        question=question,
        query=render.query(question),
        place=place,
        start=clock(options[0].start) if only and options else None,
        source=found.weather_source,
        warnings=found.warnings,
        attribution=context.weather.attribution,
        **shown,
    )


def _instant(text: str | None) -> datetime | None:
    if not text:
        return None
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        at = None
    if at is None or at.tzinfo is None:
        raise InputError("at", text, "not a start", "an hour of the week page") from None
    return at


def short(option: Message) -> str:
    """A way in the width of a cell; its heat is known from the cover."""
    cover = option.values.get("cover")
    brief: dict[str, Value] = {}
    if isinstance(cover, Message):
        beside = cover.values.get("with", ())
        assert isinstance(beside, tuple)
        apart = tuple(
            one for one in beside if one not in (*HEATS, *REACHES.values(), HEATED_BEFORE)
        )
        code = "short_cover_before" if HEATED_BEFORE in beside else "short_cover"
        code += "_with" if apart else ""
        brief["cover"] = Message(code, {"short_cover": cover.values["cover"], "with": apart})
    return say(Message(f"short_{option.code}", brief), PLAIN)


def _grid(options: Sequence[PourOptionResponse], clock: view.Clock) -> dict[str, Any]:
    """Hours down, days across; a clock hour that comes twice holds two cells.

    The week is of the place asked about; the shop's own room is told once, beside it.
    """
    within = [option for option in options if option.indoors]
    options = [option for option in options if not option.indoors]
    by_start = _by_start(options)
    cells: dict[tuple[date, int], list[Cell]] = {}
    for start, ways in by_start.items():
        local = start.astimezone(clock.zone)
        cells.setdefault((local.date(), local.hour), []).append(_cell(local, ways))
    days = sorted({day for day, _ in cells})
    flat = [cell for both in cells.values() for cell in both]
    return {
        "days": [(f"{day:%a}", day.day) for day in days],
        "rows": [
            (f"{hour:02d}", [cells.get((day, hour), []) for day in days])
            for hour in range(24)
            if any((day, hour) in cells for day in days)
        ],
        "passing": sum(cell.passes for cell in flat),
        "starts": len(flat),
        "legend": _legend(options),
        "indoors": _indoors(within),
    }


def _by_start(options: Iterable[PourOptionResponse]) -> dict[datetime, list[PourOptionResponse]]:
    found: dict[datetime, list[PourOptionResponse]] = {}
    for option in options:
        found.setdefault(option.start, []).append(option)
    return found


def _indoors(options: Sequence[PourOptionResponse]) -> str:
    """In how many hours the shop's own room would do; empty where it has none."""
    ways = _by_start(options).values()
    hours = len({one.start for one in options if one.passes})
    if not ways:
        return ""
    if hours == len(ways):
        return "every hour passes"
    stands = f": {worst(_nearest(options)).risk}" if not hours else ""
    return f"{hours} of {len(ways)} hours pass{stands}"


def _cell(at: datetime, ways: Iterable[PourOptionResponse]) -> Cell:
    key = at.isoformat(timespec="minutes")
    passing = next((option for option in ways if option.passes), None)
    if passing is not None:
        return Cell(key, True, short(passing.protection_code.message), _narrow(worst(passing)))
    nearest = worst(_nearest(ways))
    return Cell(key, False, word("short_risk", nearest.code), _narrow(nearest))


def _nearest(ways: Iterable[PourOptionResponse]) -> PourOptionResponse:
    """The way that comes nearest to passing; one that was not watched to its end tells little."""
    return min(ways, key=lambda o: (o.frost_chance is None, o.excess, -float(o.effort)))


def _narrow(risk: RiskResponse) -> str:
    return percent(risk.probability).replace("under ", "<").replace(" ", "\u202f")


def _legend(options: Sequence[PourOptionResponse]) -> list[tuple[str, str]]:
    """The short words of the ways that pass somewhere, in the order of effort."""
    passing = (
        option for option in sorted(options, key=lambda option: option.effort) if option.passes
    )
    ways = {option.protection: short(option.protection_code.message) for option in passing}
    return [(brief, words) for words, brief in ways.items() if brief != words]
