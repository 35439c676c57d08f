"""Words and numbers ready to print: instants with their distance, states with their sign, steps."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from typing import Protocol
from zoneinfo import ZoneInfo

from models.facts.protection import COVERS
from models.steps.hazards import PREFIX
from service import words
from service.actions.windows.standing import by_hand, is_fresh, opens, standing
from service.answers import AnswerResponse, PlanEntryResponse, StepWindowResponse, told
from service.notify.words import verb
from service.words import Reader, instants
from service.words.instants import on_day

GLYPHS = {
    "not yet": "○",
    "open": "●",
    "closing": "◐",
    "past": "✕",
    "done": "✓",
    "blocked": "■",
    "frozen": "✻",
}
URGENT = {  # warnings that are told on the first page, by their code, and their order
    "fumes": 0,
    "batch_after_clock": 0,
    "cold_joint": 1,
    "backing_late": 2,
    "alert_frost_no_cover": 1,
    "alert_frost_cover_leaves": 1,
    "alert_frost_cover": 1,
    "frost_froze": 1,
    "frost_may_come": 1,
    "frost_may_have_come": 1,
    "if_it_froze": 1,
    "frost_later": 3,
    "alert_rain": 2,
    "alert_wind": 3,
    "hot_harms": 4,
    "hot_early_cure": 4,
    "evaporation_high": 5,
}


@dataclass(frozen=True)
class Moment:
    """An instant as the wall clock shows it, and how far it is from now."""

    clock: str
    apart: str
    iso: str
    work: str = ""  # the first hour of work after it, where it falls at night
    past: bool = False


class Clock:
    """Instants and measures, as their reader says them.

    paper : read on another day, so that no day is called today
    """

    def __init__(self, now: datetime, reader: Reader, *, paper: bool = False) -> None:
        self.now, self.reader, self.zone = now, reader, ZoneInfo(reader.timezone)
        self._near = {} if paper else {-1: "yesterday", 0: "today", 1: "tomorrow"}
        self._today = now.astimezone(self.zone).date()

    def of_pour(self, placed_at: datetime) -> "Clock":
        """The same for hours of one pour, which are told as fine as its age deserves."""
        return Clock(self.now, replace(self.reader, placed_at=placed_at))

    def __call__(self, at: datetime | str | None) -> Moment | None:
        return None if at is None else self.at(at)

    def at(self, at: datetime | str) -> Moment:
        """An instant that is there."""
        instant = datetime.fromisoformat(at) if isinstance(at, str) else at
        local = instant.astimezone(self.zone)
        days = (local.date() - self._today).days
        day = self._near.get(days) or words.instant(instant, "day", self.reader)
        if abs(days) > 300:
            day += f" {local:%Y}"
        iso = local.isoformat(timespec="minutes")
        shown = on_day(day, instant, self.reader)
        return Moment(shown, apart(instant - self.now), iso, past=instant <= self.now)

    def window(
        self, opens: datetime | None, closes: datetime | None
    ) -> tuple[Moment | None, Moment | None]:
        """When a window opens and closes, as fine as such hours deserve, on the safe side; with the
        first hour of work where it opens at night."""
        begin, end = instants.window(opens, closes, self.reader)
        moment = self(begin)
        works = begin and instants.first_working(begin, self.reader)
        if moment and works and works > self.now:
            told = self(works)
            moment = replace(moment, work=told.clock if told else "")
        return moment, self(end)

    def measure(self, value: float | None, dimension: str) -> str:
        """A quantity in the reader's units; nothing of None."""
        return words.measure(value, dimension, self.reader)

    def control(self, at: datetime | None) -> str:
        """As a datetime-local control wants it."""
        return "" if at is None else f"{at.astimezone(self.zone):%Y-%m-%dT%H:%M}"

    @property
    def end_of_tomorrow(self) -> datetime:
        return datetime.combine(self._today + timedelta(days=2), time.min, tzinfo=self.zone)


def apart(span: timedelta) -> str:
    """in 6 h, 40 min ago, now."""
    minutes = round(abs(span).total_seconds() / 60)
    if minutes < 1:
        return "now"
    if minutes < 90:
        size = f"{minutes} min"
    elif minutes < 48 * 60:
        size = f"{minutes / 60:.0f} h"
    else:
        size = f"{minutes / 1440:.0f} days"
    return f"{size} ago" if span < timedelta(0) else f"in {size}"


def age(span: timedelta) -> str:
    """40 min, 6 h, 3 days."""
    return apart(max(span, timedelta(minutes=1))).removeprefix("in ")


class Batched(Protocol):
    """What is told of a batch, by its row or in a record."""

    @property
    def bags(self) -> float | None: ...
    @property
    def water_l(self) -> float | None: ...
    @property
    def concrete_C(self) -> float | None: ...
    @property
    def thickness_mm(self) -> float | None: ...
    @property
    def layer(self) -> str | None: ...


def batch_words(batch: Batched, reader: Reader) -> str:
    """`batch of 3 bags, 6 L of water, 18 °C`; a layer is called by its name."""
    water = words.measure(batch.water_l, "volume_l", reader)
    thick = words.measure(batch.thickness_mm, "length_mm", reader)
    parts = (
        f"{batch.bags:g} bags" if batch.bags is not None else "",
        f"{water} of water" if water else "",
        words.measure(batch.concrete_C, "temperature_C", reader),
        f"{thick} thick" if thick else "",
    )
    told = ", ".join(part for part in parts if part)
    if batch.layer is None:
        return f"batch of {told}"
    name = words.word("layer", batch.layer, reader)
    return f"{name}: {told}" if told else name


@dataclass(frozen=True)
class StepView:
    """One step, as it may be told now.

    opens : the one hour that is told everywhere; by_hand : the clock cannot tell it closely
    after : the step that comes first and is not marked done
    """

    step: str
    title: str
    state: str
    likely: Moment | None
    safe: Moment | None
    latest: Moment | None
    done: Moment | None
    because: str
    earlier_if: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]
    missed: str
    level: float | None = None  # chance at its safe hour
    opens: Moment | None = None
    by_hand: bool = False
    after: str = ""
    chance: float | None = None  # now
    hazard: str = ""  # what of it hurts people, said once and apart from the hints

    @property
    def ready(self) -> bool:
        return self.state in ("open", "closing")


def step(window: StepWindowResponse, clock: Clock, checked_at: datetime) -> StepView:
    """One step of a stored reckoning, as it may be told now."""
    window = told(standing(window, clock.now, checked_at), clock.reader)
    hazard, cautions = _apart(window)
    likely, end = clock.window(window.earliest.p50, window.latest)
    safe, latest = clock.window(window.earliest.safe, window.latest)
    return StepView(
        step=window.step,
        title=title(window.step, clock.reader),
        state=window.state,
        likely=likely,
        safe=safe,
        latest=end if safe is None else latest,
        done=clock(window.done_at),
        because=window.because,
        earlier_if=tuple(window.earlier_if),
        cautions=cautions,
        sources=tuple(one.partition(": ")[2] or one for one in window.sources),  # not its key
        missed=window.missed if window.state == "past" else "",
        level=window.level,
        opens=clock.window(opens(window), window.latest)[0],
        by_hand=by_hand(window),
        after=window.after,
        chance=window.confidence,
        hazard=hazard,
    )


def _apart(window: StepWindowResponse) -> tuple[str, tuple[str, ...]]:
    """The hazard of a step, and the hints beside it."""
    codes = [one.code for one in window.caution_codes]
    k = next((k for k, code in enumerate(codes) if code.startswith(PREFIX)), None)
    if k is None or len(codes) != len(window.cautions):
        return "", tuple(window.cautions)
    return window.cautions[k], (*window.cautions[:k], *window.cautions[k + 1 :])


@dataclass(frozen=True)
class ActView:
    """One act of the plan, in words."""

    words: str
    at: Moment | None
    done: bool
    own: bool  # its maker has said when


def acts(
    plan: Sequence[PlanEntryResponse], steps: Sequence[StepWindowResponse], clock: Clock
) -> list[ActView]:
    """What is done and meant, by the clock; what castclock means, never before the hour that it
    tells as safe, which is rounded."""
    safe = {one.step: clock.window(one.earliest.safe, None)[0] for one in steps}
    out = []
    for one in plan:
        reader = clock.reader
        parts = [title(one.step, reader)]
        parts += [words.word("cover", one.cover, reader)] if one.cover else []
        parts += [words.word("faces", one.faces, reader)] if one.faces else []
        parts += [words.word("stays", one.place, reader)] if one.place else []
        parts += [clock.measure(one.heat, "temperature_C")] if one.heat is not None else []
        own = one.set_by == "maker"
        at, told = clock(one.at), safe.get(one.step)
        if one.set_by == "default" and not one.cover and at and told and at.iso < told.iso:
            at = told
        out.append(ActView(", ".join(parts), at, one.set_by == "logged", own))
    return out


def outdated(windows: Sequence[StepWindowResponse], now: datetime, checked_at: datetime) -> bool:
    """Whether a window has opened or closed since the reckoning, or it is over an hour old."""
    if not is_fresh(checked_at, now):
        return True
    for one in windows:
        for at in (one.earliest.p50, one.earliest.safe, one.latest):
            if at is not None and checked_at < at <= now:
                return True
    return False


def laid_words(kind: str, faces: str) -> str:
    """A cover and, of one that insulates, where it lies."""
    thick = COVERS[kind].R_m2K_W > COVERS["film"].R_m2K_W
    return words.word("cover", kind) + (f", {words.word('faces', faces)}" if thick else "")


def title(name: str, reader: Reader = words.PLAIN) -> str:
    """Strip the walls."""
    doing = verb(name, reader)
    return doing[:1].upper() + doing[1:]


def sentence(text: str) -> str:
    """A text as a sentence: a capital, and one full stop, whether it came with one or not."""
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."


def short(window: StepWindowResponse, reader: Reader) -> str:
    """The first reason of a step, which holds its numbers; of before codes, its first clause."""
    if window.reasons:
        return words.sentence((window.reasons[0].message,), reader)
    return window.because.split(";")[0].rstrip(".") + "."


def urgent_warnings(answer: AnswerResponse) -> list[tuple[int, str]]:
    """Warnings for the first page with their order, what may kill somebody first, then frost.

    An answer of before warnings had codes shows them all, until it is made anew.
    """
    if not answer.warning_codes:
        return [(0, text) for text in answer.warnings]
    warnings = zip(answer.warnings, answer.warning_codes, strict=False)
    urgent = [(URGENT[message.code], text) for text, message in warnings if message.code in URGENT]
    return sorted(urgent, key=lambda one: one[0])


def browser(agent: str) -> str:
    """`Firefox on Android`: what a person calls the browser they are signed in with."""
    names = ("Firefox", "Edg", "Chrome", "Safari")
    systems = ("Android", "iPhone", "iPad", "Windows", "Mac OS", "Linux")
    name = next((one for one in names if one in agent), "")
    system = next((one for one in systems if one in agent), "")
    name = {"Edg": "Edge"}.get(name, name)
    return " on ".join(part for part in (name, system) if part)
