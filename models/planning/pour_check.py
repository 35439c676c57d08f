"""Hours x ways to pour: may I pour now, under which cover, or when."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np

from models.air.series import HOUR, AirSeries
from models.concrete import prior as priors
from models.errors import Unknown
from models.facts.fumes import SOURCES as FUMES_SOURCES
from models.instants import aware
from models.message import Message, Value
from models.planning import asked_start, blemishes, fumes, pour_reasons, watch
from models.planning import starts as all_starts
from models.planning.asked_start import AskedStart
from models.planning.protection import ProtectionOption
from models.planning.protection import options as protections
from models.planning.starts import MEMBERS, Starts
from models.planning.watch import OptionRisks
from models.results import PourAnswer, PourOption, Risk
from models.simulation.scenario import Scenario
from models.steps.opening import GLOVES

DAYS = 7
SOON = 24  # starts that a brief look tries before the whole week
THREADS = 2
SOURCE_KEYS = (
    "ACI_306R",
    "ACI_306_1",
    "ACI_305R",
    "EN_13670",
    "UNO_1998",
    "ZHENG_2025",
    "COMMON_PRACTICE",
)
WAIT = Message("wait")


def check(
    scenario: Scenario,
    air: AirSeries | Unknown,
    now: datetime,
    *,
    days: int = DAYS,
    only: datetime | None = None,
    brief: bool = False,
) -> PourAnswer:
    """Pour, pour in the cheapest way that passes, or wait for the first hour that passes.

    scenario : the pour as planned; its `at` is the start asked about (or `now`, if later)
    air : hourly weather or what is missing; now : aware instant; days : how far ahead, 1 to 7
    only : look at this one start alone, with the same members as in the whole week
    brief : look no further than the first start that passes

    Raises InputError for what cannot be at `now`. Without weather the answer is wait.
    """
    now = aware("now", now)
    scenario.checked_against(now)
    scenario = scenario.without_wrong_readings()
    if isinstance(air, Unknown):
        return _wait_for_weather(scenario, air.message)
    requested = max(now, scenario.placement.at)
    series, _ = air.bridged()
    rows = all_starts.rows_of(series, now, requested, days)
    if not len(rows):
        return _wait_for_weather(scenario, all_starts.hours_missing(air, requested))
    first_row = all_starts.row_at(series, rows, only or requested)
    first = series.start + first_row * HOUR
    portions = [rows]
    if only or brief:
        portions = [np.array([first_row])]
    if brief:
        portions += [np.union1d(rows[:SOON], [first_row]), rows]
    asked: list[AskedStart | None] = []
    for chosen in portions:
        starts = all_starts.at_place(scenario, series, rows, requested, chosen)
        table = watched(scenario, starts, series, now)
        asked = asked or _asked(scenario, air, now, first, table)
        table = [
            row if one is None else one.put_into(row, first)
            for row, one in zip(table, asked, strict=True)
        ]
        found = [option for row in table for option in _of_starts(scenario, row)]
        options = sorted(found, key=lambda o: o.start)  # stable: the cheapest first
        passing = [o for o in options if o.passes]
        if any(o.start == first for o in passing) or _later(starts, passing, now, in_hours=True):
            break
    hours = {row.option.message: one for row, one in zip(table, asked, strict=True)}
    soonest = [_with_dates(o, hours[o.protection]) for o in options if o.start == first]
    options = [*soonest, *(o for o in options if o.start != first)]
    drying = pour_reasons.face_dries(scenario, series, now, soonest)
    result = _answer(scenario, starts, now, options, soonest, drying)
    if not air.typical:
        return result
    values: dict[str, Value] = {"source": air.source, "because": result.because}
    because = (Message("typical_clears_no_pour", values),)  # it says what would pass, no more
    return replace(result, answer=WAIT, wait_until=None, because=because)


def watched(
    scenario: Scenario, starts: Starts, series: AirSeries, now: datetime
) -> list[OptionRisks]:
    """Every option over all starts, the cheapest first; they are divided among threads."""
    prior = priors.draw(scenario.mixture, MEMBERS)
    room = starts
    if scenario.rules.indoors is not None:
        room = all_starts.indoors(scenario, starts, series)

    def sweep(option: ProtectionOption) -> OptionRisks:
        return watch.watch(scenario, option, room if option.indoors else starts, prior, now)

    with ThreadPoolExecutor(THREADS) as pool:
        return list(pool.map(sweep, protections(scenario)))


def _of_starts(scenario: Scenario, found: OptionRisks) -> Iterator[PourOption]:
    """One option, start by start."""
    confidence = scenario.rules.confidence
    passes, excess = found.passes(confidence), found.excess(confidence).round(3).tolist()
    floats = pour_reasons.float_cautions(scenario, found.starts, found.float_row)
    stiffens = pour_reasons.stiffening_cautions(scenario, found.placed_C)
    columns = [
        (name, r.chance.round(3).tolist(), r.value.round(2).tolist(), r.limit.tolist(), r.unit)
        for name, r in found.risks.items()
    ]
    for k in np.flatnonzero(found.offered).tolist():
        risks = {
            name: Risk(name, chance[k], value[k], limit[k], unit, watch.allowed(name, confidence))
            for name, chance, value, limit, unit in columns
            if not np.isnan(chance[k])
        }
        frost = risks.get(watch.FROST)
        water_C = float(found.water_C[k])
        warm = [] if np.isnan(water_C) else [Message("mixing_water", {"water_C": water_C})]
        heat_from = None
        if not np.isnan(found.before_h[k]):
            heat_from = found.starts.at[k] - float(found.before_h[k]) * HOUR
            base_C = float(found.base_C[k].round(1))
            heat = fumes.heat_of(found.option.coverings[0])
            warm.append(Message("heat_from", {"heat": heat, "at": heat_from, "base_C": base_C}))
        yield PourOption(
            found.starts.at[k],
            found.option.message,
            bool(passes[k]),
            pour_reasons.by_harm(risks.values()),
            None,
            None,
            found.option.effort,
            (*warm, *stiffens[k], *floats[k]),
            found.option.indoors,
            excess[k],
            frost.probability if frost else None,
            frost.value if frost else None,
            heat_from,
        )


def _answer(
    scenario: Scenario,
    starts: Starts,
    now: datetime,
    options: list[PourOption],
    first: list[PourOption],
    drying: list[Message],
) -> PourAnswer:
    cautions = [
        *_always(scenario),
        *starts.notes,
        *pour_reasons.rapid_mix(scenario, starts),
        *drying,
        *pour_reasons.assumed(scenario),
        *pour_reasons.frozen_base(first),
        *pour_reasons.cold_weather(scenario, starts, first),
    ]
    best = next((o for o in first if o.passes), None)
    later = at_once = None
    if best is not None:
        verdict, because = pour_reasons.answer(best), pour_reasons.why_pour(best, first)
    else:
        passing = [o for o in options if o.passes]
        later = _later(starts, passing, now)
        at_once = next((o for o in passing if o.start <= now), None)
        verdict, because = WAIT, pour_reasons.why_wait(first, later, at_once)
    cautions += (best or later or first[0]).cautions
    when = later.start.astimezone(ZoneInfo(scenario.site.timezone)) if later else None
    sources = _sources(scenario)
    return PourAnswer(verdict, when, because, tuple(options), tuple(cautions), sources)


def _always(scenario: Scenario) -> tuple[Message, ...]:
    """What is said whatever the weather: what may kill first, then gloves."""
    return (*fumes.cautions(scenario), GLOVES, *blemishes.before(scenario))


def _later(
    starts: Starts, passing: list[PourOption], now: datetime, *, in_hours: bool = False
) -> PourOption | None:
    """Of the starts still to come the first that passes within the shop's hours; else, unless only
    they count, the first.
    """
    row = {at: int(row) for at, row in zip(starts.at, starts.rows, strict=True)}
    off = {at: bool(starts.off_hours[row[at]]) for at in row}
    wanted = [o for o in passing if o.start > now and not (in_hours and off[o.start])]
    return min(wanted, key=lambda o: (off[o.start], o.start, o.effort), default=None)


def _asked(
    scenario: Scenario, air: AirSeries, now: datetime, start: datetime, table: list[OptionRisks]
) -> list[AskedStart | None]:
    """Each way at the start asked about; None for one that is not watched there."""

    def told(row: OptionRisks) -> AskedStart | None:
        return asked_start.told(scenario, air, now, start, row)

    with ThreadPoolExecutor(THREADS) as pool:
        return list(pool.map(told, table))


def _with_dates(option: PourOption, asked: AskedStart | None) -> PourOption:
    """An option with the sure hours of strip and turn; none for a mix that is too cold to place."""
    if asked is None:
        return option
    young = () if asked.young is None else (asked.young,)
    cautions = (*option.cautions, *young)
    return replace(option, strip_p90=asked.strip, turn_p90=asked.turn, cautions=cautions)


def _sources(scenario: Scenario) -> tuple[str, ...]:
    keys = (*SOURCE_KEYS, *(FUMES_SOURCES if fumes.cautions(scenario) else ()))
    return tuple(dict.fromkeys(keys))


def _wait_for_weather(scenario: Scenario, why: Message) -> PourAnswer:
    because = (Message("no_weather", {"why": why}),)
    return PourAnswer(WAIT, None, because, (), _always(scenario), _sources(scenario))
