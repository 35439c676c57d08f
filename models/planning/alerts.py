"""What the coming weather may do to a young piece, and until when something can still be done."""

from dataclasses import replace
from datetime import datetime

import numpy as np

from models.air.series import AirSeries
from models.concrete.section import Guard
from models.errors import Unknown
from models.facts.protection import COVERS, FROST_MPA
from models.message import Message, Value
from models.planning import fumes
from models.planning.ways import OWNED_BY_DEFAULT
from models.results import Alert, FrostWatch
from models.simulation.clock import clock
from models.simulation.physics import Simulation, simulate
from models.simulation.scenario import Scenario
from models.steps.place import LATE_RAIN_MM
from models.units import Array, Mask

WATCHED_H = 72  # how far ahead: within it the forecast is worth rising for, OWN_JUDGEMENT
HELPS = 0.05  # a remedy that takes less off the chance is none, OWN_JUDGEMENT
HANDS_H = 1.0  # from the news to a cover that lies: OWN_JUDGEMENT


def alerts(
    scenario: Scenario, simulation: Simulation, air: AirSeries, now: datetime
) -> tuple[Alert, ...]:
    """A heater that burns inside, frost before frost strength, rain on a fresh open face, wind on a
    cover; the worst first.
    """
    now_h = scenario.hour(now)
    found = (
        _fumes(scenario, now, now_h),
        _frost(scenario, simulation, air, now, now_h),
        _rain(scenario, simulation, now, now_h),
        _wind(scenario, simulation, now, now_h),
    )
    return tuple(alert for alert in found if alert is not None)


def without_weather(scenario: Scenario, now: datetime) -> tuple[Alert, ...]:
    """What is told though nothing is known of the weather."""
    burning = _fumes(scenario, now, scenario.hour(now))
    return () if burning is None else (burning,)


def frost_watch(scenario: Scenario, simulation: Simulation, now_h: float) -> FrostWatch | None:
    """How a piece stands that is not yet sure to bear a frost; None for one that is."""
    trajectory = simulation.trajectory
    bears_h = trajectory.quantile(
        trajectory.first(trajectory.strength_MPa, FROST_MPA),
        scenario.rules.confidence,
    )
    if bears_h <= now_h or simulation.counts_as_frozen(now_h):
        return None
    ahead = _ahead(trajectory.hour, now_h)
    young = np.where(trajectory.strength_MPa < FROST_MPA, trajectory.coldest_C, np.inf)[ahead]
    lowest = trajectory.quantile(young.min(axis=0), 0.1) if len(young) else np.inf
    return FrostWatch(
        clock(scenario, bears_h),
        _chance(simulation, trajectory.frozen_h, now_h),
        float(lowest) if np.isfinite(lowest) else None,
    )


def _frost(
    scenario: Scenario, simulation: Simulation, air: AirSeries, now: datetime, now_h: float
) -> Alert | None:
    trajectory = simulation.trajectory
    chance = _chance(simulation, trajectory.frozen_h, now_h)
    allowed = 1 - scenario.rules.confidence
    if chance <= allowed or simulation.counts_as_frozen(now_h):
        return None
    at_h = _onset(simulation, trajectory.frozen_h, now_h, allowed)
    soonest = max(now_h + HANDS_H, 0.0)
    best, after = _best_cover(scenario, air, now, soonest, now_h)
    told: dict[str, Value] = {
        "chance": chance,
        "need_MPa": FROST_MPA,
        "from_at": clock(scenario, at_h),
    }
    if best is None or chance - after < HELPS:
        by = _before(at_h, now_h)
        text = Message("alert_frost_no_cover", {**told, "by": _by(scenario, by, now)})
        return _alert(scenario, now, "frost", chance, at_h, by, None, None, text)
    cover = fumes.cover(best)
    if after > allowed:
        text = Message("alert_frost_cover_leaves", {**told, "cover": cover, "after_chance": after})
        by = min(soonest, at_h)
        return _alert(scenario, now, "frost", chance, at_h, by, cover, after, text)
    enough = min(allowed, chance - HELPS)
    by, after = _latest(scenario, air, now, best, (soonest, after), at_h, now_h, enough)
    told |= {"cover": cover, "by": _by(scenario, by, now), "after_chance": after}
    text = Message("alert_frost_cover", told)
    return _alert(scenario, now, "frost", chance, at_h, by, cover, after, text)


def _best_cover(
    scenario: Scenario, air: AirSeries, now: datetime, from_h: float, now_h: float
) -> tuple[Guard | None, float]:
    """The cover that leaves the least chance from an hour on, in whole percent; of equals the
    cheapest.
    """
    lying = {(guard.kind, guard.R_m2K_W) for guard in _lying(scenario, from_h)}
    owned = [
        g
        for g in fumes.proposed(scenario.rules.owned or OWNED_BY_DEFAULT)
        if (g.kind, g.R_m2K_W) not in lying
    ]
    best: tuple[Guard | None, float] = (None, np.inf)
    for guard in sorted(owned, key=lambda guard: COVERS[guard.kind].effort):
        risk = _risk(scenario, air, now, guard, from_h, now_h)
        if round(risk, 2) < round(best[1], 2):
            best = guard, risk
        if round(risk, 2) == 0:
            break
    return best


def _risk(
    scenario: Scenario, air: AirSeries, now: datetime, guard: Guard, from_h: float, now_h: float
) -> float:
    """Chance of freezing in the watched hours with one more cover from an hour on."""
    covered = replace(guard, from_h=from_h, to_h=None)
    changed = replace(scenario, guards=(*scenario.guards, covered))
    simulation = simulate(changed, air, now, int(np.ceil(max(now_h, 0.0) + WATCHED_H)))
    if isinstance(simulation, Unknown):
        return 1.0
    return _chance(simulation, simulation.trajectory.frozen_h, now_h)


def _latest(
    scenario: Scenario,
    air: AirSeries,
    now: datetime,
    guard: Guard,
    soonest: tuple[float, float],
    at_h: float,
    now_h: float,
    allowed: float,
) -> tuple[float, float]:
    """Last hour at which the cover leaves no more than is allowed, halving to within an hour, and
    its risk.
    """
    (enough, left), late = soonest, max(at_h, soonest[0])
    while late - enough > 1.0:
        middle = 0.5 * (enough + late)
        told_h = scenario.hour(_act_by(scenario, middle))
        risk = _risk(scenario, air, now, guard, max(told_h, soonest[0]), now_h)
        if risk <= allowed:
            enough, left = middle, risk
        else:
            late = middle
    return enough, left


def _rain(scenario: Scenario, simulation: Simulation, now: datetime, now_h: float) -> Alert | None:
    """Rain on a face that has not set and lies open."""
    trajectory = simulation.trajectory
    fresh = (trajectory.te_mean_h < trajectory.final_set_h) & ~_sheltered(
        scenario, trajectory.hour
    )[:, None]
    wet_h = _first(trajectory.hour, fresh & (trajectory.rain_mm > LATE_RAIN_MM), now_h)
    chance = _chance(simulation, wet_h, now_h)
    allowed = 1 - scenario.rules.confidence
    if chance <= allowed:
        return None
    at_h = _onset(simulation, wet_h, now_h, allowed)
    by = _before(at_h, now_h)
    told: dict[str, Value] = {
        "chance": chance,
        "from_at": clock(scenario, at_h),
        "by": _by(scenario, by, now),
    }
    text = Message("alert_rain", told)
    film = Message("cover", {"cover": "film"})
    return _alert(scenario, now, "rain", chance, at_h, by, film, None, text)


def _wind(scenario: Scenario, simulation: Simulation, now: datetime, now_h: float) -> Alert | None:
    """Wind that takes a cover which lies on the piece."""
    trajectory = simulation.trajectory
    limit = _holds_m_s(scenario, trajectory.hour)
    gone_h = _first(trajectory.hour, trajectory.wind_m_s > limit[:, None], now_h)
    chance = _chance(simulation, gone_h, now_h)
    allowed = 1 - scenario.rules.confidence
    if chance <= allowed:
        return None
    at_h = _onset(simulation, gone_h, now_h, allowed)
    by = _before(at_h, now_h)
    told: dict[str, Value] = {
        "chance": chance,
        "from_at": clock(scenario, at_h),
        "by": _by(scenario, by, now),
    }
    text = Message("alert_wind", {**told, "bears_m_s": float(limit[int(at_h)])})
    return _alert(scenario, now, "wind", chance, at_h, by, Message("weights"), None, text)


def _lying(scenario: Scenario, hour: float) -> list[Guard]:
    """Covers that lie on the piece at an hour from placing."""
    return [guard for guard, from_h, to_h in _covers(scenario) if from_h <= hour < to_h]


def _covers(scenario: Scenario) -> list[tuple[Guard, float, float]]:
    """Every cover with its hours from placing; the film of the damp cure is one."""
    done = scenario.done_h
    off_h = done.get("uncover", np.inf)
    film = (Guard(0.0, None, "film"), done.get("cover", np.inf), done.get("end-wet-cure", np.inf))
    return [
        *((g, g.from_h, min(g.until_h, off_h)) for g in scenario.guards),
        film,
    ]


def _sheltered(scenario: Scenario, hours: Array) -> Mask:
    """Hours at which a cover keeps rain off the face, (rows,)."""
    dry = np.zeros(len(hours), dtype=bool)
    for guard, from_h, to_h in _covers(scenario):
        if COVERS[guard.kind].sheds_rain:
            dry |= (hours >= from_h) & (hours < to_h)
    return dry


def _holds_m_s(scenario: Scenario, hours: Array) -> Array:
    """Wind at the piece that the weakest cover there bears [m/s], (rows,); infinite: none lies."""
    holds = np.full(len(hours), np.inf)
    for guard, from_h, to_h in _covers(scenario):
        lies = (hours >= from_h) & (hours < to_h)
        holds = np.where(lies, np.minimum(holds, COVERS[guard.kind].wind_m_s), holds)
    return holds


def _ahead(hours: Array, now_h: float) -> Mask:
    """The watched hours, (rows,)."""
    coming: Mask = (hours >= max(now_h, 0.0)) & (hours <= max(now_h, 0.0) + WATCHED_H)
    return coming


def _first(hours: Array, bad: Mask, now_h: float) -> Array:
    """First coming hour at which it is bad for each member, (members,); infinite: never."""
    coming = bad & _ahead(hours, now_h)[:, None]
    return np.where(coming.any(axis=0), hours[np.argmax(coming, axis=0)], np.inf)


def _chance(simulation: Simulation, at_h: Array, now_h: float) -> float:
    """Chance that it comes in the watched hours, 0 to 1."""
    begin = max(now_h, 0.0)
    return float(simulation.trajectory.weight[(at_h >= begin) & (at_h <= begin + WATCHED_H)].sum())


def _onset(simulation: Simulation, at_h: Array, now_h: float, allowed: float) -> float:
    """The hour at which the chance passes what is allowed."""
    coming = np.where(at_h >= max(now_h, 0.0), at_h, np.inf)
    order = np.argsort(coming)
    passed = np.cumsum(simulation.trajectory.weight[order]) > allowed
    return float(coming[order][np.argmax(passed)])


def _before(at_h: float, now_h: float) -> float:
    """The time that hands need before it comes, not before now."""
    return max(at_h - HANDS_H, now_h)


def _act_by(scenario: Scenario, hour: float) -> datetime:
    """A deadline as people keep it: the quarter of an hour before."""
    at = clock(scenario, hour, closes=True)
    assert at is not None
    return at.replace(minute=at.minute - at.minute % 15)


def _by(scenario: Scenario, hour: float, now: datetime) -> Message:
    """Until when; at once where that has passed."""
    at = _act_by(scenario, hour)
    return Message("act_by", {"at": at}) if at > now else Message("act_at_once")


def _alert(
    scenario: Scenario,
    now: datetime,
    kind: str,
    chance: float,
    at_h: float,
    by_h: float,
    remedy: Message | None,
    after: float | None,
    text: Message,
) -> Alert:
    at = clock(scenario, at_h, closes=True)
    assert at is not None
    by = max(_act_by(scenario, by_h), min(now.astimezone(at.tzinfo), at))
    return Alert(kind, chance, at, by, remedy, after, text)


def _fumes(scenario: Scenario, now: datetime, now_h: float) -> Alert | None:
    """A heater that burns into the closed place in which the piece stands: people first."""
    at_h = fumes.from_h(scenario, now_h)
    if not np.isfinite(at_h):
        return None
    heat = Message("heat_electric")
    return _alert(scenario, now, "fumes", 1.0, at_h, at_h, heat, None, fumes.FUMES)
