"""What is due, across all pieces: the first page."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from fastapi import APIRouter, Response

from models.records import Place, Pour, Projection
from service.actions.windows.due_list import DueItem, due_list
from service.answers import AnswerResponse, read_answer, told
from service.pages import page_data, render, view
from service.pages.form_post import PageRoute
from service.queries.jobs import pours_due
from service.queries.projections import of_active
from service.queries.rows import find_shop
from service.request_context import ContextDep, RequestContext

router = APIRouter(route_class=PageRoute, include_in_schema=False)
GROUPS = (
    ("Do now", ("closing", "open")),
    ("Frozen early", ("frozen",)),
    ("Missed", ("past",)),
    ("Next, today and tomorrow", ("not yet",)),
    ("No answer yet", ("blocked",)),
)
UNWATCHED = timedelta(hours=6)  # an older reckoning is told of at the top
RECOMPUTED_AT_ONCE = 3  # more would keep a phone waiting; the clock does the others
COLD_C = 5.0  # a piece whose coldest place stays over it needs no word of frost


@dataclass(frozen=True)
class Line:
    """One step of one piece."""

    pour_id: int
    piece: str
    step: view.StepView
    why: str
    ahead: bool  # its sure hour has not come yet


@dataclass(frozen=True)
class Remark:
    """A warning of one pour, or that its piece cannot be sure to bear a frost, in the cold."""

    pour_id: int
    piece: str
    text: str


@router.get("/")
def due(context: ContextDep) -> Response:
    """Frost first, then what can be done now, what was missed, what comes next."""
    _recompute(context)
    with context.store.reading() as session:
        shop = find_shop(session)
        clock = view.Clock(context.now, context.reader(shop.timezone))
        items = due_list(session, context.now, clock.end_of_tomorrow - context.now)
        pours = of_active(session)
        places = list({place.id: place for _, _, place, _ in pours}.values())
        weather = page_data.weathers(
            session, context.now, sorted(places, key=lambda place: place.id)
        )
    alarms = [
        (rank, Remark(pour.id, name, text))
        for pour, name, _, projection in pours
        if projection is not None
        for rank, text in view.urgent_warnings(told(read_answer(projection.answer), clock.reader))
    ]
    watched = [
        Remark(pour.id, name, text)
        for pour, name, _, projection in pours
        if projection is not None and (text := _watch(read_answer(projection.answer), clock))
    ]
    pieces = [
        (pour.id, name, clock(pour.placed_at), projection is not None)
        for pour, name, _, projection in pours
    ]
    return render.page(
        "due.html",
        title=shop.name,
        tab="due",
        reader=clock.reader,
        alarms=[one for _, one in sorted(alarms, key=lambda one: one[0])],
        official=[
            one
            for place in sorted(places, key=lambda place: place.name)
            for one in page_data.official(place, clock)
        ],
        watched=watched,
        groups=_grouped(items, clock),
        pieces=pieces,
        waiting=not all(computed for *_, computed in pieces),
        weather=weather,
        attribution=page_data.credit(context.weather, weather),
        old=_unwatched(pours, context.now),
        zone=_two_clocks(shop.timezone, places),
    )


def _watch(answer: AnswerResponse, clock: view.Clock) -> str:
    """Until when a piece is under frost strength; nothing where it stays well over freezing."""
    watch = answer.frost_watch
    if watch is None or (watch.lowest_C is not None and watch.lowest_C >= COLD_C):
        return ""
    bears = clock(watch.until)
    until = "with no sure hour yet" if bears is None else f"until {bears.clock}"
    lowest = (
        ""
        if watch.lowest_C is None
        else f", its coldest place {clock.measure(watch.lowest_C, 'temperature_C')}"
    )
    need = clock.measure(watch.need_MPa, "stress_MPa")
    return f"under {need} {until}{lowest}; {watch.chance:.0%} chance that it freezes"


def _recompute(context: RequestContext) -> None:
    """Compute anew what was logged about, or what a window's opening or closing has overtaken.

    A pour that was never computed is left to the clock: the first one compiles the kernels, and
    the page must not wait for that.
    """
    with context.store.reading() as session:
        due = pours_due(session, context.now)
        late = [
            pour.id
            for pour, _, _, row in of_active(session)
            if row is not None
            and (
                pour.id in due
                or view.outdated(read_answer(row.answer).steps, context.now, row.checked_at)
            )
        ]
    for pour_id in late[:RECOMPUTED_AT_ONCE]:
        context.recompute(pour_id)


def _grouped(items: list[DueItem], clock: view.Clock) -> list[tuple[str, list[list[Line]]]]:
    """By what is to be done, then by piece; the most pressing piece first."""
    lines = [_line(item, clock) for item in items]
    groups: list[tuple[str, list[list[Line]]]] = []
    for title, states in GROUPS:
        pieces: dict[int, list[Line]] = {}
        for line in lines:
            if line.step.state in states:
                pieces.setdefault(line.pour_id, []).append(line)
        if pieces:
            groups.append((title, list(pieces.values())))
    return groups


def _line(item: DueItem, clock: view.Clock) -> Line:
    step = view.step(item.step, clock, item.told_at)
    why = (
        step.because if step.state in ("blocked", "frozen") else view.short(item.step, clock.reader)
    )
    safe = item.step.earliest.safe
    ahead = safe is not None and safe > clock.now
    return Line(item.pour_id, item.label, step, step.missed or why, ahead)


def _two_clocks(zone: str, places: Sequence[Place]) -> str:
    """The shop's zone, where a piece lies under another one."""
    return zone if {place.timezone for place in places} - {zone} else ""


def _unwatched(pours: Sequence[tuple[Pour, str, Place, Projection | None]], now: datetime) -> str:
    """How long nothing was reckoned, when that is too long: the clock may stand still."""
    checked = [projection.checked_at for *_, projection in pours if projection is not None]
    if not checked or now - min(checked) <= UNWATCHED:
        return ""
    return view.age(now - min(checked))
