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
from service.actions.notices.channels import failing
from service.actions.shop import broker
from service.actions.shop.mould_states import free_after
from service.actions.shop.stock import cold
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
    SOON,
    Pressing,
    pressing,
)
from service.actions.windows.standing import opens
from service.answer_fields import MessageResponse
from service.answers import AlertResponse
from service.notify.words import doing
from service.pages import night, page_data, render, view
from service.pages.form_post import PageRoute
from service.pages.ways import EVEN, brief, hangs, odds
from service.queries import places
from service.queries.projections import Head
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
RECOMPUTED_AT_ONCE = 3  # in a shop of one page; more would keep a phone waiting
A_DAY, A_NIGHT = timedelta(days=1), timedelta(hours=12)
COLD_C = 5.0  # a piece whose coldest place stays over it needs no word of frost
PAGE = 12  # pieces on one page
ALARMS = WATCHED = 12  # put into words; of more their number is told
LONGEST_LIST = 100_000
FIRST = ("fumes", "frost_froze")  # dangers that go before every alarm
SEVERITY = ("fumes", "frost", "rain", "wind")
HEATED = "heated room"


Ranked = tuple[int, datetime, Head, AlertResponse | MessageResponse | str]


@dataclass(frozen=True)
class Line:
    """One piece, and the one step of it that presses most."""

    pour_id: int
    name: str
    group: str
    step: view.StepView | None
    why: str  # of a step without an hour, or that was missed
    late: bool
    short: bool  # it closes soon after it opens


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
    if late and len(found) <= PAGE:
        for pour_id in late[:RECOMPUTED_AT_ONCE]:
            context.recompute(pour_id)
        found, here, weather = _look(context)
    with context.store.reading() as session:
        mute = failing(session, context.now)
        away = broker.away(session, context.settings, context.now)
        freezing = cold(session, context.now)
    reader = context.reader()
    clock = view.Clock(context.now, reader)
    alarms = _alarms(found, context.now)
    watched = _watched(found, alarms)
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
        alarms=[_told(one, clock) for one in alarms[:ALARMS]],
        more_alarms=max(len(alarms) - ALARMS, 0),
        watched=[_watch(one, reader) for one in watched[:WATCHED]],
        more_watched=max(len(watched) - WATCHED, 0),
        night=low,
        freezing=[one.name for one in freezing],
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
        mute=mute,
        me=context.asker.person_id,
        away=away,
        away_since=clock(away.since) if away else None,
        is_owner=context.asker.is_owner,
        attribution=page_data.credit(context.weather, weather),
        old=_unwatched(found, context.now),
        moulds=_free_soon(found, context.now, reader),
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
        return Line(head.pour_id, name, group, None, "", late=False, short=False)
    step = view.step(one.step, clock, head.checked_at)
    why = ""
    if one.rank in (BLOCKED, FROZEN):
        why = view.short(one.step, clock.reader)
    elif step.state == "past":
        why = step.missed
    elif one.step.after and not step.ready:
        why = say(Message("do_first", {"doing": doing(one.step.after)}), clock.reader)
    at, latest = opens(one.step), one.step.latest
    short = at is not None and latest is not None and latest - at <= SOON
    return Line(head.pour_id, name, group, step, why, late=step.state == "past", short=short)


def _alarms(found: Sequence[Pressing], now: datetime) -> list[Ranked]:
    """What may kill somebody, then frost, rain and wind, by the hour at which to act."""
    ranked: list[Ranked] = []
    for one in found:
        ahead = [alert for alert in one.alerts if alert.at > now or _goes_on(alert, now)]
        told = {alert.kind for alert in ahead}  # one that is over silences no danger
        for alert in ahead:
            ranked.append((SEVERITY.index(alert.kind), alert.act_by, one.head, alert))
        for danger in one.dangers:
            if danger.code.split("_")[0] in told or danger.code == "if_it_froze":
                continue  # the alarm says it, and the page of the piece all the rest
            if danger.code == "frost_later" and not _is_near(danger, now):
                continue
            ranked.append((0 if danger.code in FIRST else 1, now, one.head, danger))
        ranked += [(1, now, one.head, text) for text in one.before_codes]
    return sorted(ranked, key=lambda one: one[:2])


def _goes_on(alert: AlertResponse, now: datetime) -> bool:
    """A frost that has begun is not over: until the morning after it is still acted against."""
    return alert.kind == "frost" and now - alert.at <= A_NIGHT


def _is_near(danger: MessageResponse, now: datetime) -> bool:
    """Whether it begins within a day: until then the page of the piece tells of it."""
    begins = danger.message.values["from_at"]
    return isinstance(begins, datetime) and begins - now <= A_DAY


def _told(one: Ranked, clock: view.Clock) -> Alarm:
    """One of them in words."""
    _, _, head, about = one
    clock = clock.of_pour(head.placed_at)
    if isinstance(about, AlertResponse):
        return _alarm(head.pour_id, head.label, about, clock)
    if isinstance(about, MessageResponse):
        if about.code == "frost_later":
            about = MessageResponse(code="today_frost_later", values=about.values)
        about = view.sentence(say(about.message, clock.reader))
    return Alarm(head.pour_id, head.label, None, "", about, {})


def _alarm(pour_id: int, name: str, alert: AlertResponse, clock: view.Clock) -> Alarm:
    by = None if alert.act_by <= clock.now else clock(act_by(alert.act_by, clock.reader))
    if by is not None:
        by = replace(by, clock=instant(alert.act_by, "near by", clock.reader))
    if alert.code is None:
        return Alarm(pour_id, name, by, "", alert.text, {})
    told, reader = alert.code.message, clock.reader
    enough = alert.after is not None and alert.after <= EVEN
    cover = told.values.get("cover") if enough or alert.kind != "frost" else None
    if alert.kind == "rain":
        cover = Message("cover", {"cover": "film"})
    values: dict[str, Value] = {
        "chance": odds(alert.chance),
        "from_at": alert.at,
        "after": odds(alert.after or 0.0),
    }
    code = {"frost": "today_frost_cover" if enough else "today_frost"}
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


def _watched(found: Sequence[Pressing], alarms: Sequence[Ranked]) -> list[Pressing]:
    """Pieces that bear no frost yet and get cold, but for those an alarm speaks of."""
    told = {head.pour_id for _, _, head, _ in alarms}
    return [
        one
        for one in found
        if one.watch is not None
        and one.head.pour_id not in told
        and one.head.place_kind != HEATED
        and one.watch.lowest_C is not None
        and one.watch.lowest_C < COLD_C
    ]


def _watch(one: Pressing, reader: Reader) -> tuple[int, str, str]:
    """One of them: its pour, its name, and from when it bears frost."""
    watch, head = one.watch, one.head
    assert watch is not None
    assert watch.lowest_C is not None
    low = measure(watch.lowest_C, "temperature_C", reader)
    values: dict[str, Any] = {"low": low, "chance": odds(watch.chance)}
    if watch.until is not None:
        values["bears_at"] = watch.until
    code = "bears_not_yet" if watch.until is None else "bears_from"
    return head.pour_id, head.label, say(Message(code, values), reader)


def _unwatched(found: Sequence[Pressing], now: datetime) -> str:
    """How long nothing was worked out, when that is too long: the clock may stand still."""
    checked = [one.head.checked_at for one in found if one.head.checked_at is not None]
    if not checked or now - min(checked) <= UNWATCHED:
        return ""
    return view.age(now - min(checked))


def _free_soon(found: Sequence[Pressing], now: datetime, reader: Reader) -> list[str]:
    """The moulds that come free within a day, the first first, in words."""
    free = []
    for one in found:
        if one.head.mould and one.strip_at and one.strip_at <= now + A_DAY:
            turnaround = free_after(one.head.turnaround_h)
            free.append((max(one.strip_at, now) + turnaround, one.head.mould))
    return [
        say(Message("today_mould", {"mould": mould, "free_at": at}), reader)
        for at, mould in sorted(free)
    ]
