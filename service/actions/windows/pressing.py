"""What presses most at every pour under way, so small that five hundred are ranked like five.

An answer is read once for each time it is made; of it only what may still be told on the first
page is kept in this process.
"""

from bisect import bisect
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any
from weakref import WeakKeyDictionary

from sqlalchemy import Connection, Engine
from sqlmodel import Session

from service.actions.windows.standing import hours, is_fresh, opens, standing
from service.answer_fields import MessageResponse
from service.answers import (
    AlertResponse,
    FrostWatchResponse,
    StepWindowResponse,
    read_answer,
)
from service.queries.held import EMPTIES
from service.queries.projections import Head, answers_by_id, heads_of_active

SOON = timedelta(hours=12)  # what closes within it goes before what was missed
MISSED_COUNTS = timedelta(days=3)  # what was missed before is told last
UNDONE = ("not yet", "open", "closing")
FAR = datetime.max.replace(tzinfo=UTC)
CLOSING, CLOSES_SOON, FROZEN, MISSED, OPEN, AHEAD, BLOCKED, MISSED_LONG, NOTHING = range(9)
WARNED = (
    "fumes",
    "frost_froze",
    "frost_later",
    "frost_may_come",
    "frost_may_have_come",
    "if_it_froze",
    "hot_harms",
)


@dataclass(frozen=True, slots=True)
class _Kept:
    """Of one answer: the steps that may press, alerts, dangers, the frost watch."""

    version: tuple[object, ...]
    steps: tuple[StepWindowResponse, ...]
    hours: tuple[datetime, ...]  # at which a step opens or closes
    alerts: tuple[AlertResponse, ...]
    dangers: tuple[MessageResponse, ...]
    before_codes: tuple[str, ...]  # the warnings of a row of before codes, told as they are
    watch: FrostWatchResponse | None
    strip: StepWindowResponse | None


@dataclass(frozen=True)
class Pressing:
    """A pour, and the step that presses most there; None of one without an answer or a step left.

    at : when it has to be done by, or may be done from
    strip_at : from when its mould may come off, None: it is off, or nobody can tell
    """

    head: Head
    rank: int
    at: datetime
    step: StepWindowResponse | None
    alerts: tuple[AlertResponse, ...] = ()
    dangers: tuple[MessageResponse, ...] = ()
    before_codes: tuple[str, ...] = ()
    watch: FrostWatchResponse | None = None
    strip_at: datetime | None = None
    outdated: bool = False  # what was logged, or an hour that came, has overtaken its answer


_kept: WeakKeyDictionary[Engine | Connection, dict[int, _Kept]] = WeakKeyDictionary()


def pressing(session: Session, now: datetime) -> list[Pressing]:
    """Every pour under way, the most pressing first; two statements, however many there are."""
    heads = heads_of_active(session)
    known = _kept.get(session.get_bind(), {})
    fresh = {
        head.pour_id: known[head.pour_id]
        for head in heads
        if head.pour_id in known and known[head.pour_id].version == head.version
    }
    unread = {
        head.projection_id: head
        for head in heads
        if head.projection_id is not None and head.pour_id not in fresh
    }
    for key, answer in answers_by_id(session, unread.keys()).items():
        fresh[unread[key].pour_id] = _read(answer, unread[key].version)
    _kept[session.get_bind()] = fresh
    found = [_of_pour(head, fresh.get(head.pour_id), now) for head in heads]
    return sorted(found, key=lambda one: (one.rank, one.at, one.head.pour_id))


def _read(stored: Mapping[str, Any], version: tuple[object, ...]) -> _Kept:
    answer = read_answer(stored)
    codes = answer.warning_codes
    return _Kept(
        version,
        tuple(_may_press(answer.steps)),
        tuple(hours(answer.steps)),
        tuple(answer.alerts),
        tuple(one for one in codes if one.code in WARNED),
        () if codes else tuple(answer.warnings),
        answer.frost_watch,
        next((one for one in answer.steps if one.step == EMPTIES), None),
    )


def _may_press(steps: Sequence[StepWindowResponse]) -> Iterator[StepWindowResponse]:
    """What can be done or was missed, the first that is waited for, the first that is blocked; a
    step that was missed before one that is done matters to nobody."""
    last_done = max((k for k, one in enumerate(steps) if one.state == "done"), default=-1)
    yield from (one for one in steps if one.state in ("open", "closing", "frozen"))
    past = [one for one in steps[last_done + 1 :] if one.state == "past"]
    yield from past[-1:]
    ahead = [one for one in steps if one.state == "not yet"]
    yield from sorted(ahead, key=lambda one: opens(one) or FAR)[:1]
    yield from [one for one in steps if one.state == "blocked"][:1]


def _of_pour(head: Head, kept: _Kept | None, now: datetime) -> Pressing:
    if kept is None or head.checked_at is None:
        return Pressing(head, BLOCKED, FAR, None)
    fresh = is_fresh(head.checked_at, now)
    ranked = [(*_rank(one, now, fresh=fresh), k) for k, one in enumerate(kept.steps)]
    rank, at, number = min(ranked, default=(NOTHING, FAR, -1))
    overtaken = bisect(kept.hours, head.checked_at) < bisect(kept.hours, now)
    due = head.due_at is not None and head.due_at <= now
    window = None
    if number >= 0:
        window = standing(kept.steps[number], now, head.checked_at)
    return Pressing(
        head,
        rank,
        at,
        window,
        kept.alerts,
        kept.dangers,
        kept.before_codes,
        kept.watch,
        _strip_at(kept.strip, now, head.checked_at),
        due or overtaken or not fresh,
    )


def _strip_at(strip: StepWindowResponse | None, now: datetime, told: datetime) -> datetime | None:
    if strip is None or standing(strip, now, told).state not in UNDONE:
        return None
    return opens(strip)


def _rank(step: StepWindowResponse, now: datetime, *, fresh: bool) -> tuple[int, datetime]:
    """How much it presses, and by when; the rule of `standing` without its words."""
    state, latest = step.state, step.latest
    if state in ("open", "closing") and latest is not None and latest < now:
        state = "past"
    elif state in ("open", "closing") and not fresh:
        return BLOCKED, FAR
    if state == "past":
        since = timedelta(0) if latest is None else now - latest
        # of several that were missed the last one counts, which a later instant would sort behind
        return (MISSED if since <= MISSED_COUNTS else MISSED_LONG), now + since
    if state == "not yet":
        return AHEAD, opens(step) or FAR
    if state == "closing":
        return CLOSING, latest or FAR
    if state == "open":
        soon = latest is not None and latest <= now + SOON
        # without hurry what has been ready longest goes first
        return (CLOSES_SOON, latest) if soon and latest else (OPEN, opens(step) or now)
    return (FROZEN if state == "frozen" else BLOCKED), FAR
