"""Members x physics -> histories -> criteria -> the answer for one pour."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

import numpy as np

from models.air.series import HOUR, AirSeries
from models.concrete.maturity import temperature_time_factor
from models.errors import Unknown
from models.facts.air import WET_MM_H
from models.facts.protection import HOT_DAMAGE_C, HOT_EARLY_C
from models.instants import aware
from models.message import Message, text
from models.piece import quantities
from models.planning import (
    acts,
    alerts,
    blemishes,
    coat_litres,
    coat_ways,
    cold_joint,
    default_plan,
    evaporation_control,
    frost_branch,
    fumes,
    later,
    reasons,
    sealing,
    turning,
    what_if,
)
from models.planning.coat_plan import Coated
from models.planning.windows import span, window
from models.quantile import quantiles
from models.results import (
    Alert,
    Bands,
    CoatPlan,
    ConcreteHistory,
    Drawn,
    FrostBranch,
    Need,
    PourSummary,
    Projection,
    StepWindow,
    Surely,
)
from models.simulation import cases
from models.simulation import plan as plans
from models.simulation.fresh_face import bare_rows, evaporation_limit
from models.simulation.physics import HORIZON_H, Simulation
from models.simulation.scenario import Scenario
from models.steps import hazards, registry, strip
from models.steps.opening import level
from models.units import Array

LONGEST_H = 90 * 24
CRACKS_H = 72  # so long it is worth a word that the face may have dried too fast, OWN_JUDGEMENT


def project(scenario: Scenario, air: AirSeries | Unknown, now: datetime) -> Projection:
    """All windows of one pour at an instant.

    scenario : the pour; air : hourly weather, or what is missing; now : aware instant

    Raises InputError for what cannot be at `now`. Without weather every step is blocked.
    """
    now = aware("now", now)
    scenario.checked_against(now)
    scenario = scenario.without_wrong_readings()
    pour = _summary(scenario)
    if isinstance(air, Unknown):
        return _blocked(scenario, pour, air, now)
    now_h = scenario.hour(now)
    hours = int(np.clip(max(HORIZON_H, now_h + 240), HORIZON_H, LONGEST_H))
    simulation = default_plan.hardened(scenario, air, now, hours)
    if isinstance(simulation, Unknown):
        return _blocked(scenario, pour, simulation, now)
    stands = simulation  # the piece as it is: its frost is told, whatever is meant
    coming, asked = alerts.foreseen(scenario, stands, now)
    if asked is not None:
        simulation = default_plan.under_default(scenario, stands.members, now_h, stands, asked)
    if simulation.drying is None:
        simulation = default_plan.dried(scenario, simulation, now_h)
    need_strip = strip.needed("strip", scenario.rules.needs_MPa)
    listed, coated = planned(scenario, simulation, now_h)
    listed, plan, longer = later.dated(scenario, simulation, listed, coated, now_h)
    judged = {**simulation.before, **longer}
    if scenario.sealer.told and simulation.no_moisture is None:
        plan = replace(plan, ways=coat_ways.told(scenario, simulation, plan, listed, now_h))
    steps = tuple(
        window(scenario, judged.get(opening.step, simulation), opening, when, now)
        for opening, when in listed
    )
    sooner = what_if.earlier(scenario, simulation, now, steps)
    windows = tuple(
        replace(step, earlier_if=sooner.get(step.step, ())) if step.state == "not yet" else step
        for step in steps
    )
    if simulation.no_moisture is not None:
        windows, plan = _without_moisture(scenario, windows, simulation.no_moisture)
    against = evaporation_control.advice(scenario, air, now, simulation.evaporation_kg_m2h)
    windows = _with_fumes_caution(
        hazards.one_caution(windows, _chemistry(scenario)), scenario, now_h
    )
    ways = turning.told(scenario, judged.get("turn", simulation), windows, now_h)
    windows = tuple(
        replace(one, earlier_if=(*one.earlier_if, *turning.sooner(one, ways)))
        if one.step == "turn"
        else one
        for one in windows
    )
    lifts = cold_joint.Lifts(scenario, simulation, air, now)
    if_frozen = frost_branch.branch(scenario, stands, now_h)
    if_covered = alerts.if_covered(scenario, simulation.plan)
    return Projection(
        pour,
        _history(scenario, simulation),
        windows,
        (
            *lifts.told(),
            *_warnings(scenario, simulation, now_h, coming, against, if_frozen, if_covered),
        ),
        reasons.evidence(scenario, simulation, need_strip),
        coming,
        alerts.frost_watch(scenario, stands, now_h),
        plan if scenario.sealer.told else None,
        acts.entries(scenario, simulation.plan, plan),
        if_frozen,
        if_covered,
        _drawn(scenario, simulation, air.end),
        ways,
        lifts.fresh_mm(),
    )


def planned(
    scenario: Scenario, simulation: Simulation, now_h: float
) -> tuple[later.Listed, Coated]:
    """Every step with its span, and the coats as one plan on the clock."""
    case = cases.case_of(scenario, simulation, now_h)
    undone = {step: cases.case_of(scenario, one, now_h) for step, one in simulation.before.items()}
    confidence = case.confidence
    coated = sealing.sealed(scenario, simulation, case, now_h)
    coats = {opening.step: (opening, when) for opening, when in coated.openings}
    likely, safe = later.with_coats(case, coated)
    below_p90 = later.is_below_p90(coated)
    out: later.Listed = []
    for key, step in registry.of_pour(case.setup):
        if step.criterion is None:
            out.append(coats[key])
            continue
        if step.stage == "use":
            out.append(later.of_use(step, likely, safe, now_h, below_p90))
            continue
        opening = step.criterion(safe)
        if key in undone:  # its hours as nobody knows it done, its cautions by all that follows
            opening = replace(step.criterion(undone[key]), cautions=opening.cautions)
        when = span(undone.get(key, safe).trajectory, opening, confidence, now_h)
        out.append((opening, when))
    return out, coated


def _summary(scenario: Scenario) -> PourSummary:
    shape, mixture = scenario.shape, scenario.mixture
    net, whole = None, None
    if mixture.bag_yield_l:
        net, whole = quantities.bags(shape.volume_l, mixture.bag_yield_l)
        net = round(net, 2)
    return PourSummary(
        name=scenario.name,
        at=scenario.placement.at,
        piece=shape.described,
        mix=text(mixture.name) if mixture.name else Message("mix_class", {"mix": mixture.kind}),
        place=scenario.site.kind,
        volume_l=round(shape.volume_l, 1),
        mass_kg=round(quantities.mass_kg(shape.volume_l, mixture.density_kg_m3), 1),
        caution=Message("no_certificate"),
        bags_net=net,
        bags=whole,
    )


def _chemistry(scenario: Scenario) -> Callable[[int], str | None]:
    """That of the product that a coat is of; None where no sealer is told."""
    finish = scenario.resolved()
    return lambda number: finish.product_of(number).chemistry if scenario.sealer.told else None


def _with_fumes_caution(
    steps: tuple[StepWindow, ...], scenario: Scenario, now_h: float
) -> tuple[StepWindow, ...]:
    """Steps still to come, each minding a heater that burns into the place before all else."""
    if not np.isfinite(fumes.from_h(scenario, now_h)):
        return steps
    return tuple(
        step
        if step.state in ("done", "past")
        else replace(step, cautions=(fumes.FUMES, *step.cautions))
        for step in steps
    )


def _blocked(scenario: Scenario, pour: PourSummary, why: Unknown, now: datetime) -> Projection:
    """Every step blocked, each saying what is missing."""
    now_h = scenario.hour(now)
    done = {d.step: d.at for d in scenario.done}
    why_not = Message("no_weather", {"why": why.message})
    closed = [
        _closed(name, "weather_at_piece", why_not)
        for name, _ in registry.of_pour(cases.setup_of(scenario, now_h))
    ]
    steps = tuple(
        replace(one, state="done", done_at=done[one.step]) if one.step in done else one
        for one in closed
    )
    return Projection(
        pour,
        None,
        _with_fumes_caution(hazards.one_caution(steps, _chemistry(scenario)), scenario, now_h),
        (*fumes.warnings(scenario, now_h), why_not),
        Message("evidence_weather"),
        alerts.of_fumes(scenario, now),
        coat_plan=_no_hours(scenario, why_not) if scenario.sealer.told else None,
        plan=acts.entries(scenario, plans.told(scenario, now_h), None),
        ways=turning.told(scenario, None, steps, now_h),
    )


def _closed(step: str, lacks: str, why_not: Message) -> StepWindow:
    """A step without a window, for want of a record."""
    need = Need(Message(lacks), 1.0, "record")
    return StepWindow(step, "blocked", None, None, None, None, need, (why_not,))


def _no_hours(scenario: Scenario, why_not: Message) -> CoatPlan:
    return coat_litres.all_without_hours(scenario, (Message("no_coat_planned", {"why": why_not}),))


def _without_moisture(
    scenario: Scenario, windows: tuple[StepWindow, ...], why: Message
) -> tuple[tuple[StepWindow, ...], CoatPlan]:
    """What hangs on the moisture of the air is blocked; strength and frost are told as ever."""
    why_not = Message("no_moisture_no_drying", {"why": why})
    coats_left = any(
        registry.coat_number(step.step) and step.state != "done" for step in windows
    )  # what comes after them hangs on them
    needs = {
        key
        for key, step in registry.of_pour(cases.setup_of(scenario, np.inf))
        if step.by_moisture or (coats_left and step.stage == "use")
    }
    steps = tuple(
        _closed(step.step, "moisture_of_air", why_not)
        if step.step in needs and step.state not in ("done", "past")
        else step
        for step in windows
    )
    return steps, _no_hours(scenario, why_not)


def _warnings(
    scenario: Scenario,
    simulation: Simulation,
    now_h: float,
    coming: tuple[Alert, ...],
    against: Message | None,
    if_frozen: FrostBranch | None,
    if_covered: Message | None,
) -> tuple[Message, ...]:
    out = [*fumes.warnings(scenario, now_h), *simulation.notes]
    out += [alert.text for alert in coming if alert.kind != "fumes"]
    out += [] if if_covered is None else [if_covered]
    frost = alerts.frost_warning(scenario, simulation, now_h)
    if frost is not None and not any(alert.kind == "frost" for alert in coming):
        out.append(frost)
    if if_frozen is not None:
        out.append(if_frozen.text)
    watch = alerts.frost_watch(scenario, simulation, now_h)
    out += [] if watch is None or watch.young_after is None else [watch.young_after]
    later = frost_branch.later(scenario, simulation, now_h)
    out += [] if later is None else [later]
    out += blemishes.told(scenario, simulation, now_h)
    trajectory = simulation.trajectory
    hottest = trajectory.quantile(trajectory.hottest_C.max(axis=0), 0.9)
    if hottest > HOT_DAMAGE_C:
        out.append(Message("hot_harms", {"hottest_C": hottest, "limit_C": HOT_DAMAGE_C}))
    elif trajectory.quantile(trajectory.mean_C[:25].max(axis=0), 0.5) > HOT_EARLY_C:
        out.append(Message("hot_early_cure"))
    limit = evaporation_limit(scenario)
    rate = simulation.evaporation_kg_m2h
    values = {"rate_kg_m2h": rate, "limit_kg_m2h": limit}
    set_h = trajectory.first(trajectory.te_mean_h, trajectory.initial_set_h)
    bare = now_h < bare_rows(scenario, np.array(trajectory.hour_by(set_h, 0.5)))
    if rate > limit and now_h < CRACKS_H:
        less = against or Message("cover_at_once")
        if not bare:
            less = Message("look_for_cracks")
        out.append(Message("evaporation_high", {**values, "less": less}))
    return tuple(out)


def _history(scenario: Scenario, simulation: Simulation) -> ConcreteHistory:
    trajectory = simulation.trajectory
    assert simulation.drying is not None
    datum = scenario.resolved().mix.datum_C
    middle = 0.5 * (trajectory.mean_C[1:] + trajectory.mean_C[:-1])
    ttf = np.concatenate(
        (np.zeros((1, trajectory.members)), temperature_time_factor(middle.T, 1.0, datum_C=datum).T)
    )
    times = tuple(scenario.placement.at + k * HOUR for k in range(len(trajectory.hour)))

    def bands(values: Array) -> Bands:
        return Bands(*quantiles(values, (0.1, 0.5, 0.9), trajectory.weight))

    return ConcreteHistory(
        times,
        bands(trajectory.mean_C),
        bands(trajectory.coldest_C),
        bands(trajectory.air_C),
        bands(trajectory.te_mean_h),
        bands(ttf),
        bands(trajectory.strength_MPa),
        bands(simulation.drying.dried.probe_rh),
    )


def _drawn(scenario: Scenario, simulation: Simulation, until: datetime) -> Drawn:
    """Strengths at the levels that steps are called safe at, and the chance of rain on it."""
    trajectory, confidence = simulation.trajectory, scenario.rules.confidence
    levels = sorted({0.5, confidence, level("piece", confidence)})
    below = tuple(1.0 - one for one in levels)
    slowest, section = (
        quantiles(values, below, trajectory.weight)
        for values in (trajectory.strength_MPa, trajectory.strength_mean_MPa)
    )
    wet = (trajectory.rain_mm > WET_MM_H).astype(float)
    return Drawn(
        tuple(Surely(*one) for one in zip(levels, slowest, section, strict=True)),
        wet @ trajectory.weight,
        until,
    )
