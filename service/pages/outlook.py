"""What a trial of a plan looks like on the page: its steps against those as planned, its frost."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from models.results import Trial, TriedStep
from service import words
from service.actions.windows.try_plan import Tried
from service.answers import PlanEntryResponse, StepWindowResponse
from service.pages import view

SAME = timedelta(minutes=10)  # nobody's day is another by less
HOURLY, SIX_HOURLY = timedelta(hours=1), timedelta(hours=6)


@dataclass(frozen=True)
class StepRow:
    """One step: when it is safe as tried, by how much that moved, and its chance where it is meant
    earlier."""

    step: str
    title: str
    safe: view.Moment | None
    planned: view.Moment | None
    moved: str
    early: str
    after: str  # what comes first and is not done, where it has no hour of its own


@dataclass(frozen=True)
class Outlook:
    """The next steps and the frost, in words; `missing`: why there are none."""

    rows: tuple[StepRow, ...]
    frost: str = ""
    frost_planned: str = ""
    frost_class: str = ""
    lowest: str = ""
    missing: str = ""
    price: str = ""


def outlook(found: Tried, clock: view.Clock) -> Outlook:
    if found.tried is None or found.planned is None:
        why = "" if found.missing is None else words.say(found.missing.message, clock.reader)
        return Outlook((), missing=why or "no weather")
    planned = {one.window.step: one for one in found.planned.steps}
    rows = [_row(one, planned.get(one.window.step), clock) for one in found.tried.steps]
    now, then = found.planned, found.tried
    differs = words.chance(now.frost_chance) != words.chance(then.frost_chance)
    return Outlook(
        tuple(rows),
        words.chance(then.frost_chance, clock.reader),
        words.chance(now.frost_chance, clock.reader) if differs else "",
        _weight(then),
        clock.measure(then.lowest_C, "temperature_C"),
    )


def _weight(one: Trial) -> str:
    """How the chance of frost stands out: one in twenty of a lost piece is the most that is run."""
    return "alarm" if one.frost_chance > 0.05 else "mild" if one.frost_chance > 0.02 else "open"


def _row(one: TriedStep, planned: TriedStep | None, clock: view.Clock) -> StepRow:
    safe = one.window.safe
    before = None if planned is None else planned.window.safe
    shown, shown_before = clock.window(safe, None)[0], clock.window(before, None)[0]
    return StepRow(
        one.window.step,
        view.title(one.window.step, clock.reader),
        shown,
        shown_before,
        moved(_at(shown), _at(shown_before)),
        early(one, clock),
        view.title(one.window.after, clock.reader) if safe is None and one.window.after else "",
    )


def _at(shown: view.Moment | None) -> datetime | None:
    """The instant as it is shown: what moved is the difference of two shown hours."""
    return None if shown is None else datetime.fromisoformat(shown.iso)


def moved(safe: datetime | None, before: datetime | None) -> str:
    """By how much an hour moved; nothing where it did not, or there is nothing to hold it to."""
    if safe is None or before is None or abs(safe - before) < SAME:
        return ""
    size = view.age(abs(safe - before))
    return f"{size} sooner" if safe < before else f"{size} later"


def early(one: TriedStep, clock: view.Clock) -> str:
    """That a step is meant before it is safe, with its chance then; nothing where it is not."""
    if one.chance is None or one.meant_at is None or one.window.level is None:
        return ""
    if one.window.safe is not None and one.meant_at >= one.window.safe:
        return ""
    if one.window.safe is None and one.chance >= one.window.level:
        return ""
    at = clock(one.meant_at)
    assert at is not None
    told = words.chance(one.chance, clock.reader, hoped=True)
    return f"Not safe {at.clock}: {told} that it is ready then."


@dataclass(frozen=True)
class ActRow:
    """One act that is meant: its words, its hour and whose it is, and what speaks against it."""

    words: str
    step: str
    at: view.Moment | None
    control: str
    own: bool
    early: str
    fields: dict[str, str]


def acts(
    plan: Sequence[PlanEntryResponse],
    steps: Sequence[StepWindowResponse],
    found: Tried,
    clock: view.Clock,
) -> list[ActRow]:
    """What is still to be done, by the clock."""
    tried = {} if found.tried is None else {one.window.step: one for one in found.tried.steps}
    windows = {one.step: one for one in steps}
    rows = []
    for one, shown in zip(plan, view.acts(plan, steps, clock), strict=True):
        if one.set_by == "logged":
            continue
        step = tried.get(one.step) if one.cover in (None, "film") else None
        against = early(step, clock) if step else _before_window(one, windows.get(one.step), clock)
        named = {name: getattr(one, name) for name in ("cover", "heat", "place", "faces")}
        fields = {name: str(value) for name, value in named.items() if value is not None}
        fields |= {"step": one.step, "was": one.at.isoformat()}
        rows.append(
            ActRow(
                shown.words, one.step, shown.at, clock.control(one.at), shown.own, against, fields
            )
        )
    return rows


def _before_window(
    one: PlanEntryResponse, window: StepWindowResponse | None, clock: view.Clock
) -> str:
    """The same of a step whose chance at an hour no trial tells: coats, use."""
    if window is None or one.cover not in (None, "film") or one.set_by != "maker":
        return ""
    safe = window.earliest.safe
    if safe is not None and one.at >= safe:
        return ""
    told, _ = clock.window(safe, None)
    return "Not safe at that hour" + (f": safe from {told.clock}." if told else ".")


def hours(
    begin: datetime, hourly: int, days: int, clock: view.Clock, first: str = "", empty: str = ""
) -> list[tuple[str, str]]:
    """Hours to choose from: what the empty choice is, each whole hour for some, then four a day.

    first : the words of the empty choice at the beginning; empty : at the end
    """
    at = begin.replace(minute=0, second=0, microsecond=0) + HOURLY
    out = [("", first)] if first else []
    for k in range(hourly):
        out.append(_hour(at + k * HOURLY, clock))
    at += hourly * HOURLY
    while at.astimezone(clock.zone).hour % 6:
        out.append(_hour(at, clock))
        at += HOURLY
    for k in range(4 * days):
        out.append(_hour(at + k * SIX_HOURLY, clock))
    return out + ([("", empty)] if empty else [])


def _hour(at: datetime, clock: view.Clock) -> tuple[str, str]:
    told = clock(at)
    assert told is not None
    return at.isoformat(timespec="minutes"), told.clock
