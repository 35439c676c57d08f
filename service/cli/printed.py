"""Answers as text for a terminal of 100 columns; times in the clock of the place, and from now."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import groupby

from models.errors import Unknown
from models.message import Message, Value
from models.planning import fumes, pour_reasons
from models.results import PlannedCoat, PourAnswer, PourOption, Projection, StepWindow
from models.simulation.scenario import Scenario
from models.steps import registry
from models.units import one_of
from service.cli.terminal import WIDTH, listed, plain, wrapped
from service.words import US, Reader, chance, instant, say, say_all, sentence, source
from service.words.instants import on_day, window
from service.words.reader import PRESETS

STEP, STATE, TIME, OPTION = 14, 8, 27, 36


def reader_of(scenario: Scenario, units: str, now: datetime | None) -> Reader:
    """Who reads what is printed; JSON, which has no `now`, tells every hour to the minute."""
    one_of("--units", units, tuple(PRESETS))
    placed_at = None if now is None else scenario.placement.at
    reader = Reader(scenario.site.timezone, now=now, placed_at=placed_at)
    if units == "us":
        reader = replace(reader, units=US, language="en-US", hours=12, order="mdy")
    return reader


def timeline(
    projection: Projection, scenario: Scenario, weather: str, now: datetime, reader: Reader
) -> str:
    """What `castclock timeline` prints."""
    clock = Clock(now, reader)
    safe = f"safe from ({chance(scenario.rules.confidence)})"
    warned = [say(one, clock.reader) for one in projection.warnings]
    head = f"{'step':<{STEP}} {'state':<{STATE}} {'probably from':<{TIME}}{safe:<{TIME}}latest"
    first = [
        line
        for one, text in zip(projection.warnings, warned, strict=True)
        if one == fumes.FUMES
        for line in _danger(text)
    ]
    lines = [*heading(scenario, weather, clock), *first, "", head, "-" * WIDTH]
    for steps in _alike(projection.steps):
        lines += _step(steps, scenario.rules.confidence, clock)
    lines += _plan(projection, clock)
    lines += _coats(projection, clock)
    lines += _ways(projection, clock)
    lines += listed(plain("print_warnings"), warned)
    lines += listed(
        plain("print_evidence"),
        [say(projection.evidence, clock.reader)] if projection.evidence else [],
    )
    lines += listed(
        plain("print_cautions"),
        dict.fromkeys(
            sentence((c,), clock.reader) for step in projection.steps for c in step.cautions
        ),
    )
    return "\n".join(lines)


def pour_check(
    answer: PourAnswer,
    scenario: Scenario,
    weather: str,
    now: datetime,
    reader: Reader,
    warnings: Iterable[str] = (),
) -> str:
    """What `castclock pour-check` prints: the answer first, then what it was chosen from."""
    clock = Clock(now, reader)
    cautions = [sentence((one,), clock.reader) for one in answer.cautions]
    lines = [*heading(scenario, weather, clock)]
    if fumes.FUMES in answer.cautions:
        lines += _danger(sentence((fumes.FUMES,), clock.reader))
    lines += [*listed(plain("print_warnings"), warnings), ""]
    lines += verdict(answer, clock)
    if answer.options:
        head = f"{'start':<{TIME}}{'protection':<{OPTION}}passes, or why not"
        lines += ["", head, "-" * WIDTH]
    shown = first_options(answer.options)
    lines += [line for option in shown for line in _option(option, clock)]
    lines += _week(answer.options, clock)
    if len(shown) < len(answer.options):
        lines += ["", clock.said("print_tried", tried=len(answer.options))]
    return "\n".join(lines + listed(plain("print_cautions"), cautions))


def _ways(projection: Projection, clock: "Clock") -> list[str]:
    """How it may be turned, which first, and which way is none."""
    rows = [
        clock.said(
            "print_way",
            turned=one.way,
            need_MPa=one.need_MPa,
            told=Message("print_way_from", {"at_shown": clock.shown(one.safe), "hands": one.hands})
            if one.not_this_way is None
            else one.not_this_way,
        )
        for one in projection.ways
        if one.can
    ]
    return listed(plain("print_ways"), rows)


def _danger(text: str) -> list[str]:
    """What may kill somebody, before the answer itself."""
    return ["", *wrapped(plain("print_danger", danger=text))]


def named(weather: object, reader: Reader) -> str:
    """Where the weather comes from, in a word or two."""
    if isinstance(weather, Unknown):
        return "none"
    return source(str(getattr(weather, "source", weather)), reader)


class Clock:
    """Instants as the wall clock of a place shows them, and how far they are from now."""

    def __init__(self, now: datetime, reader: Reader) -> None:
        self.now, self.reader = now, reader

    def shown(self, at: datetime | None) -> str:
        """Thu 15 Oct 08:30 +14 h; a dash for what does not come."""
        return "-" if at is None else f"{instant(at, '', self.reader)} {_apart(at - self.now)}"

    def said(self, code: str, **values: Value) -> str:
        """The sentence of a code."""
        return say(Message(code, values), self.reader)


def heading(scenario: Scenario, weather: str, clock: Clock, columns: int = WIDTH) -> list[str]:
    """What is asked about, and when."""
    poured = scenario.placement.at
    code = "print_to_pour" if poured > clock.now else "print_poured"
    shape, site = scenario.shape.described, scenario.site
    asked = on_day(instant(clock.now, "dated", clock.reader), clock.now, clock.reader)
    rows = (
        clock.said("print_mix", name=scenario.name, shape=shape, kind=scenario.mixture.kind),
        clock.said(code, at_shown=clock.shown(poured), site=site.kind, timezone=site.timezone),
        clock.said("print_asked", at_shown=asked, weather=weather),
    )
    return [line for row in rows for line in wrapped(row, width=columns)]


def verdict(answer: PourAnswer, clock: Clock, columns: int = WIDTH) -> list[str]:
    """Pour, cover or wait, until when, and why."""
    until = clock.shown(answer.wait_until)
    code = "print_answer_until" if answer.wait_until else "print_answer"
    return [
        say(Message(code, {"answer": answer.answer, "until_shown": until}), clock.reader),
        *wrapped(sentence(answer.because, clock.reader), "  ", width=columns),
    ]


def _alike(steps: Iterable[StepWindow]) -> list[list[StepWindow]]:
    """Runs of steps without a time that say the same, as coats that wait for the first."""

    def alike(step: StepWindow) -> tuple[object, ...]:
        timeless = not (step.p50 or step.safe or step.latest or step.done_at)
        coat = registry.coat_number(step.step)
        return (step.state, step.because) if coat and timeless else (step.step,)

    return [list(run) for _, run in groupby(steps, key=alike)]


def hours(
    step: StepWindow, reader: Reader
) -> tuple[datetime | None, datetime | None, datetime | None]:
    """When a step is probably open, safe, too late: as finely as they are told everywhere.

    The end is rounded with the last of the other hours: else a step could be told to be too late
    before it is told to be safe.
    """
    likely, end = window(step.p50, step.latest, reader)
    safe, latest = window(step.safe, step.latest, reader)
    return likely, safe, end if step.safe is None else latest


def _step(steps: list[StepWindow], confidence: float, clock: Clock) -> list[str]:
    step = steps[0]
    name = step.step if len(steps) == 1 else f"{step.step} to {steps[-1].step}"
    if step.done_at is not None:
        times = clock.said("print_done", at_shown=clock.shown(step.done_at))
    else:
        likely, safe, latest = hours(step, clock.reader)
        times = f"{clock.shown(likely):<{TIME}}{clock.shown(safe):<{TIME}}{clock.shown(latest)}"
    lines = [f"{name:<{STEP}} {step.state:<{STATE}} {times}".rstrip()]
    if step.safe is not None and step.done_at is None and (step.level or 0.0) > confidence:
        lines += wrapped(clock.said("print_level", level=step.level), "    ")
    lines += wrapped(sentence(step.because, clock.reader), "    ")
    if step.earlier_if and step.state not in ("done", "past"):
        changes = Message("print_earlier", {"changes": step.earlier_if})
        lines += wrapped(say(changes, clock.reader), "    ")
    if step.missed and step.state == "past":
        missed = Message("print_missed", {"missed": step.missed})
        lines += wrapped(say(missed, clock.reader), "    ")
    return lines


def _plan(projection: Projection, clock: Clock) -> list[str]:
    """Every act with its hour, by the clock; as --json prints it, it can be put into a file."""
    rows = []
    for act in projection.plan:
        what = ", ".join(filter(None, (act.cover or act.place, act.faces))) or None
        code = "print_act" if what is None else "print_act_cover"
        heated = "print_act_at" if what is None else "print_act_heated"
        rows.append(
            clock.said(
                code if act.heat is None else heated,
                at_shown=clock.shown(act.at),
                step_key=act.step,
                kind_key=what,
                heat_C=act.heat,
                set_by=act.set_by,
            )
        )
    return listed(clock.said("print_plan"), rows)


def _coats(projection: Projection, clock: Clock) -> list[str]:
    """The coats as one plan: what is said about it, litres of each, and of all."""
    plan = projection.coat_plan
    if plan is None:
        return []
    total = clock.said(
        "print_sealer", sealer_l=plan.litres_l, area_m2=plan.area_m2, net_l=plan.net_l
    )
    rows = [_coat(one, clock) for one in plan.coats]
    coats = listed(
        clock.said("print_coats", sealer=plan.sealer),
        [*(say(one, clock.reader) for one in plan.says), *rows, total],
    )
    if not plan.ways:
        return coats
    ways = [
        clock.said(
            "print_coat_way",
            way=one.way,
            likely_shown=clock.shown(one.p50),
            safe_shown=clock.shown(one.safe),
            why=sentence((*one.because, *one.asks), clock.reader),
        )
        for one in plan.ways
    ]
    return [*coats, *listed(clock.said("print_coat_ways", step_key=plan.ways[0].step), ways)]


def _coat(coat: PlannedCoat, clock: Clock) -> str:
    litres = Message(
        "print_litres_thinned" if coat.water_l else "print_litres",
        {"step_key": coat.step, "sealer_l": coat.sealer_l, "water_l": coat.water_l},
    )
    if coat.done_at:
        return clock.said("print_coat_done", litres=litres)
    if not coat.at:
        return say(litres, clock.reader)
    until = clock.shown(coat.hold_until)
    return clock.said(
        "print_coat_begun", litres=litres, at_shown=clock.shown(coat.at), until_shown=until
    )


def _option(option: PourOption, clock: Clock) -> list[str]:
    start, protection, verdict = way(option, clock)
    row = f"{start:<{TIME}}{protection:<{OPTION}}"
    return wrapped(verdict, row, " " * len(row))


def way(option: PourOption, clock: Clock) -> tuple[str, str, str]:
    """One way to pour: its hour, its cover, and whether it is good, or why not."""
    if option.passes:
        messages = [Message("passes"), pour_reasons.largest(option)]
    else:
        messages = [pour_reasons.chance(risk) for risk in option.risks if risk.forbids]
    verdict = "; ".join(say_all(messages, clock.reader))
    if option.lowest_C is not None:
        values = {"lowest_C": option.lowest_C, "frost_chance": option.frost_chance}
        verdict += "; " + clock.said("print_coldest", **values)
    for step, at in (("strip", option.strip_p90), ("turn", option.turn_p90)):
        if at is not None:
            verdict += "; " + clock.said("print_ready", step_key=step, at_shown=clock.shown(at))
    cover = say(option.protection, clock.reader)
    return clock.shown(option.start), cover, verdict or clock.said("print_fails")


def _week(options: tuple[PourOption, ...], clock: Clock) -> list[str]:
    """A paragraph a day: from which hour on the cheapest way that passes, or what forbids all.

    It is the week of the place asked about; the shop's own room is told once, beside it.
    """
    days: dict[str, list[tuple[str, str]]] = {}
    in_order = sorted((o for o in options if not o.indoors), key=lambda option: option.start)
    for start, ways in groupby(in_order, key=lambda option: option.start):
        day, hour = instant(start, "day", clock.reader), instant(start, "hour", clock.reader)
        days.setdefault(day, []).append((hour, _hour(list(ways), clock)))
    lines = ["", clock.said("print_week"), "-" * WIDTH] if days else []
    for day, hours in days.items():
        runs = [(words, list(run)) for words, run in groupby(hours, key=lambda hour: hour[1])]
        text = ", ".join(
            run[0][0] + (f"-{run[-1][0]}" if len(run) > 1 else "") + f" {words}"
            for words, run in runs
        )
        lines += wrapped(text, f"{day}  ", " " * (len(day) + 2))
    within = {o.start: False for o in options if o.indoors}
    within |= {o.start: True for o in options if o.indoors and o.passes}
    if within:
        passing = sum(within.values())
        lines += ["", clock.said("print_indoors", passing=passing, starts=len(within))]
    return lines


def _hour(ways: list[PourOption], clock: Clock) -> str:
    passing = next((option.protection for option in ways if option.passes), None)
    if passing is not None:
        return say(passing, clock.reader)
    worst = pour_reasons.nearest(ways).risks[0]
    return clock.said("print_no", risk=worst.risk)


def first_options(options: tuple[PourOption, ...]) -> list[PourOption]:
    """Under each cover: the first start, and the first that passes."""
    chosen: list[PourOption] = []
    for cover in dict.fromkeys(option.protection for option in options):
        under = [option for option in options if option.protection == cover]
        chosen.append(under[0])
        passing = next((option for option in under if option.passes), None)
        if passing is not None and passing is not under[0]:
            chosen.append(passing)
    return chosen


def _apart(span: timedelta) -> str:
    minutes = round(abs(span).total_seconds() / 60)
    sign = "-" if span < timedelta(0) else "+"
    if minutes < 90:
        return f"{sign}{minutes} min"
    if minutes < 48 * 60:
        return f"{sign}{minutes / 60:.0f} h"
    return f"{sign}{minutes / 1440:.0f} d"
