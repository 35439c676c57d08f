"""The rows of the picture of a pour: each step as a mark from probably over safe to too late."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from models.message import Message
from models.steps import registry
from service import words
from service.answers import AnswerResponse, PlanEntryResponse, StepWindowResponse
from service.notify.words import verb
from service.pages.view import Clock
from service.words import Reader, say

NOT_DRAWN = ("reseal",)  # a date years away
FOLDED_FROM = 3  # so many done steps share one row
MISSED_FOR = timedelta(hours=6)  # a mark that was missed is drawn so long, then only told
NEVER = datetime.max.replace(tzinfo=UTC)


@dataclass(frozen=True)
class Row:
    """One line: instants in its lane, its name over it, and one hour in words at its end.

    done, meant : instants; lies : from when to when a cover lies, and whether that is meant only
    """

    key: str
    title: str
    shown: str
    likely: datetime | None = None
    safe: datetime | None = None
    latest: datetime | None = None
    done: tuple[datetime, ...] = ()
    meant: tuple[datetime, ...] = ()
    lies: tuple[tuple[datetime, datetime | None, bool], ...] = ()
    missed: bool = False

    @property
    def order(self) -> datetime:
        begins = [begin for begin, *_ in self.lies]
        known = [at for at in (*self.done, self.safe, self.likely, *begins) if at is not None]
        return known[0] if known else NEVER

    @property
    def begins(self) -> datetime:
        """Where its mark begins: a step that is probable long before it is safe is drawn too."""
        return min(self.order, self.likely or NEVER)


@dataclass(frozen=True)
class Rows:
    """Rows in the order of their hours, sentences under them, and all of it to be read aloud."""

    rows: tuple[Row, ...]
    under: tuple[str, ...]
    aloud: tuple[str, ...]

    @property
    def instants(self) -> list[datetime]:
        """All that the axis should reach."""
        found = [at for row in self.rows for at in (row.likely, row.safe, row.latest) if at]
        found += [at for row in self.rows for at in (*row.done, *row.meant)]
        return found + [at for row in self.rows for *both, _ in row.lies for at in both if at]


def rows_of(answer: AnswerResponse, clock: Clock, reader: Reader) -> Rows:
    """Every step of an answer, as it may be told at `clock.now`."""
    meant = {one.step: one.at for one in answer.plan if one.set_by != "logged"}
    windows = [one for one in answer.steps if one.step not in NOT_DRAWN]
    coats = [one for one in windows if registry.coat_number(one.step)]
    done = [one for one in windows if one.done_at and one not in coats]
    ahead = [one for one in windows if not one.done_at and one not in coats]
    rows = _done(done, clock, reader)
    rows += _covers(answer.plan, clock, reader)
    rows += [_row(one, meant.get(one.step), clock, reader) for one in ahead]
    rows += [_coats(coats, meant, clock, reader)] if coats else []
    gone = [
        one for one in rows if one.missed and one.latest and one.latest < clock.now - MISSED_FOR
    ]
    blind = [row for row in rows if row.order == NEVER]
    rows = [row for row in rows if row not in gone and row not in blind]
    rows.sort(key=lambda row: row.order)
    under = [_told(row, reader) for row in gone]
    if any(one.state == "blocked" and one.need.unit == "record" for one in windows):
        under.append(_say("picture_no_weather", reader))
    if blind:
        waiting = tuple(row.title for row in blind)
        under.append(_say("picture_no_hour", reader, steps=waiting))
    return Rows(tuple(rows), tuple(under), tuple(_aloud(one, clock, reader) for one in windows))


def folded(rows: Rows, until: datetime, reader: Reader) -> Rows:
    """What lies beyond an instant is said under the picture instead."""
    near = [row for row in rows.rows if row.begins <= until]
    far = tuple(_told(row, reader) for row in rows.rows if row.begins > until)
    return replace(rows, rows=tuple(near), under=(*far, *rows.under))


def _told(row: Row, reader: Reader) -> str:
    return _say("picture_later", reader, step=_capital(row.title), shown=row.shown)


def _done(done: Sequence[StepWindowResponse], clock: Clock, reader: Reader) -> list[Row]:
    """A row each, or one for all of them."""
    ordered = sorted((one.done_at, one.step) for one in done if one.done_at)
    if len(ordered) < FOLDED_FROM:
        return [Row(key, verb(key), _clock(at, clock), done=(at,)) for at, key in ordered]
    last = ordered[-1]
    title = _say("picture_done_before", reader, count=len(ordered), last=verb(last[1]))
    return [Row("done", title, _clock(last[0], clock), done=tuple(at for at, _ in ordered))]


def _row(window: StepWindowResponse, meant: datetime | None, clock: Clock, reader: Reader) -> Row:
    likely, safe, latest = window.earliest.p50, window.earliest.safe, window.latest
    title = verb(window.step)
    if window.state == "frozen":
        return Row(window.step, title, _say("picture_frozen", reader))
    if likely is None and safe is None:
        return Row(window.step, title, "")
    missed = latest is not None and latest <= clock.now
    if missed:
        shown, meant = _say("picture_missed", reader, shown=_clock(latest, clock)), None
    elif safe is not None and (latest is None or safe <= latest):
        shown = _told_window(safe, latest, clock)[0]
    else:
        hour = _told_window(likely or safe, latest, clock)[0]
        shown = _say("picture_probably", reader, shown=hour)
    ahead = (meant,) if meant is not None and meant > clock.now else ()
    return Row(window.step, title, shown, likely, safe, latest, meant=ahead, missed=missed)


def _coats(
    coats: Sequence[StepWindowResponse],
    meant: dict[str, datetime],
    clock: Clock,
    reader: Reader,
) -> Row:
    """All coats in one row: where the next one may begin, those done, those meant."""
    left = [one for one in coats if not one.done_at]
    done = tuple(one.done_at for one in coats if one.done_at)
    first, many = (left or coats)[0], len(coats) > 1
    row = _row(first, None, clock, reader)
    title = _say("picture_coats", reader, last=len(coats)) if many else row.title
    ahead = tuple(meant[one.step] for one in left if one.step in meant)
    if not left:
        return Row("coats", title, _clock(done[-1], clock), done=done)
    return replace(row, key="coats", title=title, done=done, meant=ahead)


def _covers(plan: Sequence[PlanEntryResponse], clock: Clock, reader: Reader) -> list[Row]:
    """What lies on the piece, one row for all of it: from each cover's laying to its taking off."""
    spans: list[tuple[datetime, datetime | None, bool]] = []
    names: dict[str, None] = {}
    for k, one in enumerate(plan):
        if one.step != "cover" or one.cover is None:
            continue
        kinds = (one.cover, None)
        off = next((x.at for x in plan[k + 1 :] if x.step == "uncover" and x.cover in kinds), None)
        names[words.word("cover", one.cover)] = None
        spans.append((one.at, off, one.set_by != "logged"))
    if not spans:
        return []
    last = max((off for _, off, _ in spans if off), default=None)
    open_ended = any(off is None for _, off, _ in spans)
    shown = (
        ""
        if open_ended or last is None
        else _say("picture_until", reader, shown=_clock(last, clock))
    )
    title = f"{_say('picture_cover', reader)}: {', '.join(names)}"
    return [Row("covered", title, shown, lies=tuple(spans))]


def _aloud(window: StepWindowResponse, clock: Clock, reader: Reader) -> str:
    """A step as a screen reader hears it."""
    likely, safe, latest = window.earliest.p50, window.earliest.safe, window.latest
    step = _capital(verb(window.step))
    if window.done_at:
        return _say("picture_said_done", reader, step=step, shown=_clock(window.done_at, clock))
    if latest is not None and latest <= clock.now:
        return _say("picture_said_missed", reader, step=step, shown=_clock(latest, clock))
    if likely is None and safe is None:
        return _say("picture_said_none", reader, step=step)
    begin = likely or safe
    if safe is None or (latest is not None and latest < safe):
        first, last = _told_window(begin, latest, clock)
        code, told = "picture_said_probably", {"likely": first}
    else:
        first, last = _told_window(safe, latest, clock)
        even = _told_window(begin, None, clock)[0]
        code, told = "picture_said_window", {"likely": even, "safe": first}
    until = _say("picture_said_until", reader, shown=last) if last else ""
    return _say(code, reader, step=step, until=until, **told)


def _told_window(opens: datetime | None, closes: datetime | None, clock: Clock) -> tuple[str, str]:
    """Both ends of a window as the page tells them."""
    begin, end = clock.window(opens, closes)
    return begin.clock if begin else "", end.clock if end else ""


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _clock(at: datetime | None, clock: Clock) -> str:
    moment = clock(at)
    return "" if moment is None else moment.clock


def _say(code: str, reader: Reader, **values: object) -> str:
    return say(Message(code, dict(values)), reader)  # type: ignore[arg-type]
