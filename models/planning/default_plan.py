"""The plan as far as nobody told it: each step at the hour a careful maker would do it, found step
by step, since what comes after hangs on it.

Strip and turn have the mould, the steps behind them and a promise waiting: their first safe hour
in which the shop works. The end of the damp cure, the covers and sanding can wait for a comfortable
one. The film is meant for the hour at which the face bears it. Finishing goes by the hand, and
honing is for whoever means to hone: neither is a default.
"""

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

import numpy as np

from models.air.series import AirSeries
from models.concrete import maturity
from models.errors import Unknown
from models.facts.handling import WET_CURE_FRACTION
from models.planning import windows
from models.simulation import calibrate, cases, drying, physics
from models.simulation import plan as plans
from models.simulation.physics import MEMBERS, MEMBERS_WITH_EVIDENCE, Members, Simulation
from models.simulation.plan import Plan, PlanEntry
from models.simulation.scenario import DRYING_KINDS, LOOK_KINDS, SET_KINDS, Scenario
from models.steps import registry, strip, turn
from models.steps.case import Case
from models.steps.opening import P90, Span

QUARTER = timedelta(minutes=15)
A_DAY = 96  # quarters
LEFT = timedelta(hours=2)  # of the working day, for a job that can wait, OWN_JUDGEMENT
AHEAD_H = 48.0
SOON_H = 96  # a what-if is tried this far first
WORTH_H = 14 * 24  # what a cover laid now brings later than this is not told, OWN_JUDGEMENT
WARMS = ("cover", "strip", "end-wet-cure", "uncover")
EVERY_H = 6  # of the air by which it is guessed how far to look
DAMP_COVERS = ("film", "wet cover")
WEIGH_BY_DRYING = ("tile", "film-wet")


def simulated(
    scenario: Scenario, air: AirSeries, now: datetime, hours: int, count: int | None = None
) -> Simulation | Unknown:
    """The members of a pour under its plan, dried: what was logged, what is meant, and for the rest
    the usual hours.

    hours, count : as for physics.simulate
    """
    simulation = hardened(scenario, air, now, hours, count)
    if isinstance(simulation, Unknown) or simulation.drying is not None:
        return simulation
    return dried(scenario, simulation, scenario.hour(now))


def hardened(
    scenario: Scenario, air: AirSeries, now: datetime, hours: int, count: int | None = None
) -> Simulation | Unknown:
    """The same, dried only where a reading of that weighs the members."""
    members = _members(scenario, air, now, hours, count)
    if isinstance(members, Unknown):
        return members
    simulation = under_default(scenario, members, scenario.hour(now))
    if any(reading.kind in DRYING_KINDS for reading in scenario.observations):
        return dried(scenario, simulation, scenario.hour(now))
    return simulation


def _members(
    scenario: Scenario, air: AirSeries, now: datetime, hours: int, count: int | None = None
) -> Members | Unknown:
    """As many members as the readings ask for: whether they weigh any is seen before it is planned,
    since what was read was read of what is done already."""
    members = physics.drawn(scenario, air, now, hours, count or MEMBERS)
    if count is not None or isinstance(members, Unknown):
        return members
    last_h = calibrate.weighing_until_h(scenario, *SET_KINDS, *LOOK_KINDS, *WEIGH_BY_DRYING)
    if not np.isfinite(last_h):
        return members
    now_h = scenario.hour(now)
    near = physics.under(members, plans.told(scenario, now_h), int(last_h) + 2)
    if not near.weighed and any(one.kind in WEIGH_BY_DRYING for one in scenario.observations):
        near = drying.settled(scenario, near, now_h)
    if not near.weighed:
        return members
    return physics.drawn(scenario, air, now, hours, MEMBERS_WITH_EVIDENCE)


def under_default(
    scenario: Scenario,
    members: Members,
    now_h: float,
    stands: Simulation | None = None,
    asked: PlanEntry | None = None,
) -> Simulation:
    """The same of members that were drawn already, not dried; now_h : hours from placing [h].

    asked : a cover that is meant besides; stands : the piece without it, whose frost is told
    """
    told = plans.told(scenario, now_h)
    found = Way(scenario, members, now_h, told if asked is None else told.adding(asked))
    plan, judged = found.stripped()
    plan, cured = found.cured(plan)
    judged |= cured
    simulation = found.under(plan, members.rows)
    plan = simulation.plan
    if plan.only_meant:  # what is only meant lowers no risk
        trajectory = simulation.trajectory
        bare = (stands or physics.under(members, plan.confirmed())).trajectory
        trajectory = replace(
            trajectory,
            harm=np.maximum(bare.harm, trajectory.harm),
            frost_depth=np.maximum(bare.frost_depth, trajectory.frost_depth),
        )
        simulation = replace(simulation, trajectory=trajectory)
    before = {step: one for step, one in judged.items() if not found.is_logged(step)}
    return replace(simulation, before=before)


def dried(scenario: Scenario, simulation: Simulation, now_h: float) -> Simulation:
    """A simulation with its drying, weighed by what was read of it, and with the sanding."""
    found = Way(scenario, simulation.members, now_h, simulation.plan)
    simulation = drying.settled(scenario, simulation, now_h)
    weight = simulation.trajectory.weight
    before = {
        step: replace(one, trajectory=replace(one.trajectory, weight=weight))
        for step, one in simulation.before.items()
    }
    return replace(simulation, before=before, plan=found.sanded(simulation.plan, simulation))


def to_the_turn(
    scenario: Scenario, air: AirSeries, now: datetime, hours: int, least_h: int
) -> Simulation | None:
    """The same as `simulated` as far as the sure hour of the turn, and `least_h` hours from placing
    at the least [h]: without drying, alike in every digit; None without weather.

    hours : as for physics.simulate
    """
    members = _members(scenario, air, now, hours)
    if isinstance(members, Unknown):
        return None
    now_h = scenario.hour(now)
    found = Way(scenario, members, now_h, plans.told(scenario, now_h))
    plan, judged = found.stripped()
    plan, cured = found.cured(plan)
    reach_h = max(plan.hour("turn"), least_h) + 1.0
    simulation = found.until(plan, reach_h, "turn")
    while len(simulation.trajectory.hour) <= members.rows and not found.all_turn(simulation):
        simulation = found.under(plan, min(2 * len(simulation.trajectory.hour), members.rows))
    return replace(simulation, before=judged | cured)


def sure_h(scenario: Scenario, simulation: Simulation, step: str, now_h: float) -> float:
    """Hour from which a step is sure [h], by the run in which it is still undone."""
    case = cases.case_of(scenario, simulation.before.get(step, simulation), now_h)
    return windows.of_step(case, step, now_h).safe


@dataclass(frozen=True)
class Way:
    """One plan that is being found: what was told of it, and the members that go through it."""

    scenario: Scenario
    members: Members
    now_h: float
    told: Plan
    soon: bool = False  # what is expected within days is looked for there first, and no later
    known: dict[Hashable, Simulation] = field(default_factory=dict)

    @property
    def covered(self) -> bool:
        return cases.setup_of(self.scenario, self.now_h).covered or bool(self.told.covers)

    def stripped(self) -> tuple[Plan, dict[str, Simulation]]:
        """The plan to the strip, and the simulation by which the strip is judged: with the mould on
        for ever; none where it was logged."""
        told = self.told
        if self.is_logged("strip"):
            return told.before("turn"), {}
        need = strip.needed("strip", self.scenario.rules.needs_MPa)
        alone = self.until(told.before("strip"), self._strong_in_air(need), "strip")
        case = cases.case_of(self.scenario, alone, self.now_h)
        more = self._small_moulds(case)
        if not np.isfinite(told.hour("strip")):
            core_h = max((one.at_h for one in more if one.step == "core"), default=0.0)
            safe_h = max(self._span(case, "strip").safe, core_h)
            more += self._entry("strip", safe_h, self._soonest(safe_h))
        return told.before("turn").filled(more), {"strip": alone}

    def cured(self, plan: Plan) -> tuple[Plan, dict[str, Simulation]]:
        """The plan to the sanding, and the simulation by which the ends of the damp cure and of the
        covers are judged: with both still there."""
        told = self.told
        wanted = ("turn", "end-wet-cure", *(("uncover",) if self.covered else ()))
        if all(self.is_logged(step) for step in wanted):
            return told.filled(plan.entries), {}
        need = WET_CURE_FRACTION * self.members.prior.specified_28d_MPa
        damp = self.until(
            told.before("end-wet-cure").filled(plan.entries),
            self._strong_in_air(need),
            *(step for step in wanted if not self.is_logged(step)),
        )
        case = cases.case_of(self.scenario, damp, self.now_h)
        more: list[PlanEntry] = []
        if not np.isfinite(told.hour("turn")):
            safe_h = self._span(case, "turn").safe
            more += self._entry("turn", safe_h, self._soonest(safe_h))
        cured_h = told.hour("end-wet-cure")
        if not np.isfinite(cured_h):
            safe_h = self._end_of_film()
            cured_h = safe_h
            if not np.isfinite(safe_h):
                safe_h = self._span(case, "end-wet-cure").safe
                cured_h = self._comfortable(safe_h)
            more += self._entry("end-wet-cure", safe_h, cured_h)
        if self.covered and not np.isfinite(told.hour("uncover")):
            safe_h = self._span(case, "uncover").safe
            more += self._entry("uncover", safe_h, max(self._comfortable(safe_h), cured_h))
        return told.filled((*plan.entries, *more)), {"end-wet-cure": damp, "uncover": damp}

    def sanded(self, plan: Plan, simulation: Simulation) -> Plan:
        """With the usual sanding before the coats, once it is turned: who sands has turned it."""
        if np.isfinite(plan.hour("sand")):
            return plan
        case = cases.case_of(self.scenario, simulation, self.now_h)
        safe_h, turned_h = self._span(case, "sand").safe, plan.hour("turn")
        if np.isfinite(turned_h):
            safe_h = max(safe_h, turned_h)
        return plan.filled(self._entry("sand", safe_h, self._comfortable(safe_h)))

    def all_turn(self, simulation: Simulation) -> bool:
        """Whether every member is strong enough within a simulation: the sure hour counts some that
        come after it."""
        case = cases.case_of(self.scenario, simulation, self.now_h)
        return bool(np.isfinite(turn.turn(case).opens_h).all())

    def mould_hours(self) -> dict[str, float]:
        """Sure hours of strip and turn, the turn of a piece that is stripped as planned [h]."""
        plan, judged = self.stripped()
        out: dict[str, float] = {}
        alone = judged.get("strip")
        if alone is not None:
            out["strip"] = self._span(cases.case_of(self.scenario, alone, self.now_h), "strip").safe
        if not self.is_logged("turn") and np.isfinite(plan.hour("strip")):
            one = self.scenario
            piece = one.shape, one.mixture.density_kg_m3, one.mould.material
            reach = self._strong_in_air(turn.needed(*piece, one.rules.needs_MPa, one.rules.gear))
            reach = max(reach, plan.hour("strip") + 1.0)
            off = self.until(self.told.before("turn").filled(plan.entries), reach, "turn")
            out["turn"] = self._span(cases.case_of(self.scenario, off, self.now_h), "turn").safe
        return out

    def _small_moulds(self, case: Case) -> list[PlanEntry]:
        """Knock-outs as the concrete allows them, the core in the hours of the shop, if still to
        come. Finish and cover are the hand's: their windows say when, the plan what was meant."""
        out: list[PlanEntry] = []
        listed = {key for key, _ in registry.of_pour(case.setup)}
        for key in ("knock-out", "core"):
            if key not in listed or np.isfinite(self.told.hour(key)):
                continue
            when = self._span(case, key)
            hour = when.safe if np.isfinite(when.safe) else when.p50
            if key == "core":
                hour = self._soonest(hour)
            if hour >= self.now_h:  # what is too late cannot be meant; the window says what to do
                out += self._entry(key, hour, self._minute(hour))
        return out

    def _entry(self, step: str, safe_h: float, hour: float) -> list[PlanEntry]:
        """The entry of a step; none without an hour."""
        overdue = safe_h <= self.now_h
        return [PlanEntry(step, hour, overdue=overdue)] if np.isfinite(hour) else []

    def _minute(self, hour: float) -> float:
        """The same to the whole minute of the clock [h]."""
        at = self.scenario.clock(hour)
        return np.inf if at is None else self.scenario.hour(at)

    def _end_of_film(self) -> float:
        """Hour at which the last film or wet cover ends that is told with an end [h]."""
        ends = [one.until_h for one in self.scenario.coverings if one.kind in DAMP_COVERS]
        last = max(ends, default=np.inf)
        return last if last >= self.now_h and "cover" not in self.scenario.done_h else np.inf

    def is_logged(self, step: str) -> bool:
        return bool(np.isfinite(registry.first_done_h(step, self.scenario.done_h)))

    def _strong_in_air(self, need_MPa: float) -> float:
        """Hour at which nine tenths of the members had a strength if they were no warmer than the
        air [h]; infinite: not in the air that is known. So far it is enough to look."""
        prior, air_C = self.members.prior, self.members.air["air_C"][::EVERY_H]
        rate = maturity.rate(
            np.clip(air_C, -40.0, 80.0),
            activation_energy_kJ_mol=prior.activation_energy_kJ_mol,
            rise_kJ_mol_K=prior.rise_kJ_mol_K,
        )
        strong = prior.grown(EVERY_H * np.cumsum(rate, axis=0), air_C) >= need_MPa
        sure = registry.level_of("turn", self.scenario.rules.confidence)
        enough = strong.mean(axis=1) >= max(P90, sure)
        return float(EVERY_H * (np.argmax(enough) + 1)) if enough.any() else np.inf

    def until(self, plan: Plan, reach_h: float, *steps: str) -> Simulation:
        """The members under a plan, looked at no further than to the sure hours of some steps."""
        most = self.members.rows
        hours = int(np.ceil(min(max(reach_h, self.now_h + AHEAD_H), most)))
        if self.soon:
            strip_h = plan.hour("strip")
            begin_h = max(self.now_h, 0.0, strip_h if np.isfinite(strip_h) else 0.0)
            most = min(most, int(max(self.now_h, 0.0)) + WORTH_H)
            hours = min(hours, int(begin_h) + SOON_H, most)
        while hours < most:
            near = self.under(plan, hours)
            case = cases.case_of(self.scenario, near, self.now_h)
            spans = [self._span(case, step) for step in steps]
            if all(np.isfinite(max(one.safe, one.p90)) for one in spans):
                return near
            hours = min(2 * hours, most)  # the heat goes on from there
        return self.under(plan, most)

    def under(self, plan: Plan, hours: int) -> Simulation:
        """physics.under, with the film at its hour where nothing else is told of it; plans that
        differ in nothing which warms or cools share their heat."""
        plan = plan.filled(self._film())
        key = (hours, plan.covers, plan.of_place, *(plan.hour(step) for step in WARMS))
        if key not in self.known:
            self.known[key] = physics.under(self.members, plan, hours)
        return replace(self.known[key], plan=plan)

    def _film(self) -> list[PlanEntry]:
        """The film, while it is still to come and nothing else is told of the face."""
        if self.is_logged("cover") or self.is_logged("end-wet-cure"):
            return []
        hour = self.members.film_h
        return self._entry("cover", hour, hour) if hour >= self.now_h else []

    def _span(self, case: Case, step: str) -> Span:
        return windows.of_step(case, step, self.now_h)

    def _soonest(self, hour: float) -> float:
        """First quarter hour from an hour and from now on in which the shop works [h]."""
        return self._fitting(hour, lambda at: self.scenario.rules.works_at(at.time()))

    def _comfortable(self, hour: float) -> float:
        """First whole hour of the clock with two hours of the working day before it [h]."""
        works = self.scenario.rules.works_at

        def fits(at: datetime) -> bool:
            return at.minute == 0 and works(at.time()) and works((at + LEFT).time())

        return self._fitting(hour, fits)

    def _fitting(self, hour: float, fits: Callable[[datetime], bool]) -> float:
        """First quarter hour that fits at or after an hour [h]; the first at all if none does."""
        hour = max(hour, self.now_h, 0.0)
        if not np.isfinite(hour):
            return np.inf
        at = self.scenario.instant(hour)
        zone, earliest = at.tzinfo, at.astimezone(UTC)
        first = earliest.replace(minute=0, second=0, microsecond=0)
        while first < earliest:
            first += QUARTER
        for k in range(A_DAY + 1):
            if fits((first + k * QUARTER).astimezone(zone)):
                return self.scenario.hour(first + k * QUARTER)
        return self.scenario.hour(first)
