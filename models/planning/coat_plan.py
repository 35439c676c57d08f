"""The coats left to do as one plan on the clock: hours, what must hold, litres, and why not sooner.

A maker needs one clock plan, so members are counted against one, not each given its own.

Where a recoat window ends, coats are a chain: the sure plan holds as a whole in the shop's
fraction of the members. Where there is none, the likely one is told: the first day on which the
forecast as it stands allows the whole chain, at the hour of that day that most members hold.

Where no window ends, a late coat costs nothing: each coat is sure by itself, once the one under it
has dried, and the coats that are not yet sure follow as the forecast stands. The fraction in which
all of them hold is told beside it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from models.message import Message, Sentence
from models.planning import coat_reasons
from models.planning.coat_litres import Planned, with_litres, without_hours
from models.planning.coat_reasons import Stand
from models.quantile import quantile
from models.results import CoatPlan, Need
from models.simulation.physics import Simulation
from models.simulation.scenario import Scenario
from models.steps import coats, seal
from models.steps.opening import NO_HOUR, Span, StepOpening, Trajectory, run_about
from models.steps.seal import ROUNDING
from models.units import Array, Mask

STEP_H = 0.5  # a maker begins on the half hour
BEFORE_NOW_H = 24.0
TELLS_APART = 0.02  # of a chance, by 256 members or fewer


@dataclass(frozen=True)
class Before:
    """The coat that lies on the piece already: its number, hour, and the window for the next."""

    number: int
    at_h: float
    ready_h: Array  # (members,)
    last_h: float  # infinite: no end


@dataclass(frozen=True)
class Coated:
    """The plan, every coat's opening and span, and the hours of the last coat [h]."""

    plan: CoatPlan
    openings: list[tuple[StepOpening, Span]]
    likely_h: float
    safe_h: float


def coated(
    scenario: Scenario,
    simulation: Simulation,
    done: Mapping[str, float],
    ready_h: Array,
    face_dry: Mask,
    now_h: float,
    why_ready: Sentence,
) -> Coated:
    """Everything that is to be said about the coats of a piece at an instant.

    ready_h : (members,) [h] from which the piece is dry, old and whole enough
    face_dry : (rows, members) whether its face has met the air for long enough since it was wet
    """
    trajectory = simulation.trajectory
    at = scenario.sheet
    before = _before(trajectory, at, done)
    left = range(before.number + 1 if before else 1, at.coats + 1)
    if not left:
        openings = [(_opening(trajectory, k, at), NO_HOUR) for k in range(1, at.coats + 1)]
        last = done.get(f"coat-{at.coats}", np.inf)
        return Coated(without_hours(scenario, None), openings, last, last)
    search = _Search(scenario, simulation, at, before, left, ready_h, face_dry, now_h, why_ready)
    return search.answer()


def _before(trajectory: Trajectory, at: seal.Sheet, done: Mapping[str, float]) -> Before | None:
    """The highest coat that is marked done; lower ones lie under it."""
    made = [k for k in range(1, at.coats + 1) if f"coat-{k}" in done]
    if not made:
        return None
    number = max(made)
    at_h = done[f"coat-{number}"]
    hour = np.arange(max(at_h, 0.0), trajectory.hour[-1], STEP_H)[: int(21 * 24 / STEP_H)]
    if len(hour) < 2:
        return Before(number, at_h, np.full(trajectory.members, np.inf), np.inf)
    local = seal.local_conditions(trajectory, hour)
    wait = seal.hours_until(seal.drying_rate(local, at), STEP_H, at.recoat_min_h)[0]
    limit = seal.latest_recoat_h(local.face_C[0], at)
    return Before(number, at_h, at_h + wait, at_h + trajectory.quantile(limit, 0.1))


@dataclass
class _Search:
    """One search for a plan: the grid of half hours, its hours, and what is said about them."""

    scenario: Scenario
    simulation: Simulation
    at: seal.Sheet
    before: Before | None
    left: range
    ready_h: Array
    face_dry: Mask
    now_h: float
    why_ready: Sentence

    def __post_init__(self) -> None:
        self.trajectory, self.confidence = (
            self.simulation.trajectory,
            self.scenario.rules.confidence,
        )
        self.hour = _grid(self.scenario, self.trajectory, self.now_h)
        self.hand = _in_hours(self.scenario, self.hour)
        self.abrade = self.before is not None and self.now_h > self.before.last_h
        self.linked = self.at.recoat_max_h is not None  # a coat too late breaks the chain

    def answer(self) -> Coated:
        if len(self.hour) < 2:
            return self._coated([], [], (coat_reasons.NO_FORECAST,))
        local = seal.local_conditions(self.trajectory, self.hour)
        ready_h = self.before.ready_h if self.before else self.ready_h
        ready = (self.hour[:, None] >= ready_h) & self.face_dry[self.hour.astype(int)]
        self.hours = coats.hours_of(local, self.at, ready, self.hand, self.trajectory.weight)
        self.middle = coats.as_forecast(self.hours)
        self.now_row = max(int(np.searchsorted(self.hour, self.now_h + 1e-6, side="right")) - 1, 0)
        plan, likely = self._plans()
        if not plan and self.before and not self.abrade and np.isfinite(self.before.last_h):
            self.abrade = True  # no hour up to the end of the recoat window holds
            plan, likely = self._plans()
        day = coat_reasons.Day(
            self.scenario, self.at, local, self.hours, self.middle, self.left, self.now_row, ready_h
        )
        return self._coated(plan, likely, day.says(plan))

    def _plans(self) -> tuple[list[Stand], list[Stand]]:
        """The plan, sure as far as it can be; and what is likely for each of its coats."""
        safe = self._walk(self.hours, self.confidence, [])
        likely = self._walk(self.middle, 1.0, [], best=self.linked and not safe)
        if not safe:
            return likely, likely
        plan = safe + (self._walk(self.middle, 1.0, safe) if len(safe) < len(self.left) else [])
        return plan, likely

    def _walk(
        self,
        hours: coats.Hours,
        fraction: float,
        done: list[Stand],
        *,
        best: bool = False,
    ) -> list[Stand]:
        """Coats one after the other, each at its first hour; `done` are those before them."""
        hold, rain = self.at.hold_h, self.at.rain_free_h
        out: list[Stand] = []
        rows = [one.row for one in done]
        inside = np.ones_like(hours.begin)
        if self.before and not self.abrade:
            inside &= (self.hour <= self.before.last_h + ROUNDING)[:, None]
        if rows:  # only coats without an end go on after others
            inside = coats.dried_since(hours, rows[-1])
        alive: Mask = np.ones(len(hours.weight), dtype=np.bool_)
        while len(rows) < len(self.left):
            together = len(self.left) - len(rows) if self.linked else 1
            chain = coats.chains(hours, together, hold, rain, fraction, inside)
            may = chain.whole & self.hand
            may[: self.now_row] = False
            if not may.any():
                break
            row = int(np.argmax(may))
            if best and not rows:
                row = self._best_of_its_day(chain, may, row)
            chance = coats.joint(self.hours, (*rows, row), 0.0, 0.0)
            if self.linked:
                chance = out[0].chance if out else self._joint(chain, row)
            out.append(Stand(row, *_run(chain.whole, self.hand, row), chance, hours is self.hours))
            rows.append(row)
            if self.linked:
                alive = alive & inside[row] & hours.begin[row]
                inside = coats.holding_after(hours, row, hold, rain, alive)
            else:
                inside = coats.dried_since(hours, row)
        return out if not self.linked or len(rows) == len(self.left) else []

    def _best_of_its_day(self, chain: coats.Chain, may: Mask, first: int) -> int:
        """The hour of that day at which the whole chain holds in the most members; of hours that
        differ by less than the members can tell, the last, which is the drier."""
        day = self.scenario.instant(self.hour[first]).date()
        end = min(first + int(24 / STEP_H), len(self.hour))
        rows = [
            row
            for row in range(first, end)
            if may[row] and self.scenario.instant(self.hour[row]).date() == day
        ]
        joint = {row: self._joint(chain, row) for row in rows}
        return max(row for row in rows if joint[row] >= max(joint.values()) - TELLS_APART)

    def _joint(self, chain: coats.Chain, row: int) -> float:
        """Fraction of the members in which the whole chain from a row holds."""
        rows = tuple(int(one) for one in chain.rows[row])
        return coats.joint(self.hours, rows, self.at.hold_h, self.at.rain_free_h)

    def _window(self, k: int, plan: list[Stand]) -> tuple[float, float, float]:
        """Hours of the coat under coat k, and both ends of its recoat window [h]."""
        fraction = self.confidence if plan[k].safe else 0.5
        if k == 0:
            if self.before is None:
                return np.nan, np.nan, np.inf
            ready = self.trajectory.quantile(self.before.ready_h, fraction)
            return self.before.at_h, ready, np.inf if self.abrade else self.before.last_h
        row = plan[k - 1].row
        wait = quantile(self.hours.wait_h[row], self.hours.weight, fraction)
        limit = quantile(self.hours.limit_h[row], self.hours.weight, 1 - fraction)
        under = float(self.hour[row])
        return under, under + wait, under + limit

    def _until(self, k: int, plan: list[Stand]) -> float:
        """Last hour of a coat: the air's, and the end of its recoat window; infinite: none seen."""
        ends = plan[k].ends
        air = np.inf if ends >= len(self.hour) - 1 else float(self.hour[ends])
        return min(air, self._window(k, plan)[2])

    def _why(self, k: int, plan: list[Stand]) -> Sentence:
        if k == 0 and self.before is None:
            return ()
        if k == 0 and self.before is not None and self.abrade:
            return (coat_reasons.too_late(self.scenario, self.before.last_h, self.now_h),)
        return (coat_reasons.between(self.scenario, *self._window(k, plan)),)

    def _coated(self, plan: list[Stand], likely: list[Stand], says: Sentence) -> Coated:
        out = [(_opening(self.trajectory, k, self.at), NO_HOUR) for k in range(1, self.left[0])]
        rows: dict[int, Planned] = {}
        for k, number in enumerate(self.left):
            placed = k < len(plan)
            note = self._why(k, plan) if placed else ()
            note += self.why_ready if k == 0 and self.before is None else ()
            note += says[:1] if k == 0 and not placed else ()
            note += (coat_reasons.limits(self.at, number == self.at.coats),) if placed else ()
            last_h = self.before.last_h if k == 0 and self.before and not self.abrade else np.inf
            span, never = NO_HOUR, coat_reasons.NONE_PLANNED
            if placed:
                span = self._span(k, plan, likely)
                never = coat_reasons.too_unlikely(self.confidence, plan[k].chance)
                at_h, why = float(self.hour[plan[k].row]), self._why(k, plan)
                rows[number] = Planned(at_h, span.latest, plan[k].chance, why)
            opening = replace(
                _opening(self.trajectory, number, self.at),
                note=note,
                after=f"coat-{number - 1}" if number > 1 else "strip",
                chance=self._hourly() if k == 0 else None,
                last_h=last_h if np.isfinite(last_h) else None,
                waits_for="" if k <= len(plan) else f"coat-{number - 1}",
                never=never,
            )
            out.append((opening, span))
        whole = bool(plan) and len(plan) == len(self.left)
        chance = plan[-1].chance if plan else 0.0
        dated = whole and all(one.safe for one in plan)
        safe = dated and chance >= self.confidence - ROUNDING
        with_l = with_litres(self.scenario, self.at, rows, chance, safe, says)
        likely_h = float(self.hour[likely[-1].row]) if len(likely) == len(self.left) else np.inf
        safe_h = float(self.hour[plan[-1].row]) if dated else np.inf
        return Coated(with_l, out, min(likely_h, safe_h), safe_h)

    def _span(self, k: int, plan: list[Stand], likely: list[Stand]) -> Span:
        stand = plan[k]
        p90 = float(self.hour[stand.begins if k == 0 else stand.row]) if stand.safe else np.inf
        p50 = float(self.hour[likely[k].row if stand.safe and k < len(likely) else stand.row])
        until = self._until(k, plan)
        return Span(min(p50, p90), p90, until, until)

    def _hourly(self) -> Array:
        """Fraction of the members in which one coat holds, on the rows of the trajectory."""
        out = np.zeros(len(self.trajectory.hour))
        if len(self.hour) >= 2:
            np.maximum.at(out, np.floor(self.hour).astype(int), coats.alone(self.hours))
        return out


def _in_hours(scenario: Scenario, hour: Array) -> Mask:
    """Which hours from placing lie in the maker's working hours, (hours,)."""
    begin, end = scenario.rules.working_hours
    clocks = [scenario.instant(one).time() for one in hour]
    if begin < end:
        return np.array([begin <= one < end for one in clocks])
    return np.array([one >= begin or one < end for one in clocks])


def _grid(scenario: Scenario, trajectory: Trajectory, now_h: float) -> Array:
    """Half hours of the wall clock from a day before now to the end of the forecast [h]."""
    minute = (scenario.placement.at.minute % 30) / 60 + scenario.placement.at.second / 3600
    first = max(0.0, now_h - BEFORE_NOW_H)
    begin = np.ceil((first + minute) / STEP_H) * STEP_H - minute
    end = float(trajectory.forecast_rows - 1)
    if end < max(now_h, begin):
        return np.empty(0)
    return np.arange(begin, end + 1e-9, STEP_H)


def _run(whole: Mask, hand: Mask, row: int) -> tuple[int, int]:
    """First and last row of the hours about `row` without a break; begun in the maker's hours."""
    return run_about(whole & hand, row)[0], run_about(whole, row)[1]


def _opening(trajectory: Trajectory, number: int, at: seal.Sheet) -> StepOpening:
    return StepOpening(
        f"coat-{number}",
        Need(Message("surface_over_dew_point"), at.dew_margin_K, "K"),
        np.full(trajectory.members, np.inf),
        (*at.chemistry.sources, "ISO_8502_4"),
        coat_reasons.CAUTIONS,
        shown=trajectory.top_C - trajectory.dew_point_C,
        missed=coat_reasons.MISSED,
    )
