"""An answer on one screen, as wide as the terminal: what is next, then the rest in short."""

import shutil
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from itertools import groupby

from models.message import Message
from models.planning import fumes
from models.results import PourAnswer, Projection, StepWindow
from models.simulation.scenario import Scenario
from service.cli import printed
from service.cli.terminal import WIDTH, plain, wrapped
from service.notify.words import verb
from service.words import Reader, say, sentence

NARROWEST, WIDEST = 60, 120
NEXT = 3  # steps that are told of
WAYS = 4
NAME = 18  # columns of a step's name
ASSUMED = 12  # keys that are named


def width() -> int:
    """Of the terminal; of what is no terminal, 100 columns."""
    return min(WIDEST, max(NARROWEST, shutil.get_terminal_size((WIDTH, 24)).columns))


def timeline(
    projection: Projection,
    scenario: Scenario,
    weather: str,
    now: datetime,
    reader: Reader,
    columns: int = WIDTH,
) -> str:
    """The next three steps with what to mind, every other step in a line, what was assumed."""
    clock = printed.Clock(now, reader)
    lines = _top(projection.warnings, scenario, weather, clock, columns)
    waiting = [one for one in projection.steps if one.done_at is None]
    timed = sorted((one for one in waiting if _has_hour(one)), key=_when)
    timed.sort(key=lambda one: one.state not in ("open", "closing"))
    lines += ["", plain("screen_next" if timed else "screen_nothing_next")]
    for count, step in enumerate(timed[:NEXT]):
        lines += _told(step, clock, columns, mind=count == 0)
    lines += _table(timed[NEXT:], clock, columns)
    for code, steps in (
        ("screen_missed", [one for one in waiting if one.state == "past"]),
        ("screen_unknown", [one for one in waiting if one.state != "past" and one not in timed]),
        ("screen_did", [one for one in projection.steps if one.done_at is not None]),
    ):
        lines += _named(code, steps, columns)
    if projection.evidence:
        help_most = say(projection.evidence, reader)
        lines += ["", *wrapped(plain("screen_evidence", evidence=help_most), width=columns)]
    return "\n".join([*lines, *_assumed(scenario, columns), *_all("screen_all", columns)])


def pour_check(
    answer: PourAnswer,
    scenario: Scenario,
    weather: str,
    now: datetime,
    reader: Reader,
    warnings: Iterable[Message] = (),
    columns: int = WIDTH,
) -> str:
    """The answer, why, the nearest ways, and what was assumed."""
    clock = printed.Clock(now, reader)
    dangers = [one for one in answer.cautions if one == fumes.FUMES]
    lines = _top((*dangers, *warnings), scenario, weather, clock, columns)
    lines += ["", *printed.verdict(answer, clock, columns)]
    ways = printed.first_options(answer.options)[:WAYS]
    lines += ["", plain("screen_ways")] if ways else []
    for option in ways:
        lines += wrapped(" ".join(printed.way(option, clock)), "  ", "      ", columns)
    cautions = [sentence((one,), reader) for one in answer.cautions if one != fumes.FUMES]
    for caution in cautions[:1]:
        lines += ["", *wrapped(plain("screen_mind", caution=caution), width=columns)]
    tried = wrapped(plain("screen_all_ways", tried=len(answer.options)), width=columns)
    return "\n".join([*lines, *_assumed(scenario, columns), "", *tried])


def _top(
    warnings: Sequence[Message],
    scenario: Scenario,
    weather: str,
    clock: printed.Clock,
    columns: int,
) -> list[str]:
    """What is asked about; before all else what may kill somebody, then what is warned of."""
    lines = printed.heading(scenario, weather, clock, columns)
    for one in sorted(warnings, key=lambda one: one != fumes.FUMES):
        text = say(one, clock.reader)
        if one == fumes.FUMES:
            lines += ["", *wrapped(plain("print_danger", danger=text), width=columns)]
        else:
            lines += ["", *wrapped(text, "! ", "  ", columns)]
    return lines


def _told(step: StepWindow, clock: printed.Clock, columns: int, *, mind: bool) -> list[str]:
    likely, safe, latest = printed.hours(step, clock.reader)
    hours = [
        plain(code, at_shown=clock.shown(at))
        for code, at in (
            ("screen_probably", likely),
            ("screen_safe", safe),
            ("screen_late", latest),
        )
        if at is not None
    ]
    state = "; ".join([step.state, *hours])
    head = plain("screen_head", name=verb(step.step, clock.reader), state_shown=state)
    lines = wrapped(head, "  ", "    ", columns)
    lines += wrapped(sentence(step.because[:1], clock.reader), "    ", width=columns)
    for caution in step.cautions if mind else ():
        text = plain("screen_mind", caution=sentence((caution,), clock.reader))
        lines += wrapped(text, "    ", "      ", columns)
    return lines


def _table(steps: Sequence[StepWindow], clock: printed.Clock, columns: int) -> list[str]:
    """A line a step; on a narrow terminal without the hour it closes."""
    if not steps:
        return []
    count = 3 if columns >= NAME + 3 * printed.TIME else 2
    heads = ("probably from", "safe from", "too late after")[:count]
    lines = ["", f"{plain('screen_then'):<{NAME}}" + _columns(heads), "-" * columns]
    for step in steps:
        shown = [clock.shown(at) for at in printed.hours(step, clock.reader)[:count]]
        lines.append(f"{_short(step.step):<{NAME}}{_columns(shown)}".rstrip())
    return lines


def _columns(cells: Iterable[str]) -> str:
    return "".join(f"{cell:<{printed.TIME}}" for cell in cells)


def _named(code: str, steps: Sequence[StepWindow], columns: int) -> list[str]:
    if not steps:
        return []
    names = ", ".join(_short(one.step) for one in steps)
    return ["", *wrapped(plain(code, names=names), width=columns)]


def _short(step: str) -> str:
    return plain("screen_step", step=step)


def _assumed(scenario: Scenario, columns: int) -> list[str]:
    """The keys that nobody told, each under its table of the file."""
    keys = scenario.resolved().assumed
    if not keys:
        return []
    tables = groupby(keys[:ASSUMED], key=lambda key: key.partition(".")[0])
    names = "; ".join(
        f"{table} " + ", ".join(key.partition(".")[2] for key in rows) for table, rows in tables
    )
    if len(keys) > ASSUMED:
        names += f" +{len(keys) - ASSUMED}"
    return ["", *wrapped(plain("screen_assumed", names=names), width=columns)]


def _all(code: str, columns: int) -> list[str]:
    return ["", *wrapped(plain(code), width=columns)]


def _has_hour(step: StepWindow) -> bool:
    """Whether it stands at an hour that is not over."""
    return step.state != "past" and bool(step.p50 or step.safe)


def _when(step: StepWindow) -> datetime:
    return step.safe or step.p50 or datetime.max.replace(tzinfo=UTC)
