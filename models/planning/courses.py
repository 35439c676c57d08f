"""Alike pieces by the hour of their pour: under which cover, and when each member of it is ready.

Which way a pour may go is the pour check's; what then becomes of it is the timeline's simulation.
Pieces of one kind share their members, and all kinds the same weather of each.
"""

from dataclasses import dataclass, field, replace
from datetime import datetime

import numpy as np

from models.air.series import AirSeries
from models.coating.finish import least_h
from models.concrete.mixture import Mixture
from models.concrete.section import Covering
from models.errors import Unknown
from models.facts import work as facts
from models.message import Message
from models.piece.coated import coated_m2
from models.piece.handling import people_for
from models.piece.quantities import mass_kg
from models.piece.shape import Shape
from models.planning import asked_start, default_plan, pour_check, sealing
from models.planning import starts as all_starts
from models.planning.watch import OptionRisks
from models.planning.working_day import WorkingDays
from models.quantile import hour_at
from models.simulation import cases, drying
from models.simulation.blown import Lying
from models.simulation.in_force import lying
from models.simulation.physics import HORIZON_H, MEMBERS
from models.simulation.scenario import Scenario
from models.steps import registry, use
from models.steps.opening import Trajectory
from models.units import Array

DAYS = 16  # no forecast looks further
MOULD_STEPS = ("knock-out", "core", "strip")


@dataclass(frozen=True)
class Work:
    """What one act asks for: minutes, and so many hands at once."""

    minutes: float
    hands: int = 1

    @property
    def hours(self) -> float:
        return self.minutes / 60


@dataclass(frozen=True)
class Works:
    """Work on a piece and on its mould; turning may ask for more people than a shop has."""

    pour: Work
    strip: Work
    turn: Work
    finish: Work
    clean: Work  # of the mould, until it may be poured into again


@dataclass(frozen=True)
class Kind:
    """Pieces that are alike: as they would be poured, in what air, with how much work.

    works : None takes the usual ones by shape and area
    """

    key: str
    scenario: Scenario
    air: AirSeries | Unknown
    works: Works | None = None

    @property
    def work(self) -> Works:
        return self.works or usual_work(self.scenario)


@dataclass(frozen=True)
class Course:
    """What becomes of a piece that is poured at an hour [h] from now, as all hours here.

    free_h : from which most members let the mould go; turned_h : from which turning it is safe
    strip_h, ready_h : of each member, (members,); infinite where it is not in sight
    covers : what lies on it, from when to when; infinite: nobody takes it off in sight
    """

    at_h: float
    way: Message
    free_h: float
    turned_h: float
    strip_h: Array
    ready_h: Array
    covers: tuple[Lying, ...] = ()


@dataclass(frozen=True)
class Courses:
    """Of one kind: a course for each start that will do, and for the others what forbids them.

    why : what is missing where there is none at all
    """

    found: tuple[Course, ...] = ()
    forbids: dict[float, Message] = field(default_factory=dict)
    why: Message | None = None
    until: datetime | None = None  # the last start that the weather tells of


def usual_work(scenario: Scenario) -> Works:
    """That of its shape and its mix. Source: OWN_JUDGEMENT, as work_on has it."""
    return work_on(scenario.shape, scenario.mixture)


def work_on(shape: Shape, mixture: Mixture) -> Works:
    """Minutes and hands by shape and area, where nobody told them.

    Source: OWN_JUDGEMENT; people who turn it HSE_L23.
    """
    area_m2, volume_l = coated_m2(shape), shape.volume_l
    people = people_for(mass_kg(volume_l, mixture.density_kg_m3))
    return Works(
        Work(
            facts.POUR_MIN + facts.POUR_MIN_PER_L * volume_l,
            2 if volume_l > facts.TWO_TO_POUR_L else 1,
        ),
        Work(facts.STRIP_MIN + facts.STRIP_MIN_PER_M2 * area_m2),
        Work(facts.TURN_MIN, people),
        Work(facts.FINISH_MIN + facts.FINISH_MIN_PER_M2 * area_m2),
        Work(facts.CLEAN_MIN + facts.CLEAN_MIN_PER_M2 * area_m2),
    )


def courses(
    kind: Kind,
    days: WorkingDays,
    also_h: tuple[float, ...] = (),
    extra: Covering | None = None,
    many: int | None = None,
) -> Courses:
    """A kind at the first and the last hour of each day at which its pour fits into the day.

    also_h : more starts [h]; extra : a cover that the shop does not use so far, laid at each start
    Raises InputError for what cannot be at now.
    """
    air, now, many = kind.air, days.now, many or MEMBERS
    if isinstance(air, Unknown):
        return Courses(why=air.message)
    series, _ = air.bridged()
    work_h = kind.work.pour.hours
    begin_h = min([h for day in range(DAYS) for h in days.starts(day, work_h)], default=np.inf)
    if not np.isfinite(begin_h):
        values = {"work_h": work_h, "worked_h": max(days.worked_h(day) for day in range(1, 8))}
        return Courses(why=Message("plan_pour_too_long", values))
    first = max(now, days.at(begin_h))
    rows = all_starts.rows_of(series, now, first, DAYS)
    if air.typical or not len(rows):
        return Courses(why=all_starts.hours_missing(air, first))
    offered = {
        round(series.hour_of(days.at(h))): h
        for day in range(DAYS)
        for h in (*days.starts(day, work_h), *(a for a in also_h if days.day(a) == day))
    }
    wanted = np.array([row for row in rows.tolist() if row in offered])
    until = days.at(days.hour(series.start) + float(rows[-1]))
    if not len(wanted):
        return Courses(why=all_starts.hours_missing(air, first), until=until)
    scenario = replace(kind.scenario, placement=replace(kind.scenario.placement, at=first), done=())
    starts = all_starts.at_place(scenario, series, rows, first, wanted)
    table = pour_check.watched(scenario, starts, series, now)
    found: list[Course] = []
    forbids: dict[float, Message] = {}
    for k, row in enumerate(wanted.tolist()):
        at_h = offered[row]
        way = _cheapest(scenario, table, k)
        if isinstance(way, Message):
            forbids[at_h] = way
            continue
        pour = asked_start.as_poured(scenario, starts.at[k], way)
        if pour is not None and extra is not None:
            pour = replace(pour, coverings=(*pour.coverings, extra))
        course = None if pour is None else followed(pour, air, days, at_h, way.option.message, many)
        if course is not None:
            found.append(course)
    return Courses(tuple(found), forbids, None, until)


def _cheapest(scenario: Scenario, table: list[OptionRisks], k: int) -> OptionRisks | Message:
    """The cheapest way that passes at a start; else what stands against the nearest."""
    confidence = scenario.rules.confidence
    for row in table:
        if row.offered[k] and row.passes(confidence)[k]:
            return row
    nearest = min(table, key=lambda row: float(row.excess(confidence)[k]))
    worst = max(nearest.risks, key=lambda name: float(np.nan_to_num(nearest.risks[name].chance[k])))
    chance = float(np.nan_to_num(nearest.risks[worst].chance[k]))
    return Message("plan_start_fails", {"risk": worst, "chance": round(chance, 3)})


def followed(
    pour: Scenario, air: AirSeries, days: WorkingDays, at_h: float, way: Message, many: int
) -> Course | None:
    """One start followed to the piece that may go out; None without weather."""
    now_h = pour.hour(days.now)
    simulation = default_plan.hardened(pour, air, days.now, HORIZON_H, many)
    if isinstance(simulation, Unknown):
        return None
    listed = {key for key, _ in registry.of_pour(cases.setup_of(pour, now_h))}

    def opens_h(step: str) -> Array:
        criterion = registry.known(step).criterion
        assert criterion is not None
        return criterion(
            cases.case_of(pour, simulation.before.get(step, simulation), now_h)
        ).opens_h

    strip_h = np.maximum.reduce([opens_h(step) for step in MOULD_STEPS if step in listed])
    turn_h = opens_h("turn")
    ready_h = np.maximum.reduce([strip_h, turn_h, opens_h("end-wet-cure")])
    if pour.sealer.told:
        if simulation.no_moisture is not None:
            ready_h = np.full(many, np.inf)
        else:
            dried = drying.settled(pour, simulation, now_h)
            case = cases.case_of(pour, dried, now_h)
            finish = pour.resolved().finish
            asked = (sealing.waits_for(dried, case, now_h, one) for one in finish)
            waits = [one.opens_h for of_product in asked for one in of_product]
            film_h = least_h(finish) + finish[-1].sheet.light_use_h
            coated_h = np.maximum.reduce([ready_h, *waits])
            ready_h = _hardened_h(dried.trajectory, coated_h, film_h)
    weight = simulation.trajectory.weight
    free_h = hour_at(strip_h, weight, registry.level_of("strip", pour.rules.confidence))
    if "core" in listed:
        free_h = max(free_h, hour_at(strip_h, weight, registry.level_of("core", 0.9)))
    turned_h = hour_at(turn_h, weight, registry.level_of("turn", pour.rules.confidence))
    covers = tuple(
        (kind, at_h + on_h, at_h + off_h) for kind, on_h, off_h in lying(pour, simulation.plan)
    )
    return Course(at_h, way, at_h + free_h, at_h + turned_h, at_h + strip_h, at_h + ready_h, covers)


def _hardened_h(trajectory: Trajectory, coated_h: Array, film_h: float) -> Array:
    """When films that begin at an hour have hardened for so long at 20 degC [h], (members,).

    Source: product sheet or TYPICAL_SHEET for the hours, UFGS_09971 for colder ones.
    """
    hard = use.hardened_h(trajectory)
    begin = np.clip(np.nan_to_num(coated_h, posinf=0.0), 0, trajectory.hour[-1])
    row = np.searchsorted(trajectory.hour, begin, side="left")
    need = hard[row, np.arange(trajectory.members)] + film_h
    return np.where(np.isfinite(coated_h), trajectory.first(hard, need), np.inf)
