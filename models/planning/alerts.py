"""What the coming weather may do to a young piece, and until when something can still be done."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from models.concrete.section import Covering
from models.facts.air import WET_MM_H
from models.facts.protection import COVERS
from models.instants import quarter
from models.message import Message, Value
from models.planning import fumes, reasons
from models.planning.compare import Asked, compare
from models.results import Alert, FrostWatch
from models.simulation.physics import Simulation
from models.simulation.plan import SAME_H, Plan, PlanEntry
from models.simulation.scenario import Scenario
from models.steps.opening import Trajectory, level
from models.units import Array, Mask

WATCHED_H = 72  # how far ahead: within it the forecast is worth rising for, OWN_JUDGEMENT
HELPS = 0.02  # a remedy that takes less off the chance is none, OWN_JUDGEMENT
TOLD = 0.05  # a chance of frost under it is not told, OWN_JUDGEMENT
QUARTER_H = 0.25
HANDS_H = 1.0  # from the news to a cover that lies: OWN_JUDGEMENT


def foreseen(
    scenario: Scenario, simulation: Simulation, now: datetime
) -> tuple[tuple[Alert, ...], PlanEntry | None]:
    """The alerts, the worst first: a heater that burns inside, frost before frost strength, rain on
    a fresh open face, wind on a cover. And the cover that the one of frost asks for, as the program
    means it: at the hour by which it has to lie; None where none is asked for, or its maker means
    to lay it.
    """
    if scenario.done_h.get("install", np.inf) <= scenario.hour(now):
        return of_fumes(scenario, now), None  # its place is the owner's
    ahead = _Ahead(scenario, simulation, now)
    frost, cover = ahead.frost()
    found = (frost, ahead.rain(), ahead.wind())
    told = (*of_fumes(scenario, now), *(alert for alert in found if alert is not None))
    return told, None if cover is None else ahead.meant(cover)


def if_covered(scenario: Scenario, plan: Plan) -> Message | None:
    """What the windows hang on: the first cover that is meant and not told to lie; None: nothing.

    While it is not confirmed the chance of frost is told without it.
    """
    if not plan.covers:
        return None
    cover = min(plan.covers, key=lambda one: one.from_h)
    at = scenario.clock(cover.from_h)
    assert at is not None
    return Message("hours_if_covered", {"cover": fumes.cover(cover), "at": at})


def frost_watch(scenario: Scenario, simulation: Simulation, now_h: float) -> FrostWatch | None:
    """How a piece stands that is not yet sure to bear a frost; None for one that is."""
    bears_h = bears_frost_h(scenario, simulation)
    if bears_h <= now_h or simulation.counts_as_frozen(now_h):
        return None
    lowest = lowest_young_C(scenario, simulation, now_h)
    return FrostWatch(
        scenario.clock(bears_h),
        coming_frost(simulation, now_h),
        lowest if np.isfinite(lowest) else None,
        simulation.trajectory.told_frost_need_MPa(scenario.code.frost_MPa),
        young_after_watch(scenario, simulation, now_h),
    )


def bears_frost_h(scenario: Scenario, simulation: Simulation) -> float:
    """Hour from which it is sure to bear one frost [h]; infinite: not in the trajectory."""
    trajectory = simulation.trajectory
    need_MPa = trajectory.frost_need_MPa(scenario.code.frost_MPa)
    strong = trajectory.first(trajectory.strength_MPa, need_MPa)
    return trajectory.hour_by(strong, level("piece", scenario.rules.confidence))


def young_after_watch(scenario: Scenario, simulation: Simulation, now_h: float) -> Message | None:
    """That it bears no frost yet when the watched hours end, and from when on it will; None: it
    does, or no cold weather by the code is in sight. Such a piece has not frozen: nights further
    ahead are not watched yet."""
    bears_h, ends_h = bears_frost_h(scenario, simulation), max(now_h, 0.0) + WATCHED_H
    trajectory = simulation.trajectory
    ahead = (trajectory.hour >= now_h) & (trajectory.hour <= bears_h)
    lowest = trajectory.air_C[ahead].min(axis=0, initial=np.inf)
    mild = trajectory.quantile(lowest, 0.1) > scenario.code.cold_air_C
    if bears_h <= ends_h or mild:
        return None
    at = scenario.clock(bears_h)
    bears = Message("not_in_sight") if at is None else Message("at_hour", {"at": at})
    values: dict[str, Value] = {"watched_h": float(WATCHED_H), "bears": bears}
    need_MPa = trajectory.told_frost_need_MPa(scenario.code.frost_MPa)
    return Message("young_after_watch", {**values, "need_MPa": need_MPa})


def lowest_young_C(scenario: Scenario, simulation: Simulation, now_h: float) -> float:
    """Coldest corner in the watched hours while it bears no frost, at 10 % [degC]; infinite: it
    bears one. now_h : hours from placing [h]"""
    trajectory = simulation.trajectory
    rows = watched(trajectory.hour, now_h)
    return _lowest_young_C(trajectory, rows, trajectory.frost_need_MPa(scenario.code.frost_MPa))


def frost_warning(scenario: Scenario, simulation: Simulation, now_h: float) -> Message | None:
    """What is said when the piece may freeze too young, or did; None under five per cent.

    What may still come is told with what can be done by then; what may have been, with how to look.
    """
    trajectory = simulation.trajectory
    if simulation.counts_as_frozen(now_h):
        return Message("frost_froze", {"why": reasons.frozen(scenario, simulation, now_h)})
    need_MPa = trajectory.told_frost_need_MPa(scenario.code.frost_MPa)
    came = simulation.frozen_by(now_h)
    chance = simulation.frozen_by(trajectory.hour[-1]) - came
    if chance >= TOLD:
        at = max(simulation.frost_passes(came + 0.1 * chance), now_h)
        needs_MPa = trajectory.frost_need_MPa(scenario.code.frost_MPa)
        low = _lowest_young_C(trajectory, trajectory.hour >= now_h, needs_MPa)
        values = {"chance": chance, "from_at": scenario.clock(at), "lowest_C": low}
        return Message("frost_may_come", {**values, "need_MPa": need_MPa})
    if came < TOLD:
        return None
    at = simulation.frost_passes(0.5 * came)
    values = {"chance": came, "about_at": scenario.clock(at), "need_MPa": need_MPa}
    return Message("frost_may_have_come", values)


def _lowest_young_C(trajectory: Trajectory, rows: Mask, need_MPa: Array) -> float:
    """Coldest corner at some rows while it bears no frost, at 10 % [degC]; infinite: never."""
    young = np.where(trajectory.strength_MPa < need_MPa, trajectory.coldest_C, np.inf)[rows]
    return trajectory.quantile(young.min(axis=0, initial=np.inf), 0.1)


@dataclass(frozen=True)
class _Ahead:
    """A pour and the hours ahead of it that are watched."""

    scenario: Scenario
    simulation: Simulation
    now: datetime

    @property
    def now_h(self) -> float:
        return self.scenario.hour(self.now)

    @property
    def allowed(self) -> float:
        """Chance that the shop takes, 0 to 1."""
        return 1 - self.scenario.rules.confidence

    @property
    def frost_allowed(self) -> float:
        """Chance of a frost that may be run, 0 to 1: a piece that froze is lost."""
        return 1 - level("piece", self.scenario.rules.confidence)

    def frost(self) -> tuple[Alert | None, Covering | None]:
        """The alert, and the cover it asks for, from the hour on by which it has to lie."""
        chance = coming_frost(self.simulation, self.now_h)
        if chance <= self.frost_allowed or self.simulation.counts_as_frozen(self.now_h):
            return None, None
        so_far = self.simulation.frozen_by(self.now_h)
        at_h = max(self.simulation.frost_passes(so_far + self.frost_allowed), self.now_h)
        values: dict[str, Value] = {"chance": chance, "from_at": self.scenario.clock(at_h)}
        trajectory = self.simulation.trajectory
        values["need_MPa"] = trajectory.told_frost_need_MPa(self.scenario.code.frost_MPa)
        soonest = max(self.now_h + HANDS_H, 0.0)
        best, after = self._best_cover(soonest)
        if best is None or chance - after < HELPS:
            by_h = self._before(at_h)
            text = Message("alert_frost_no_cover", {**values, "by": self._by(by_h)})
            return Alert("frost", chance, *self._times(at_h, by_h), None, None, text), None
        cover = fumes.cover(best)
        values["cover"] = cover
        if after > self.frost_allowed:
            text = Message("alert_frost_cover_leaves", {**values, "after_chance": after})
            times = self._times(at_h, min(soonest, at_h))
            return Alert("frost", chance, *times, cover, after, text), self._laid(best, soonest)
        enough = min(self.frost_allowed, chance - HELPS)
        by_h, after = self._latest(best, soonest, after, at_h, enough)
        values |= {"by": self._by(by_h), "after_chance": after}
        text = Message("alert_frost_cover", values)
        alert = Alert("frost", chance, *self._times(at_h, by_h), cover, after, text)
        return alert, self._laid(best, max(self.scenario.hour(alert.act_by), soonest))

    def _laid(self, cover: Covering, from_h: float) -> Covering:
        """A cover from the first whole minute at or after an hour [h], for good."""
        at = self.scenario.clock(from_h)
        assert at is not None
        return replace(cover, from_h=self.scenario.hour(at), to_h=None)

    def meant(self, cover: Covering) -> PlanEntry | None:
        """The act of laying it; None where its maker means to lay one as warm by then."""

        def as_warm(one: Covering) -> bool:
            thick = not cover.heats and one.resistance_m2K_W >= cover.resistance_m2K_W
            return one.kind == cover.kind or one.heats or thick

        planned = [one for one in self.simulation.plan.covers if as_warm(one)]
        if any(one.from_h <= cover.from_h + SAME_H for one in planned):
            return None
        return PlanEntry("cover", cover.from_h, cover=cover)

    def rain(self) -> Alert | None:
        """Rain on a face that has not set and lies open."""
        trajectory = self.simulation.trajectory
        fresh = trajectory.te_mean_h < trajectory.final_set_h
        open_ = np.ones(len(trajectory.hour), dtype=np.bool_)
        for covering, lies in _covers(self.scenario, trajectory.hour):
            if COVERS[covering.kind].sheds_rain:
                open_ &= ~lies
        wet = fresh & open_[:, None] & (trajectory.rain_mm > WET_MM_H)
        return self._of_weather("rain", wet, Message("cover", {"cover": "film"}))

    def wind(self) -> Alert | None:
        """Wind that takes a cover which lies on the piece."""
        trajectory = self.simulation.trajectory
        bears_m_s = np.full(len(trajectory.hour), np.inf)  # of the weakest that lies there
        for covering, lies in _covers(self.scenario, trajectory.hour):
            bears_m_s[lies] = np.minimum(bears_m_s[lies], COVERS[covering.kind].wind_m_s)
        gone = trajectory.wind_m_s > bears_m_s[:, None]
        return self._of_weather("wind", gone, Message("weights"), bears_m_s)

    def _of_weather(
        self, kind: str, bad: Mask, remedy: Message, bears_m_s: Array | None = None
    ) -> Alert | None:
        """What happens at some of the rows, (rows, members); bears_m_s : (rows,) told with it."""
        hours = self.simulation.trajectory.hour
        coming = bad & watched(hours, self.now_h)[:, None]
        first_h = np.where(coming.any(axis=0), hours[np.argmax(coming, axis=0)], np.inf)
        chance = _chance(self.simulation, first_h, self.now_h)
        if chance <= self.allowed:
            return None
        at_h, values = self._begins(first_h, chance)
        by_h = self._before(at_h)
        values["by"] = self._by(by_h)
        if bears_m_s is not None:
            values["bears_m_s"] = float(bears_m_s[int(at_h)])
        text = Message(f"alert_{kind}", values)
        return Alert(kind, chance, *self._times(at_h, by_h), remedy, None, text)

    def _begins(self, at_h: Array, chance: float) -> tuple[float, dict[str, Value]]:
        """The hour at which the chance passes what is allowed; what every alert tells."""
        coming = np.where(at_h >= max(self.now_h, 0.0), at_h, np.inf)
        order = np.argsort(coming)
        passed = np.cumsum(self.simulation.trajectory.weight[order]) > self.allowed
        begins_h = float(coming[order][np.argmax(passed)])
        return begins_h, {"chance": chance, "from_at": self.scenario.clock(begins_h)}

    def _best_cover(self, from_h: float) -> tuple[Covering | None, float]:
        """The cover that leaves the least chance from an hour on, in whole percent; of equals the
        cheapest.
        """
        at = np.array([from_h])
        lying = {(g.kind, g.R_m2K_W) for g, lies in _covers(self.scenario, at) if lies[0]}
        owned = [
            covering
            for covering in fumes.proposed(self.scenario.resolved().covers)
            if (covering.kind, covering.R_m2K_W) not in lying
        ]
        best: tuple[Covering | None, float] = (None, np.inf)
        cheap_first = sorted(owned, key=lambda covering: COVERS[covering.kind].effort)
        risks = self._risks((covering, from_h) for covering in cheap_first)
        for covering, risk in zip(cheap_first, risks, strict=False):
            if round(risk, 2) < round(best[1], 2):
                best = covering, risk
            if round(risk, 2) == 0:
                break
        return best

    def _risks(self, covers: Iterable[tuple[Covering, float]]) -> Iterator[float]:
        """Chance of freezing in the watched hours, with one more cover each from an hour on."""
        ways = (
            (PlanEntry("cover", from_h, cover=replace(one, from_h=from_h, to_h=None)),)
            for one, from_h in covers
        )
        asked = Asked(frost_by_h=max(self.now_h, 0.0) + WATCHED_H)
        table = compare(self.scenario, self.simulation, ways, self.now_h, asked)
        return (row.frost for row in table)

    def _risk(self, covering: Covering, from_h: float) -> float:
        return next(self._risks([(covering, from_h)]))

    def _latest(
        self, covering: Covering, soonest: float, left: float, at_h: float, allowed: float
    ) -> tuple[float, float]:
        """Last quarter of an hour at which the cover leaves no more than is allowed, and its risk.

        soonest and left : the first such hour that is tried, and its risk. Found by false position,
        since the chance grows smoothly with the delay.
        """
        first = self.scenario.hour(quarter(self.scenario.instant(soonest)))
        enough, late = 0, int(max(np.floor((at_h - first) / QUARTER_H), 0.0))
        over = self._risk(covering, first + late * QUARTER_H) if late else left
        if over <= allowed:
            return max(soonest, first + late * QUARTER_H), over
        low, high = left, over  # an end that stays counts half, so that the other moves
        while late - enough > 1:
            part = (allowed - low) / max(high - low, 1e-9)
            tried = int(np.clip(round(enough + part * (late - enough)), enough + 1, late - 1))
            risk = self._risk(covering, first + tried * QUARTER_H)
            if risk <= allowed:
                enough, left, low = tried, risk, risk
                high = allowed + 0.5 * (high - allowed)
            else:
                late, high = tried, risk
                low = allowed + 0.5 * (low - allowed)
        return max(soonest, first + enough * QUARTER_H), left

    def _before(self, at_h: float) -> float:
        """The time that hands need before it comes, not before now."""
        return max(at_h - HANDS_H, self.now_h)

    def _by(self, hour: float) -> Message:
        """Until when; at once where that has passed."""
        at = quarter(self.scenario.instant(hour))
        return Message("act_by", {"at": at}) if at > self.now else Message("act_at_once")

    def _times(self, at_h: float, by_h: float) -> tuple[datetime, datetime]:
        """When it comes, and until when something can be done, not before now."""
        at = self.scenario.instant(at_h).replace(second=0, microsecond=0)
        by = quarter(self.scenario.instant(by_h))
        return at, max(by, min(self.now.astimezone(at.tzinfo), at))


def _covers(scenario: Scenario, hours: Array) -> list[tuple[Covering, Mask]]:
    """Every cover with the hours at which it lies, (rows,); the film of the damp cure is one."""
    done = scenario.done_h
    off_h = done.get("uncover", np.inf)
    film = (
        Covering(0.0, None, "film"),
        done.get("cover", np.inf),
        done.get("end-wet-cure", np.inf),
    )
    covers = [*((g, g.from_h, min(g.until_h, off_h)) for g in scenario.coverings), film]
    return [(covering, (hours >= on_h) & (hours < end_h)) for covering, on_h, end_h in covers]


def watched(hours: Array, now_h: float) -> Mask:
    """The watched hours, (rows,)."""
    coming: Mask = (hours >= max(now_h, 0.0)) & (hours <= max(now_h, 0.0) + WATCHED_H)
    return coming


def coming_frost(simulation: Simulation, now_h: float) -> float:
    """Chance that ice harms it in the watched hours, 0 to 1."""
    until_h = max(now_h, 0.0) + WATCHED_H
    return simulation.frozen_by(until_h) - simulation.frozen_by(now_h)


def _chance(simulation: Simulation, at_h: Array, now_h: float) -> float:
    """Chance that it comes in the watched hours, 0 to 1."""
    return float(simulation.trajectory.weight[watched(at_h, now_h)].sum())


def of_fumes(scenario: Scenario, now: datetime) -> tuple[Alert, ...]:
    """A heater that burns into the closed place in which the piece stands: people first."""
    at_h = fumes.from_h(scenario, scenario.hour(now))
    if not np.isfinite(at_h):
        return ()
    at = scenario.instant(at_h).replace(second=0, microsecond=0)
    act_by = max(quarter(at), min(now.astimezone(at.tzinfo), at))
    return (Alert("fumes", 1.0, at, act_by, Message("heat_electric"), None, fumes.FUMES),)
