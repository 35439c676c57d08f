"""Hours x ways to pour: may I pour now, under which cover, or when."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np

from models.air.series import HOUR, AirSeries
from models.concrete import prior as priors
from models.errors import Unknown
from models.facts.fumes import SOURCES as FUMES_SOURCES
from models.instants import aware
from models.message import Message
from models.planning import fumes, pour_reasons, watch
from models.planning import starts as all_starts
from models.planning.protection import ProtectionOption, options
from models.planning.starts import MEMBERS, Starts
from models.planning.watch import Seen
from models.planning.what_if import sure_hours
from models.results import PourAnswer, PourOption, Risk
from models.rng import stream
from models.simulation.scenario import Scenario
from models.steps.opening import GLOVES

DAYS = 7
DATES_H = 14 * 24  # how far strip and turn are looked for
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


@dataclass(frozen=True)
class _Row:
    """One way over all starts."""

    way: ProtectionOption
    starts: Starts
    seen: Seen


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
    scenario = scenario.believed()
    if isinstance(air, Unknown):
        return _wait_for_weather(scenario, air.message)
    asked = max(now, scenario.placement.at)
    series, _ = air.bridged()
    rows = all_starts.rows_of(series, now, asked, days)
    if not len(rows):
        return _wait_for_weather(scenario, all_starts.nothing(air, asked))
    first_row = all_starts.row_at(series, rows, only or asked)
    first = series.start + first_row * HOUR
    portions = [rows]
    if only or brief:
        portions = [np.array([first_row])]
    if brief:
        portions += [np.union1d(rows[:SOON], [first_row]), rows]
    for looked in portions:
        starts = all_starts.gathered(scenario, series, rows, asked, looked)
        table = _watched(scenario, starts, series)
        options = _options(starts, [_column(scenario, row) for row in table])
        passing = [o for o in options if o.passes]
        if any(o.start == first for o in passing) or _later(starts, passing, now, in_hours=True):
            break
    soonest = [_with_dates(scenario, air, now, o, table) for o in options if o.start == first]
    options = [*soonest, *(o for o in options if o.start != first)]
    drying = pour_reasons.drying(scenario, series, now, soonest)
    told = _answer(scenario, starts, now, options, soonest, drying)
    return _only_planned(told, air) if air.typical else told


def _only_planned(told: PourAnswer, air: AirSeries) -> PourAnswer:
    """No pour is cleared on a typical year; what would pass in it is told."""
    because = (Message("typical_clears_no_pour", {"source": air.source, "because": told.because}),)
    return replace(told, answer=WAIT, wait_until=None, because=because)


def _watched(scenario: Scenario, starts: Starts, series: AirSeries) -> list[_Row]:
    """Every way over all starts; ways are shared among threads."""
    prior = priors.draw(scenario.mixture, MEMBERS, stream("mix"))
    outside = (starts, watch.as_it_comes_C(scenario, starts))
    inside = outside
    if scenario.rules.indoors is not None:
        room = all_starts.indoors(scenario, starts, series)
        inside = (room, watch.as_it_comes_C(scenario, room))

    def look(way: ProtectionOption) -> _Row:
        here, base_C = inside if way.indoors else outside
        return _Row(way, here, watch.watch(scenario, way, here, prior, base_C))

    with ThreadPoolExecutor(THREADS) as pool:
        return list(pool.map(look, options(scenario)))


def _options(starts: Starts, columns: list[dict[datetime, PourOption]]) -> list[PourOption]:
    """Start by start, the cheapest way first."""
    return [column[at] for at in starts.at for column in columns if at in column]


def _column(scenario: Scenario, row: _Row) -> dict[datetime, PourOption]:
    """One way, start by start."""
    seen = row.seen
    allowed = 1 - scenario.rules.confidence
    passes, excess = seen.passes(allowed), seen.excess(allowed).round(3).tolist()
    floats = pour_reasons.floats(scenario, row.starts, seen.float_row)
    stiffens = pour_reasons.stiffens(scenario, seen.placed_C)
    risks = [
        (name, d.chance.round(3).tolist(), d.value.round(2).tolist(), d.limit.tolist(), d.unit)
        for name, d in seen.risks.items()
    ]
    out = {}
    for k in np.flatnonzero(seen.offered).tolist():
        told = [
            Risk(name, p[k], v[k], limit[k], unit)
            for name, p, v, limit, unit in risks
            if not np.isnan(p[k])
        ]
        frost = next(
            ((risk.probability, risk.value) for risk in told if risk.risk == watch.FROST),
            (None, None),
        )
        water = seen.water_C[k]
        warm = () if np.isnan(water) else (Message("mixing_water", {"water_C": float(water)}),)
        out[row.starts.at[k]] = PourOption(
            row.starts.at[k],
            row.way.message,
            bool(passes[k]),
            pour_reasons.by_harm(told, allowed),
            None,
            None,
            row.way.effort,
            (*warm, *stiffens[k], *floats[k]),
            row.way.indoors,
            excess[k],
            *frost,
        )
    return out


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
        *pour_reasons.haste(scenario, starts),
        *drying,
        *pour_reasons.assumed(scenario),
        *pour_reasons.frozen_base(scenario, first),
        *pour_reasons.cold(scenario, starts, first),
    ]
    best = next((o for o in first if o.passes), None)
    later = at_once = None
    if best is not None:
        told, because = pour_reasons.answer(best), pour_reasons.go(scenario, best, first)
    else:
        passing = [o for o in options if o.passes]
        later = _later(starts, passing, now)
        at_once = next((o for o in passing if o.start <= now), None)
        told, because = WAIT, pour_reasons.wait(scenario, first, later, at_once)
    cautions += (best or later or first[0]).cautions
    when = later.start.astimezone(ZoneInfo(scenario.site.timezone)) if later else None
    sources = _sources(scenario)
    return PourAnswer(told, when, because, tuple(options), tuple(cautions), sources)


def _always(scenario: Scenario) -> tuple[Message, ...]:
    """What is said whatever the weather: what may kill first, then gloves."""
    return (*fumes.cautions(scenario), GLOVES)


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


def _with_dates(
    scenario: Scenario, air: AirSeries, now: datetime, option: PourOption, table: list[_Row]
) -> PourOption:
    """An option with the sure hours of strip and turn; none for a mix that is too cold to place."""
    if option.frost_chance is None:
        return option
    row = next(row for row in table if row.way.message == option.protection)
    placed_C = float(row.seen.placed_C[row.starts.at.index(option.start)])
    warm = row.way.warm_water or scenario.placement.concrete_C is not None
    room = scenario.rules.indoors if row.way.indoors else None
    planned = replace(
        scenario,
        guards=row.way.guards,
        done=(),
        site=room or scenario.site,
        placement=replace(
            scenario.placement,
            at=option.start,
            concrete_C=placed_C if warm else None,
            board_C=None if row.way.indoors else scenario.placement.board_C,
        ),
    )
    sure = sure_hours(planned, air, now, DATES_H)
    return replace(
        option,
        strip_p90=planned.clock(sure.get("strip", np.inf)),
        turn_p90=planned.clock(sure.get("turn", np.inf)),
    )


def _sources(scenario: Scenario) -> tuple[str, ...]:
    keys = (*SOURCE_KEYS, *(FUMES_SOURCES if fumes.cautions(scenario) else ()))
    return tuple(dict.fromkeys(keys))


def _wait_for_weather(scenario: Scenario, why: Message) -> PourAnswer:
    because = (Message("no_weather", {"why": why}),)
    return PourAnswer(WAIT, None, because, (), _always(scenario), _sources(scenario))
