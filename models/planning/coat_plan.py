"""The coats left to do as one plan on the clock: hours, what must hold, litres, and why not sooner.

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

from models.coating.finish import Product
from models.facts.sealers import Sheet
from models.message import Message, Sentence
from models.planning import coat_litres, coat_reasons
from models.planning.coat_reasons import CoatRow, Outlook
from models.quantile import quantile
from models.results import CoatPlan, Need
from models.simulation.scenario import Scenario
from models.steps import coats, registry, seal
from models.steps.opening import NO_HOUR, P90, Span, StepOpening, Trajectory, run_about
from models.steps.seal import ROUNDING
from models.units import Array, Mask

STEP_H = 0.5  # a maker begins on the half hour
BEFORE_NOW_H = 24.0
CHANCE_RESOLUTION = 0.02  # of a chance, by 256 members or fewer


@dataclass(frozen=True)
class Before:
    """The coat that lies on the piece already: its number, hour, and the window for the next."""

    number: int
    at_h: float
    ready_h: Array  # (members,)
    last_h: float  # infinite: no end


@dataclass(frozen=True)
class Coated:
    """The plan, every coat's opening and span, and the hours of the last coat [h].

    product : the last; holds : (members,) in which all that is planned holds
    under : likely and safe hour of the last coat of each product beneath it [h]
    """

    plan: CoatPlan
    openings: list[tuple[StepOpening, Span]]
    likely_h: float
    safe_h: float
    product: Product
    holds: Mask
    under: tuple[tuple[float, float, Product], ...] = ()

    @property
    def last_h(self) -> float:
        """Hour of its last coat, sure where it can be [h]; infinite: it is not planned."""
        return self.safe_h if np.isfinite(self.safe_h) else self.likely_h


def coated(
    scenario: Scenario,
    trajectory: Trajectory,
    ready_h: Array,
    face_dry: Mask,
    now_h: float,
    why_ready: Sentence,
    product: Product | None = None,
    alive: Mask | None = None,
) -> Coated:
    """Everything that is to be said about the coats of a piece at an instant, of one product.

    ready_h : (members,) [h] from which the piece is dry, old and whole enough
    face_dry : (rows, members) whether its face has met the air for long enough since it was wet
    product : None: the first; alive : (members,) in which what lies under it holds
    """
    product, done = product or scenario.resolved().finish[0], scenario.done_h
    alive = np.ones(trajectory.members, dtype=np.bool_) if alive is None else alive
    before = _before(trajectory, product, done)
    left = range(before.number + 1 if before else product.numbers.start, product.numbers.stop)
    over_h = _covered_h(scenario, product)
    if not left or over_h is not None:
        openings = [(opening_of(trajectory, k, product.sheet), NO_HOUR) for k in product.numbers]
        last_h = done.get(f"coat-{product.numbers.stop - 1}", np.inf if over_h is None else over_h)
        plan = coat_litres.with_litres(scenario, (), product=product)
        return Coated(plan, openings, last_h, last_h, product, alive)
    search = _Search(scenario, trajectory, product, before, left, now_h, alive)
    rows, likely, says = search.found(ready_h, face_dry)
    return search.coated(rows, likely, says, () if before else why_ready)


def _covered_h(scenario: Scenario, product: Product) -> float | None:
    """Hour of the first coat that was done of a product over this one [h]; None: there is none."""
    end = scenario.resolved().finish[-1].numbers.stop
    later = range(product.numbers.stop, end)
    return min(
        (scenario.done_h[f"coat-{k}"] for k in later if f"coat-{k}" in scenario.done_h),
        default=None,
    )


def _before(trajectory: Trajectory, product: Product, done: Mapping[str, float]) -> Before | None:
    """The highest coat of it that is marked done; lower ones lie under it."""
    sheet = product.sheet
    made = [k for k in product.numbers if f"coat-{k}" in done]
    if not made:
        return None
    number = max(made)
    at_h = done[f"coat-{number}"]
    hour = np.arange(max(at_h, 0.0), trajectory.hour[-1], STEP_H)[: int(21 * 24 / STEP_H)]
    if len(hour) < 2:
        return Before(number, at_h, np.full(trajectory.members, np.inf), np.inf)
    local = seal.local_conditions(trajectory, hour)
    wait = seal.hours_until(seal.drying_rate(local, sheet), STEP_H, sheet.recoat_min_h)[0]
    limit = seal.latest_recoat_h(local.sunlit_C[0], sheet)
    return Before(number, at_h, at_h + wait, at_h + trajectory.quantile(limit, 0.1))


class _Search:
    """One search for a plan on the grid of half hours, `hour`, from placing [h]."""

    def __init__(
        self,
        scenario: Scenario,
        trajectory: Trajectory,
        product: Product,
        before: Before | None,
        left: range,
        now_h: float,
        alive: Mask,
    ) -> None:
        self.scenario, self.trajectory = scenario, trajectory
        self.product, self.sheet, self.alive = product, product.sheet, alive
        self.several = bool(scenario.then) or product.sheet.dwell_h is not None
        sheet = product.sheet
        self.before, self.left, self.now_h = before, left, now_h
        self.confidence = scenario.rules.confidence
        self.hour = _grid(scenario, trajectory, now_h)
        self.meant_row = {
            number: int(np.searchsorted(self.hour, scenario.hour(one.at) - 1e-6))
            for one in scenario.plan
            if (number := registry.coat_number(one.step)) is not None
        }
        self.abrade = before is not None and now_h > before.last_h
        self.to_the_end = False  # a tenth of the window of the coat that lies cannot be kept
        self.linked = sheet.recoat_max_h is not None  # a coat too late breaks the chain
        self.hourly = np.zeros(len(trajectory.hour))  # chance that one coat holds, by whole hours

    def found(
        self, ready_h: Array, face_dry: Mask
    ) -> tuple[list[CoatRow], list[CoatRow], Sentence]:
        """The plan, sure as far as it can be; what is likely for its coats; what is said of it."""
        if len(self.hour) < 2:
            return [], [], (coat_reasons.NO_FORECAST,)
        local = seal.local_conditions(self.trajectory, self.hour)
        ready_h = self.before.ready_h if self.before else ready_h
        ready = (self.hour[:, None] >= ready_h) & face_dry[self.hour.astype(int)]
        works = self.scenario.rules.works_at
        self.hand = np.array([works(self.scenario.instant(one).time()) for one in self.hour])
        weight = self.trajectory.weight
        self.hours = coats.hours_of(local, self.sheet, ready, self.hand, weight)
        np.maximum.at(self.hourly, np.floor(self.hour).astype(int), coats.alone(self.hours))
        self.middle = coats.as_forecast(self.hours)
        self.now_row = max(int(np.searchsorted(self.hour, self.now_h + 1e-6, side="right")) - 1, 0)
        plan, likely = self._plans()
        if not plan and self.before and not self.abrade and np.isfinite(self.before.last_h):
            self.to_the_end = True
            plan, likely = self._plans()
            self.abrade = not plan  # no hour up to the end of the recoat window holds
            if self.abrade:
                plan, likely = self._plans()
        outlook = Outlook(
            self.scenario,
            self.sheet,
            local,
            self.hours,
            self.middle,
            self.left,
            self.now_row,
            quantile(ready_h, weight, 0.5),
        )
        return plan, likely, outlook.says(plan)

    def _plans(self) -> tuple[list[CoatRow], list[CoatRow]]:
        safe = self._walk(self.hours, self.confidence, [])
        likely = self._walk(self.middle, 1.0, [], best=self.linked and not safe, meant=not safe)
        if not safe:
            return likely, likely
        plan = safe + (self._walk(self.middle, 1.0, safe) if len(safe) < len(self.left) else [])
        return plan, likely

    def _walk(
        self,
        hours: coats.Hours,
        fraction: float,
        done: list[CoatRow],
        *,
        best: bool = False,
        meant: bool = True,
    ) -> list[CoatRow]:
        """Coats one after the other, each at its first hour, or at the one that its maker means
        (not too early: `meant`); `done` are those before them. On what may not hold they are sure
        with it only."""
        hold, rain = self.sheet.hold_h, self.sheet.rain_free_h
        out: list[CoatRow] = []
        rows = [one.row for one in done]
        kept, own = coats.in_hand(hours), self.meant_row if meant else {}
        surely = hours is self.hours
        alive = self.alive if surely else np.ones(len(hours.weight), dtype=np.bool_)
        under = alive  # what lies under the product holds, or nothing on it does
        inside = np.ones_like(hours.begin) & under
        if self.before and not self.abrade:
            to_the_end = self.to_the_end or self.left[0] in own
            inside &= (self.hour <= self._last_of_before(to_the_end) + ROUNDING)[:, None]
        if rows:  # only coats without an end go on after others
            inside = coats.dried_since(hours, rows[-1])
        while len(rows) < len(self.left):
            together = len(self.left) - len(rows) if self.linked else 1
            chain = coats.chains(kept, together, hold, rain, fraction, inside)
            may_begin = chain.whole & self.hand
            may = may_begin.copy()
            may[: self.now_row] = False
            wanted = own.get(self.left[len(rows)])
            may[:wanted] &= wanted is None
            if not may.any():
                break
            row = int(np.argmax(may))
            if best and not rows and row != wanted:
                row = self._best_of_its_day(chain, may, row)
            chance = coats.joint(self.hours, (*rows, row), 0.0, 0.0, self.alive)
            if self.linked:
                chance = out[0].chance if out else self._joint(chain, row)
            if surely and not under.all() and chance < fraction - ROUNDING:
                break
            begins, ends = run_about(may_begin, row)[0], run_about(chain.whole, row)[1]
            out.append(CoatRow(row, begins, ends, chance, surely))
            rows.append(row)
            if self.linked:
                alive = alive & inside[row] & hours.begin[row]
                to_the_end = len(rows) < len(self.left) and self.left[len(rows)] in own
                bears = hours if to_the_end else kept
                inside = coats.holding_after(bears, row, hold, rain, alive)
            else:
                inside = coats.dried_since(hours, row) & under
        return out if not self.linked or len(rows) == len(self.left) else []

    def _last_of_before(self, to_the_end: bool) -> float:
        """The end of the window of the coat that lies [h], else with a tenth of it in hand."""
        assert self.before is not None
        if to_the_end:
            return self.before.last_h
        ready_h = self.trajectory.quantile(self.before.ready_h, 0.5)
        return float(coats.kept_end_h(np.array(ready_h), self.before.last_h))

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
        return max(row for row in rows if joint[row] >= max(joint.values()) - CHANCE_RESOLUTION)

    def _joint(self, chain: coats.Chain, row: int) -> float:
        """Fraction of the members in which the whole chain from a row holds."""
        rows = tuple(int(one) for one in chain.rows[row])
        hold_h, rain_h = self.sheet.hold_h, self.sheet.rain_free_h
        return coats.joint(self.hours, rows, hold_h, rain_h, self.alive)

    def _window(self, k: int, plan: list[CoatRow]) -> tuple[float, float, float]:
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

    def _placed(self, k: int, plan: list[CoatRow], likely: list[CoatRow]) -> coat_litres.Planned:
        """Coat k of the plan with its hours, and why it waits until then."""
        stand = plan[k]
        why: Sentence = ()
        under_h, ready_h, last_h = self._window(k, plan)
        if np.isfinite(ready_h):  # between two members the share that is ready has no exact hour
            ready_h = min(ready_h, float(self.hour[stand.row]))
        if k == 0 and self.before and self.abrade:
            why = (coat_reasons.too_late(self.scenario, self.before.last_h, self.now_h),)
        elif k > 0 or self.before:
            why = (coat_reasons.between(self.scenario, under_h, ready_h, last_h),)
        at_h = float(self.hour[stand.row])
        safe = float(self.hour[stand.begins if k == 0 else stand.row]) if stand.safe else np.inf
        p90 = safe
        if self.confidence < P90 and stand.safe:  # the plan is made at that level alone
            p90 = at_h if stand.chance >= P90 else np.inf
        p50 = float(self.hour[likely[k].row]) if stand.safe and k < len(likely) else at_h
        p50 = max(p50, np.nan_to_num(ready_h, nan=-np.inf, posinf=-np.inf))  # not before it dries
        ends = stand.ends < len(self.hour) - 1
        until_h = min(float(self.hour[stand.ends]), last_h) if ends else last_h
        return coat_litres.Planned(
            at_h, Span(min(p50, safe), p90, safe, until_h, until_h), stand.chance, why
        )

    def coated(
        self, plan: list[CoatRow], likely: list[CoatRow], says: Sentence, why_ready: Sentence
    ) -> Coated:
        first = self.left[0]
        numbers = self.product.numbers
        made = range(numbers.start, first)
        out = [(opening_of(self.trajectory, k, self.sheet), NO_HOUR) for k in made]
        of_it = (coat_litres.of_product(self.product),) if self.several else ()
        rows = {first + k: self._placed(k, plan, likely) for k in range(len(plan))}
        for number in self.left:
            row, under = rows.get(number), f"coat-{number - 1}"
            note, never = says[:1] if number == first else (), coat_reasons.NONE_PLANNED
            if row is not None:
                note = (coat_reasons.limits(self.sheet, number == numbers.stop - 1),)
                never = coat_reasons.not_sure(self.confidence, row.chance)
            opening = replace(
                opening_of(self.trajectory, number, self.sheet),
                note=(
                    *of_it,
                    *(row.why if row else ()),
                    *(why_ready if number == first else ()),
                    *note,
                ),
                after=under if number > 1 else "strip",
                waits_for="" if number <= first + len(plan) else under,
                never=never,
            )
            if number == first:
                last_h = self.before.last_h if self.before and not self.abrade else np.inf
                ends_h = last_h if np.isfinite(last_h) else None
                opening = replace(opening, chance=self.hourly, last_h=ends_h)
            out.append((opening, row.span if row else NO_HOUR))
        dated = len(plan) == len(self.left) and all(one.safe for one in plan)
        chance = plan[-1].chance if plan else 0.0
        safe = dated and chance >= self.confidence - ROUNDING
        likely_h = float(self.hour[likely[-1].row]) if len(likely) == len(self.left) else np.inf
        if self.left[-1] in rows:
            likely_h = max(likely_h, rows[self.left[-1]].span.p50)
        safe_h = float(self.hour[plan[-1].row]) if dated else np.inf
        result = coat_litres.with_litres(
            self.scenario, says, rows, chance=chance, safe=safe, product=self.product
        )
        holds = self.alive
        if plan:
            holds = coats.holding(self.hours, tuple(one.row for one in plan), 0.0, 0.0, holds)
        return Coated(result, out, min(likely_h, safe_h), safe_h, self.product, holds)


def _grid(scenario: Scenario, trajectory: Trajectory, now_h: float) -> Array:
    """Half hours of the wall clock from a day before now to the end of the forecast [h]."""
    minute = (scenario.placement.at.minute % 30) / 60 + scenario.placement.at.second / 3600
    first = max(0.0, now_h - BEFORE_NOW_H)
    begin = np.ceil((first + minute) / STEP_H) * STEP_H - minute
    end = float(trajectory.forecast_rows - 1)
    if end < max(now_h, begin):
        return np.empty(0)
    return np.arange(begin, end + 1e-9, STEP_H)


def opening_of(trajectory: Trajectory, number: int, sheet: Sheet) -> StepOpening:
    return StepOpening(
        f"coat-{number}",
        Need(Message("surface_over_dew_point"), sheet.dew_margin_K, "K"),
        np.full(trajectory.members, np.inf),
        (*sheet.sources, "ISO_8502_4"),
        coat_reasons.CAUTIONS,
        shown=trajectory.top_C - trajectory.dew_point_C,
        missed=coat_reasons.MISSED,
    )
