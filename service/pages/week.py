"""The week in the shop's own pouring hours: which part of which day, and under what."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from math import isfinite
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse

from models.air.series import AirSeries
from models.errors import InputError, Unknown
from models.message import Message
from models.records import Place, Shop
from service.actions.windows.check_tonight import TonightAnswer
from service.answers import PourOptionResponse, told
from service.nouns.form import Form
from service.pages import render, view, ways
from service.pages.check_view import checked, danger, fields
from service.pages.choices import TEMPERATURES, choices
from service.pages.form_post import PageRoute, Refused
from service.pages.night import typed_words
from service.pages.prices import Prices
from service.queries.rows import find, find_shop
from service.request_context import ContextDep
from service.words import Reader, instant, measure, say_all, word

router = APIRouter(route_class=PageRoute, include_in_schema=False)


HOUR = timedelta(hours=1)
A_STEP = 0.05  # chances that differ by less are alike
NAMES = (("morning", 4, 11), ("noon", 11, 14), ("afternoon", 14, 18), ("evening", 18, 23))
BRIEF = {"morning": "morn", "noon": "noon", "afternoon": "aft", "evening": "eve"}


@dataclass(frozen=True)
class Part:
    """A part of the shop's day, from one whole hour to another."""

    name: str
    first: int
    end: int

    @property
    def brief(self) -> str:
        """Its name in the width of a column."""
        return BRIEF[self.name]


@dataclass(frozen=True)
class Cell:
    """One part of one day: a way that will do in all of it or from some hour on, or what forbids.

    at : the start that the cell leads to; name : all of it in words, for who does not see it
    """

    at: str
    state: str  # yes | some | no
    words: str
    hour: str
    name: str


@dataclass(frozen=True)
class Day:
    """One day: its parts, and how cold the night after it and how warm the day."""

    name: str
    today: bool
    high: str
    low: str
    cells: list[Cell | None]


@router.get("/week")
def ask(request: Request, context: ContextDep) -> Response:
    """The week of a pour as the form of /tonight describes it; with `at` that start alone."""
    query = request.query_params
    if "piece_id" not in query:
        return RedirectResponse("/tonight", 303)
    with context.store.reading() as session:
        have = choices(session)
    form = Form.of(fields(have), {name: query.getlist(name) for name in query}, context.reader())
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
        shop = find_shop(session)
    clock = view.Clock(context.now, context.reader(place.timezone))
    answer = told(found.answer, clock.reader)
    options = found.answer.options
    shown: dict[str, Any] = (
        _hour(options, clock, only, Prices.of_shop(shop))
        if only
        else _grid(found, clock, parts_of(shop))
    )
    question = {name: value for name, value in query.items() if name != "at" and value}
    return render.page(
        "week.html",
        title="The week" if only is None else "This hour",
        tab="tonight",
        reader=clock.reader,
        answer=answer,
        danger=danger(answer),
        why=answer.because,
        question=question,
        query=render.query(question),
        forecast=render.query({n: v for n, v in question.items() if n not in TEMPERATURES}),
        understood=_understood(form, clock.reader),
        place=place,
        source=found.weather_source,
        warnings=say_all(found.warnings, clock.reader),
        attribution=context.weather.attribution,
        **shown,
    )


@router.get("/week/wait")
def wait(request: Request, context: ContextDep) -> Response:
    """At once, that the week is being worked out; the browser asks for it from here, with script or
    without, and shows this until it comes."""
    return render.page(
        "wait.html",
        title="The week",
        tab="tonight",
        reader=context.reader(),
        query=render.query(request.query_params),
    )


def _understood(form: Form, reader: Reader) -> str:
    """The two typed temperatures, where both were typed."""
    low, high = form.values(TEMPERATURES).values()
    return "" if low is None or high is None else typed_words(low, high, reader)


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


def parts_of(shop: Shop) -> list[Part]:
    """The parts of the shop's working day; all four where it works round the clock."""
    begin, end = shop.working_from, shop.working_to
    first, last = begin.hour + (begin.minute > 0), end.hour or 24
    if first >= last:
        return [Part(*one) for one in NAMES]
    early, late = NAMES[0][1], NAMES[-1][2]
    found = [
        Part(name, max(a, first) if a != early else first, min(b, last) if b != late else last)
        for name, a, b in NAMES
    ]
    return [part for part in found if part.first < part.end]


def _hour(
    options: Sequence[PourOptionResponse], clock: view.Clock, only: datetime, prices: Prices
) -> dict[str, Any]:
    """One start with all its ways, and the hours beside it."""
    start = options[0].start if options else only
    beside = [
        (words, at.isoformat(timespec="minutes"))
        for words, at in (("an hour earlier", start - HOUR), ("an hour later", start + HOUR))
        if at > clock.now
    ]
    return {"ways": ways.of_start(options, clock, prices), "start": clock(start), "beside": beside}


def _grid(found: TonightAnswer, clock: view.Clock, parts: Sequence[Part]) -> dict[str, Any]:
    """Days down, parts of the day across; the shop's own room is told once, beside them."""
    options = found.answer.options
    within = [option for option in options if option.indoors]
    outside = [option for option in options if not option.indoors]
    of: dict[tuple[date, str], dict[datetime, list[PourOptionResponse]]] = {}
    for start, group in _by_start(outside).items():
        local = start.astimezone(clock.zone)
        part = next((one for one in parts if one.first <= local.hour < one.end), None)
        if part is not None:
            of.setdefault((local.date(), part.name), {})[local] = group
    today = clock.now.astimezone(clock.zone).date()
    days = [
        Day(
            "Today" if day == today else instant(_noon(day, clock), "day", clock.reader),
            day == today,
            *_warmth(found.air, day, clock),
            [
                _cell(of[day, part.name], part, clock) if (day, part.name) in of else None
                for part in parts
            ],
        )
        for day in sorted({day for day, _ in of})
    ]
    return {
        "days": days,
        "parts": parts,
        "best": _best(of, clock),
        "indoors": _indoors(within, clock.reader),
    }


def _noon(day: date, clock: view.Clock) -> datetime:
    return datetime.combine(day, time(12), tzinfo=clock.zone)


def _by_start(options: Iterable[PourOptionResponse]) -> dict[datetime, list[PourOptionResponse]]:
    found: dict[datetime, list[PourOptionResponse]] = {}
    for option in options:
        found.setdefault(option.start, []).append(option)
    return found


def _cell(
    starts: Mapping[datetime, Sequence[PourOptionResponse]], part: Part, clock: view.Clock
) -> Cell:
    """The least that will do at every hour of it, else the hour from which something does."""
    hours = sorted(starts)
    passing = {at: [one for one in starts[at] if one.passes] for at in hours}
    everywhere = [
        one
        for one in passing[hours[0]]
        if all(ways.key(one) in map(ways.key, passing[at]) for at in hours)
    ]
    some = [at for at in hours if passing[at]]
    if everywhere or some:
        at = hours[0] if everywhere else some[0]
        least = min(everywhere or passing[at], key=lambda one: one.effort)
        words, hour = short(least.protection_code.message), ""
        if not everywhere:
            least = min((one for at in some for one in passing[at]), key=lambda one: one.effort)
            at = next(at for at in some if least in passing[at])
            words, hour = short(least.protection_code.message), instant(at, "time", clock.reader)
        state = "yes" if everywhere else "some"
    else:
        at, hour, state = hours[0], "", "no"
        nearest = min(
            (one for at in hours for one in starts[at]),
            key=lambda one: (one.frost_chance is None, one.excess, -one.effort),
        )
        words = word("short_fails", nearest.risks[0].code, clock.reader)
    moment = clock(at)
    assert moment is not None
    says = {"yes": "yes", "some": f"from {hour}", "no": "no"}[state]
    name = f"{moment.clock}, {part.name}: {says}, {words}"
    return Cell(at.isoformat(timespec="minutes"), state, words, hour, name)


def short(way: Message) -> str:
    """A way in the width of a cell; its water and its heat are told on tap."""
    cover = way.values.get("cover")
    if not isinstance(cover, Message):
        return word("cell", "bare")
    return word("cell", str(cover.values["cover"]))


def _best(
    of: Mapping[tuple[date, str], Mapping[datetime, Sequence[PourOptionResponse]]],
    clock: view.Clock,
) -> tuple[view.Moment | None, ways.Way] | None:
    """The start that asks least of the maker, then risks least, then comes first; and its way."""
    starts = {at: group for part in of.values() for at, group in part.items()}
    passing = [
        (one.effort, max((r.probability for r in one.risks), default=0.0) // A_STEP, at)
        for at, group in starts.items()
        for one in group
        if one.passes
    ]
    if not passing:
        return None
    at = min(passing)[2]
    return clock(at), ways.of_start(starts[at], clock)[0]


def _warmth(air: AirSeries | Unknown, day: date, clock: view.Clock) -> tuple[str, str]:
    """The high of a day and the low of the night after it, outdoors; nothing where not known."""
    if isinstance(air, Unknown):
        return "", ""
    noon = _noon(day, clock)
    spans = ((noon - 6 * HOUR, noon + 6 * HOUR, max), (noon + 6 * HOUR, noon + 21 * HOUR, min))
    told = []
    for begin, end, pick in spans:
        rows = [
            float(value)
            for k, value in enumerate(air.air_C)
            if begin <= air.start + k * HOUR <= end and isfinite(value)
        ]
        told.append(measure(pick(rows), "temperature_C", clock.reader) if rows else "")
    return told[0], told[1]


def _indoors(options: Sequence[PourOptionResponse], reader: Reader) -> str:
    """In how many hours the shop's own room would do; empty where it has none."""
    starts = _by_start(options).values()
    hours = len({one.start for one in options if one.passes})
    if not starts:
        return ""
    if hours == len(starts):
        return "any hour will do"
    nearest = min(options, key=lambda one: (one.frost_chance is None, one.excess, -one.effort))
    stands = f": {ways.may_go_wrong(nearest.risks[0], reader)}" if not hours else ""
    return f"{hours} of {len(starts)} hours will do{stands}"
