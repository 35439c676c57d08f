"""Today: what is next, when, and one button; then a line a piece, the most pressing first."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import groupby
from typing import Annotated, Any

from fastapi import APIRouter, Query, Response

from models.concrete.section import FACES
from models.message import Message, Value
from models.records import Place
from service.actions.windows.pressing import (
    AHEAD,
    BLOCKED,
    CLOSES_SOON,
    CLOSING,
    FROZEN,
    MISSED,
    MISSED_LONG,
    NOTHING,
    OPEN,
    Pressing,
    pressing,
)
from service.answers import AlertResponse
from service.notify.words import doing
from service.pages import night, page_data, render, view
from service.pages.form_post import PageRoute
from service.pages.ways import brief, hangs, odds
from service.queries import places
from service.request_context import ContextDep, RequestContext
from service.words import Reader, instant, measure, say
from service.words.instants import act_by

router = APIRouter(route_class=PageRoute, include_in_schema=False)
GROUPS = {
    CLOSING: "Now",
    CLOSES_SOON: "Now",
    OPEN: "Open, no hurry",
    FROZEN: "Frozen early",
    MISSED: "Missed",
    MISSED_LONG: "Missed",
    AHEAD: "Next",
    BLOCKED: "No answer yet",
    NOTHING: "Nothing left to do",
}
UNWATCHED = timedelta(hours=6)  # an older answer is told of at the top
RECOMPUTED_AT_ONCE = 3  # more would keep a phone waiting; the clock does the others
COLD_C = 5.0  # a piece whose coldest place stays over it needs no word of frost
PAGE = 12  # pieces on one page
LONGEST_LIST = 100_000
FIRST = ("fumes", "frost_froze")  # dangers that go before every alarm
SEVERITY = ("fumes", "frost", "rain", "wind")
HEATED = "heated room"


@dataclass(frozen=True)
class Line:
    """One piece, and the one step of it that presses most."""

    pour_id: int
    name: str
    group: str
    step: view.StepView | None
    why: str  # of a step without an hour, or that was missed
    late: bool


@dataclass(frozen=True)
class Alarm:
    """What the coming hours may do to a piece, by when to act, and the button that says it is done.

    laid : the fields of the cover that the button logs; empty: no cover helps
    """

    pour_id: int
    name: str
    by: view.Moment | None
    do: str
    text: str
    laid: Mapping[str, str]


@router.get("/")
def due(
    context: ContextDep,
    first: Annotated[int, Query(alias="from", ge=0, le=LONGEST_LIST)] = 0,
) -> Response:
    found, here, weather = _look(context)
    late = [one.head.pour_id for one in found if one.outdated and one.step is not None]
    for pour_id in late[:RECOMPUTED_AT_ONCE]:
        context.recompute(pour_id)
    if late:
        found, here, weather = _look(context)
    reader = context.reader()
    clock = view.Clock(context.now, reader)
    alarms = _alarms(found, clock)
    shown = found[first : first + PAGE]
    low = night.lowest(
        [
            (place, one.lead)
            for place, one in zip(here, weather, strict=True)
            if place.kind in night.OUTDOORS
        ],
        context.now,
    )
    return render.page(
        "due.html",
        title="Today",
        tab="due",
        reader=reader,
        groups=_grouped(_line(one, clock) for one in shown),
        first=first,
        more=max(len(found) - first - PAGE, 0),
        step=PAGE,
        alarms=alarms,
        watched=_watched(found, alarms, reader),
        night=low,
        night_low="" if low is None else night.low_words(low.low_C, reader),
        official=[one for place in here for one in page_data.official(place, clock)],
        typed=[
            (one.place_id, one.place, night.typed_words(*night.typed_pair(one.lead), reader))
            for one in weather
            if one.typed and one.lead is not None
        ],
        waiting=any(one.head.checked_at is None for one in found),
        weather=weather,
        lacking=[one for one in weather if one.stale],
        attribution=page_data.credit(context.weather, weather),
        old=_unwatched(found, context.now),
    )


def _look(
    context: RequestContext,
) -> tuple[list[Pressing], Sequence[Place], list[page_data.Weather]]:
    """The pours, the places they stand at, and the weather of those."""
    with context.store.reading() as session:
        here = places.in_use(session)
        found = pressing(session, context.now)
        weather = page_data.weathers(session, context.now, here)
        return found, here, weather


def _grouped(lines: Iterable[Line]) -> list[tuple[str, list[Line]]]:
    """Neighbours under one heading."""
    return [(group, list(run)) for group, run in groupby(lines, key=lambda line: line.group)]


def _line(one: Pressing, clock: view.Clock) -> Line:
    head, group = one.head, GROUPS[one.rank]
    clock = clock.of_pour(head.placed_at)
    name = head.label
    if one.step is None or head.checked_at is None:
        return Line(head.pour_id, name, group, None, "", late=False)
    step = view.step(one.step, clock, head.checked_at)
    why = ""
    if one.rank in (BLOCKED, FROZEN):
        why = view.short(one.step, clock.reader)
    elif step.state == "past":
        why = step.missed
    elif one.step.after and not step.ready:
        why = say(Message("do_first", {"doing": doing(one.step.after)}), clock.reader)
    return Line(head.pour_id, name, group, step, why, late=step.state == "past")


def _alarms(found: Sequence[Pressing], clock: view.Clock) -> list[Alarm]:
    """What may kill somebody, then frost, rain and wind, by the hour at which to act."""
    ranked: list[tuple[tuple[int, datetime], Alarm]] = []
    for one in found:
        pour_id, name = one.head.pour_id, one.head.label
        clock = clock.of_pour(one.head.placed_at)
        ahead = [alert for alert in one.alerts if alert.at > clock.now]
        told = {alert.kind for alert in ahead}  # one that is over silences no danger
        for alert in ahead:
            order = SEVERITY.index(alert.kind), alert.act_by
            ranked.append((order, _alarm(pour_id, name, alert, clock)))
        for danger in one.dangers:
            if danger.code.split("_")[0] in told or danger.code == "if_it_froze":
                continue  # the alarm says it, and the page of the piece all the rest
            text = view.sentence(say(danger.message, clock.reader))
            order = (0 if danger.code in FIRST else 1), clock.now
            ranked.append((order, Alarm(pour_id, name, None, "", text, {})))
        for text in one.before_codes:
            ranked.append(((1, clock.now), Alarm(pour_id, name, None, "", text, {})))
    return [alarm for _, alarm in sorted(ranked, key=lambda one: one[0])]


def _alarm(pour_id: int, name: str, alert: AlertResponse, clock: view.Clock) -> Alarm:
    by = None if alert.act_by <= clock.now else clock(act_by(alert.act_by, clock.reader))
    if by is not None:
        by = replace(by, clock=instant(alert.act_by, "near by", clock.reader))
    if alert.code is None:
        return Alarm(pour_id, name, by, "", alert.text, {})
    told, reader = alert.code.message, clock.reader
    cover = told.values.get("cover")
    if alert.kind == "rain":
        cover = Message("cover", {"cover": "film"})
    values: dict[str, Value] = {
        "chance": odds(alert.chance),
        "from_at": alert.at,
        "after": odds(alert.after or 0.0),
    }
    code = {"frost": "today_frost_cover" if alert.after is not None else "today_frost"}
    known = code.get(alert.kind, f"today_{alert.kind}")
    if alert.kind == "fumes":
        return Alarm(pour_id, name, None, "", view.sentence(say(told, reader)), {})
    do = say(brief(cover), reader) if isinstance(cover, Message) else ""
    if not do:
        do = say(Message("to_do", {"do": "weights" if alert.kind == "wind" else "heat"}), reader)
    text = view.sentence(say(Message(known, values), reader))
    if far := hangs(cover, reader):
        text = f"{view.sentence(far)} {text}"
    return Alarm(pour_id, name, by, do, text, _laid(cover))


def _laid(cover: object) -> dict[str, str]:
    """The fields of the form that logs a proposed cover; a heated one has more to be said of it."""
    if not isinstance(cover, Message) or "setpoint_C" in str(cover.values):
        return {}
    beside = cover.values.get("with", ())
    assert isinstance(beside, tuple)
    codes = {one.code for one in beside if isinstance(one, Message)}
    faces = next((faces for faces in FACES if f"cover_{faces}" in codes), "top")
    kind = str(cover.values["cover"])
    return {} if kind == "heated enclosure" else {"kind": kind, "faces": faces}


def _watched(
    found: Sequence[Pressing], alarms: Sequence[Alarm], reader: Reader
) -> list[tuple[int, str, str]]:
    """Pieces that bear no frost yet and get cold, but for those an alarm speaks of."""
    told = {alarm.pour_id for alarm in alarms}
    out = []
    for one in found:
        watch, head = one.watch, one.head
        if watch is None or head.pour_id in told or head.place_kind == HEATED:
            continue
        if watch.lowest_C is None or watch.lowest_C >= COLD_C:
            continue
        low = measure(watch.lowest_C, "temperature_C", reader)
        values: dict[str, Any] = {"low": low, "chance": odds(watch.chance)}
        if watch.until is not None:
            values["bears_at"] = watch.until
        code = "bears_not_yet" if watch.until is None else "bears_from"
        out.append((head.pour_id, head.label, say(Message(code, values), reader)))
    return out


def _unwatched(found: Sequence[Pressing], now: datetime) -> str:
    """How long nothing was worked out, when that is too long: the clock may stand still."""
    checked = [one.head.checked_at for one in found if one.head.checked_at is not None]
    if not checked or now - min(checked) <= UNWATCHED:
        return ""
    return view.age(now - min(checked))
