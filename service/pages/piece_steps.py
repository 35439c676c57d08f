"""The steps of one piece as its page tells them: what is next, what comes later, what is done."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from models.steps import registry
from service.actions.windows.standing import opens
from service.answers import StepWindowResponse
from service.pages.view import Clock, StepView, step, title
from service.words import Reader

MOST_NEXT = 2  # open cards on the page
URGENT = ("closing", "open", "past", "frozen", "blocked", "not yet")


@dataclass(frozen=True)
class Line:
    """Steps told in one line: what they are, and what they wait for where that is all there is."""

    steps: tuple[StepView, ...]
    name: str
    waits: str = ""

    @property
    def step(self) -> StepView:
        """The first of them, whose hours are told."""
        return self.steps[0]


@dataclass(frozen=True)
class Told:
    """next : at most two, what may be done now first; later : in the order of their hours"""

    next: tuple[StepView, ...]
    later: tuple[Line, ...]
    done: tuple[StepView, ...]
    missed: tuple[StepView, ...]  # overtaken by a later step that is done


def told(windows: Sequence[StepWindowResponse], clock: Clock, checked_at: datetime) -> Told:
    """Each step of a reckoning stands once, in the order of its hour."""
    views = [step(one, clock, checked_at) for one in sorted(windows, key=_when)]
    done = [one for one in views if one.state == "done"]
    last = max((registry.place(one.step) for one in done), default=(-1, 0))
    left = [one for one in views if one.state != "done"]
    missed = [one for one in left if one.state == "past" and registry.place(one.step) < last]
    ahead = [one for one in left if one not in missed]
    chosen = _next(ahead)
    later = [one for one in ahead if one not in chosen]
    return Told(tuple(chosen), tuple(_lines(later, clock.reader)), tuple(done), tuple(missed))


def _when(window: StepWindowResponse) -> tuple[datetime, tuple[int, int]]:
    at = window.done_at or opens(window) or datetime.max.replace(tzinfo=UTC)
    return at, registry.place(window.step)


def _next(ahead: Sequence[StepView]) -> list[StepView]:
    """What may be done now, or was missed; else what comes first."""
    free = [one for one in ahead if not one.after and (one.state != "not yet" or one.opens)]
    ranked = sorted(free, key=lambda one: URGENT.index(one.state))  # each in the order of its hour
    now = [one for one in ranked if one.ready or one.state == "past"]
    return now[:MOST_NEXT] or ranked[:1] or list(ahead[:1])


def _lines(later: Sequence[StepView], reader: Reader) -> list[Line]:
    """Steps with an hour in the order of it, then those that wait, together by what for."""
    timed = [one for one in later if one.opens and not one.after]
    rest = sorted(
        (one for one in later if one not in timed), key=lambda one: registry.place(one.step)
    )
    lines = [Line((one,), _names([one])) for one in timed]
    alike: dict[tuple[str, str], list[StepView]] = {}
    for one in rest:
        alike.setdefault((_root(one, rest), one.state), []).append(one)
    for (after, _), run in alike.items():
        lines.append(
            Line(tuple(run), _names(run), f"{title(after, reader)} first" if after else "")
        )
    return lines


def _root(view: StepView, among: Sequence[StepView]) -> str:
    """What a step waits for in the end: a coat of a chain for what the first of them waits for."""
    by_key = {one.step: one for one in among}
    coat = registry.coat_number(view.step)
    while coat and view.after in by_key and registry.coat_number(view.after):
        view = by_key[view.after]
    return view.after


def _names(run: Sequence[StepView]) -> str:
    """`Coats 2 to 6`; `Light use, full use`."""
    coats = [number for one in run if (number := registry.coat_number(one.step))]
    together = f"Coats {coats[0]} to {coats[-1]}" if len(coats) > 1 else ""
    names = []
    for one in run:
        number = registry.coat_number(one.step)
        if number is None:
            names.append(one.title)
        elif number == coats[0]:
            names.append(together or f"Coat {number}")
    return ", ".join([*names[:1], *(name[:1].lower() + name[1:] for name in names[1:])])
