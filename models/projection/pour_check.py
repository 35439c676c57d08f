"""Hours x protections: may I pour now, under which cover, or when."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from models.air import evaporation, members, place
from models.air.series import HOUR, AirSeries
from models.concrete import belief as beliefs
from models.concrete import frost, heat, setting
from models.concrete.section import Guard
from models.errors import Unknown
from models.facts.cements import CLASSES
from models.facts.protection import (
    COVERS,
    FROST_MPA,
    PLACING_MAX_C,
    WATER_MAX_C,
)
from models.gates.gate import GLOVES
from models.gates.place import COLD_AIR_C, LATE_RAIN_MM, LEAST_DELIVERED_C, as_placed_C
from models.projection import calibrate, physics
from models.projection.answer import PourAnswer, PourOption, Risk
from models.projection.run import sure_hours
from models.projection.scenario import Scenario
from models.sources import SOURCES
from models.units import Array, aware

DAYS = 7
LOOK_H = 72  # how long after its start a pour is watched
MEMBERS = 32
COVER_AFTER_H = 1.0  # a cover owned by the shop goes on, held off the face, when placing is over
OWNED_BY_DEFAULT = (Guard(0.0, None, "film"), Guard(0.0, None, "blanket"))
BARE = "bare"
TO_THE_HOUR = timedelta(seconds=1)
WORKING_SHARE = 0.5  # of the initial set in which a rapid mix can be placed, COMMON_PRACTICE
DATES_H = 14 * 24  # how far strip and turn are looked for
DRY_PER_WATER = 12.0  # kg of dry bag per kg of water, for the advice on warm water
SOURCE_KEYS = ("ACI_306R", "ACI_305R", "EN_13670", "UNO_1998", "ZHENG_2025")


@dataclass(frozen=True)
class _Watched:
    """One protection over all starts: (starts,) probabilities and values."""

    risks: dict[str, tuple[Array, Array, float, str]]  # probability, value, limit, unit


def check(
    scenario: Scenario, air: AirSeries | Unknown, now: datetime, *, days: int = DAYS
) -> PourAnswer:
    """Pour, pour with the cheapest protection that passes, or wait for the first hour that passes.

    scenario : the pour as planned; its `at` is the start asked about (or `now`, if later)
    air : hourly weather or what is missing; now : aware instant; days : how far ahead, 1 to 7

    Raises InputError for what cannot be at `now`. Without weather the answer is wait.
    """
    now = aware("now", now)
    scenario.checked_against(now)
    if isinstance(air, Unknown):
        return _wait_for_weather(str(air))
    asked = max(now, scenario.placement.at)
    series, _ = air.bridged()
    starts = _starts(series, now, asked, days)
    if not len(starts):
        missing = air.missing(asked, asked + LOOK_H * HOUR)
        zone = ZoneInfo(scenario.site.timezone)
        first = (missing[0] if missing else series.end).astimezone(zone)
        return _wait_for_weather(
            f"{len(missing)} of the next {LOOK_H} hours are missing, the first"
            f" {first.strftime('%a %-d %b %H:%M')}; a pour is cleared only with all of them"
        )
    first_row = max(0, int(starts[0]) - physics.SPIN_UP_H)
    known = np.isfinite(series.air_C) & np.isfinite(series.dew_point_C)
    gap = np.flatnonzero(~known[: int(starts[0]) + 1])
    first_row = max(first_row, int(gap[-1]) + 1 if len(gap) else 0)
    span = series.between(
        series.start + first_row * HOUR, series.start + (int(starts[-1]) + LOOK_H + 1) * HOUR
    )
    rows = starts - first_row
    here = place.at_piece(
        scenario.site,
        members.draw(span, MEMBERS, physics.SEED),
        physics.SEED + 1,
        physics.sky_view(scenario),
    )
    here, notes = calibrate.after_air_readings(scenario, here, physics.SEED + 2)
    belief = beliefs.draw(scenario.mixture, MEMBERS, physics.SEED + 3)
    owned = scenario.rules.owned or OWNED_BY_DEFAULT
    protections = [(BARE, ())] + [
        (COVERS[g.kind].words, (replace(g, from_h=COVER_AFTER_H, to_h=None),)) for g in owned
    ]
    times = [span.start + int(r) * HOUR for r in rows]
    watched = {
        words: _watch(replace(scenario, guards=guards, done=()), here, belief, rows, times)
        for words, guards in protections
    }
    effort = {BARE: 0.0} | {COVERS[g.kind].words: COVERS[g.kind].effort for g in owned}
    options = _options(scenario, watched, effort, times)
    first = next(at for at in times if at >= asked - TO_THE_HOUR)
    soonest = [o for o in options if o.start == first]
    dated = _with_dates(scenario, air, now, soonest, dict(protections))
    options = [*dated.values(), *(o for o in options if o.start != first)]
    answer = _answer(scenario, options, first, here, notes)
    return _only_planned(answer, air) if air.typical else answer


def _only_planned(answer: PourAnswer, air: AirSeries) -> PourAnswer:
    """No pour is cleared on a typical year; what would pass in it is told."""
    return replace(
        answer,
        answer="wait",
        wait_until=None,
        because=f"No pour is cleared on a {air.source}. In such a year: {answer.because}",
    )


def _starts(series: AirSeries, now: datetime, asked: datetime, days: int) -> Array:
    """Rows at which a pour may start and be watched to its end, from `now` on, `asked` included."""
    first = int(np.ceil(series.hour_of(now) - 1e-9))
    wanted = int(np.ceil(series.hour_of(asked) - 1e-9))
    if wanted - first > 24 * days:
        first = wanted
    last = min(first + 24 * days, series.hours - LOOK_H - 2)
    rows = np.arange(max(first, 0), last + 1)
    if first < 0 or wanted > last:
        return np.empty(0, dtype=int)
    bad = ~(np.isfinite(series.air_C) & np.isfinite(series.dew_point_C))
    holes = np.concatenate(([0], np.cumsum(bad)))
    whole = holes[rows + LOOK_H + 2] == holes[rows]
    return rows[whole] if whole[wanted - rows[0]] else np.empty(0, dtype=int)


def _watch(
    scenario: Scenario, here: place.AtPiece, belief: beliefs.Belief, rows: Array,
    times: list[datetime],
) -> _Watched:  # fmt: skip
    """All starts under one protection in one sweep: starts x members side by side."""
    starts = len(rows)
    index = rows[None, :] + np.arange(LOOK_H + 2)[:, None]

    def side_by_side(values: Array) -> Array:
        wide_values: Array = values[index].reshape(LOOK_H + 2, starts * MEMBERS)
        return wide_values

    wide = replace(
        here, start=times[0],
        **{name: side_by_side(getattr(here, name)) for name in (
            "air_C", "dew_point_C", "wind_m_s", "rain_mm", "sun_W_m2", "sky_loss_W_m2")},
    )  # fmt: skip
    z = np.random.default_rng(physics.SEED + 4).standard_normal(MEMBERS)
    told = scenario.placement.concrete_C
    base = wide.air_C[0] if told is None else np.full(starts * MEMBERS, told)
    sd = physics.PLACED_GUESS_SD_K if told is None else physics.PLACED_SD_K
    placed = np.clip(base + sd * np.tile(z, starts), 0.5, 55.0)
    fields: dict[str, Any] = {
        name: np.tile(value, starts) if isinstance(value, np.ndarray) else value
        for name, value in belief.__dict__.items()
    }
    many = beliefs.Belief(**fields)
    ground = physics.ground_C(here, int(rows[0])) if physics.on_ground(scenario) else None
    lived = heat.temperature(
        physics.column(scenario), physics.schedule(scenario, ground), physics.exposure(wide, 0.0),
        physics.kinetics(many), placed, LOOK_H,
        sprint_tau_h=physics.sprint_tau_h(scenario),
        board_C=None if ground is None else np.tile(ground, starts),
    )  # fmt: skip
    strong = many.strength_at(lived.te_cold_h)
    struck = frost.frozen_at(lived.hour, lived.coldest_C, strong)
    young = strong[-1] < FROST_MPA
    cold_later = wide.air_C.min(axis=0) < COLD_AIR_C
    set_row = _first_row(lived.te_mean_h, many.final_set_h)
    guard = scenario.guards[0] if scenario.guards else None
    cover = COVERS[guard.kind] if guard else None
    worst = physics.worst_evaporation(
        physics.bare_rows(scenario), lived, wide.air_C, place.relative_humidity(wide),
        wide.wind_m_s,
    ) * np.tile(evaporation.formula_doubt(MEMBERS, physics.SEED + 5), starts)  # fmt: skip
    limit = physics.evaporation_limit(scenario)
    until_set = np.arange(LOOK_H + 2)[:, None] < np.maximum(set_row, 1)
    rained = ((wide.rain_mm > LATE_RAIN_MM) & until_set).any(axis=0)
    if cover is not None and cover.sheds_rain:
        rained = (wide.rain_mm[:1] > LATE_RAIN_MM).any(axis=0)

    def share(bad: Any) -> Array:
        chance: Array = np.asarray(bad).reshape(starts, MEMBERS).mean(axis=1)
        return chance

    def middle(values: Array, q: float = 0.5) -> Array:
        at: Array = np.quantile(values.reshape(starts, MEMBERS), q, axis=1)
        return at

    lowest = np.where(strong < FROST_MPA, lived.coldest_C, np.inf).min(axis=0)
    risks = {
        "freezing before 3.5 MPa": (
            share(np.isfinite(struck) | (young & cold_later)), middle(lowest, 0.1),
            frost.FREEZING_C, "degC",
        ),
        "concrete too cold to place": (
            share(placed < LEAST_DELIVERED_C), middle(placed, 0.1), LEAST_DELIVERED_C, "degC",
        ),
        "concrete too hot to place": (
            share(placed > PLACING_MAX_C), middle(placed, 0.9), PLACING_MAX_C, "degC",
        ),
        "evaporation": (
            share(worst > limit), middle(worst, 0.9), limit, "kg/m2h",
        ),
        "rain before final set": (
            share(rained), middle(np.where(until_set, wide.rain_mm, 0).max(axis=0), 0.9),
            LATE_RAIN_MM, "mm/h",
        ),
    }  # fmt: skip
    return _Watched(risks)


def _first_row(values: Array, need: Array) -> Array:
    """First row that reaches a need, (members,); one past the end where none does."""
    reached = values >= need
    return np.where(reached.any(axis=0), np.argmax(reached, axis=0), len(values))


def _options(
    scenario: Scenario, watched: dict[str, _Watched], effort: dict[str, float],
    times: list[datetime],
) -> list[PourOption]:  # fmt: skip
    allowed = 1 - scenario.rules.confidence
    out: list[PourOption] = []
    for k, start in enumerate(times):
        for words, seen in watched.items():
            risks = tuple(
                Risk(name, round(float(p[k]), 3), round(float(v[k]), 2), limit, unit)
                for name, (p, v, limit, unit) in seen.risks.items()
            )
            passes = all(risk.probability <= allowed + 1e-9 for risk in risks)
            out.append(PourOption(start, words, passes, risks, None, None, effort[words]))
    return out


def _answer(
    scenario: Scenario, options: list[PourOption], first: datetime, here: place.AtPiece,
    notes: tuple[str, ...],
) -> PourAnswer:  # fmt: skip
    now_options = [o for o in options if o.start == first]
    passing = sorted((o for o in now_options if o.passes), key=lambda o: o.effort)
    zone = ZoneInfo(scenario.site.timezone)

    def local(at: datetime) -> str:
        return at.astimezone(zone).strftime("%a %-d %b %H:%M")

    row = round((first - here.start) / HOUR)
    cautions = [GLOVES, *notes, *_haste(scenario, here, row), *_cold_advice(scenario, here, row)]
    table = tuple(options)
    sources = tuple(f"{key}: {SOURCES[key].title}" for key in SOURCE_KEYS)
    if passing:
        best = passing[0]
        answer = "pour" if best.protection == BARE else f"pour with {best.protection}"
        failed = [o for o in now_options if o.effort < best.effort]
        why = f"{_failure(failed[-1])}; " if failed else ""
        text = f"Start {local(first)}: {why}{_passing(best)}."
        return PourAnswer(answer, None, text, table, tuple(cautions), sources)
    later = min((o for o in options if o.passes), key=lambda o: o.start, default=None)
    worst_now = min(now_options, key=lambda o: max(r.probability for r in o.risks))
    when = later.start.astimezone(zone) if later else None
    if later is None or when is None:
        then = "no hour of the forecast passes under any cover you have: move it indoors or wait"
    else:
        then = f"first hour that passes: {local(when)}, {_under(later.protection)}"
    text = f"{_failure(worst_now, 'even ')}; {then}."
    return PourAnswer("wait", when, text, table, tuple(cautions), sources)


def _under(protection: str) -> str:
    return "left bare" if protection == BARE else f"with {protection}"


def _failure(option: PourOption, even: str = "") -> str:
    """The risk that stands out, with its number."""
    worst = max(option.risks, key=lambda r: r.probability)
    return (
        f"{even}{_under(option.protection)}, {worst.probability:.0%} chance of {worst.risk}"
        f" ({worst.value:g} {worst.unit.replace('degC', 'C')}, limit {worst.limit:g})"
    )


def _passing(option: PourOption) -> str:
    worst = max(option.risks, key=lambda r: r.probability)
    if worst.probability == 0:
        return f"{_under(option.protection)} nothing stands against it"
    return f"{_under(option.protection)} the largest risk is {worst.risk}, {worst.probability:.0%}"


def _with_dates(
    scenario: Scenario, air: AirSeries, now: datetime, options: list[PourOption],
    guards: dict[str, tuple[Guard, ...]],
) -> dict[tuple[datetime, str], PourOption]:  # fmt: skip
    """The options of one start with the sure hours of strip and turn under each protection."""
    out: dict[tuple[datetime, str], PourOption] = {}
    for option in options:
        planned = replace(
            scenario, guards=guards[option.protection], done=(),
            placement=replace(scenario.placement, at=option.start),
        )  # fmt: skip
        sure = sure_hours(planned, air, now, DATES_H)
        out[option.start, option.protection] = replace(
            option,
            strip_p90=physics.clock(planned, sure.get("strip", np.inf)),
            turn_p90=physics.clock(planned, sure.get("turn", np.inf)),
        )
    return out


def _haste(scenario: Scenario, here: place.AtPiece, row: int) -> list[str]:
    """How long a rapid mix can be placed at its temperature; ordinary ones leave ample time."""
    kind = CLASSES[scenario.mixture.kind]
    set_h = scenario.mixture.initial_set_h or kind.initial_set_h
    if set_h > 1.0:
        return []
    told = scenario.placement.concrete_C
    mix_C = float(np.clip(here.air_C[row].mean() if told is None else told, 0, 50))
    label_min = max(60 * WORKING_SHARE * set_h, 1.0)
    left = float(setting.working_time_min(mix_C, label_min=label_min, label_C=21.0))
    return [
        f"Rapid mix at {mix_C:.0f} C: about {left:.0f} min to place it, {label_min:.0f} at 21 C;"
        " mix no more than goes in within that, cool bags and water, add none to loosen it."
    ]


def _cold_advice(scenario: Scenario, here: place.AtPiece, row: int) -> list[str]:
    """What ACI 306R asks of the concrete when the air may fall under 5 degC; its warm water."""
    lowest = float(np.quantile(here.air_C[row : row + 48].min(axis=0), 0.1))
    if lowest >= COLD_AIR_C:
        return []
    wanted = as_placed_C(scenario.shape.section_mm)
    air_now = float(here.air_C[row].mean())
    told = scenario.placement.concrete_C
    if told is not None and told >= wanted:
        return []
    water = setting.water_temperature_for(
        wanted_C=wanted, dry_kg=DRY_PER_WATER, dry_C=float(np.clip(air_now, -20, 60)), water_kg=1.0
    )
    text = (
        f"Cold weather (air down to {lowest:.0f} C): ACI 306R asks for {wanted:.0f} C as placed and"
        " kept in a section this thin;"
    )
    if water > WATER_MAX_C:
        return [f"{text} warm the bags too, water alone would need {water:.0f} C (limit 60 C)."]
    return [f"{text} with bags at {air_now:.0f} C that takes mixing water of {water:.0f} C."]


def _wait_for_weather(why: str) -> PourAnswer:
    return PourAnswer(
        "wait", None, f"No weather is never safe: {why}.", (), (GLOVES,),
        tuple(f"{key}: {SOURCES[key].title}" for key in SOURCE_KEYS),
    )  # fmt: skip
