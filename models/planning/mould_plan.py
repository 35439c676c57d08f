"""Which piece is poured when, in which mould: the choice among ways whose courses are known.

A choice claims what the shop has: a mould until it is free again in most members, hands, covers.
What a plan costs is, piece by piece, the mean over all members of how long after its order's date
the piece is ready: a sample average, not one plan a member. It knows hours and claims, no concrete.

HiGHS finds it (scipy brings it, so there is nothing more to install) within its time, to a gap that
is told; where it finds nothing better in time the greedy plan stands, and says so.
"""

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal

import numpy as np
import scipy  # its parts load when they are used: 38 MB that most servers never need

from models.units import Array

LEFT_OUT_H = 2000.0  # what a piece costs that is not poured at all
SOON = 1e-3  # of an hour of lateness: what an hour is worth by which a piece is poured sooner
SECONDS = 2.0
NO_GAP = 1e-4
How = Literal["best", "solver", "greedy"]


@dataclass(frozen=True)
class Claim:
    """What a choice takes of something that the shop has so much of: a mould, hands, a cover.

    from_h, to_h : [h] from now, the end not included
    """

    what: Hashable
    from_h: float
    to_h: float
    amount: float = 1.0


@dataclass(frozen=True)
class Choice:
    """One way to pour a piece: at an hour from now [h], on a day of the shop, in a mould.

    ready_h : (members,) [h] from now, infinite where it is not in sight
    mould, free_h : which it takes, and when that is free again in each member, (members,) [h]
    """

    at_h: float
    day: int
    claims: tuple[Claim, ...]
    ready_h: Array
    mould: Hashable = None
    free_h: Array = field(default_factory=lambda: np.empty(0))


@dataclass(frozen=True)
class Casting:
    """One piece to be poured. Castings of one order that share their choices are alike.

    together : castings that name the same are poured on one day
    """

    order: Hashable
    choices: tuple[Choice, ...]
    together: Hashable = None


@dataclass(frozen=True)
class Problem:
    """What is to be poured, until when, and with what.

    due_h : of each order [h] from now; room : how much there is of what choices claim
    after_h : what an order takes once its last part is ready [h]
    held : what is taken already, whatever is chosen: covers that lie on other pieces
    """

    castings: tuple[Casting, ...]
    due_h: Mapping[Hashable, float]
    room: Mapping[Hashable, float]
    after_h: Mapping[Hashable, float] = field(default_factory=dict)
    held: tuple[Claim, ...] = ()

    def held_of(self, what: Hashable) -> list[Claim]:
        return [one for one in self.held if one.what == what]


@dataclass(frozen=True)
class Solution:
    """Of each casting the choice, None: it is not poured; what it costs, in hours of lateness.

    gap : how much of the cost the best plan might save, 0 to 1
    """

    picks: tuple[int | None, ...]
    cost_h: float
    gap: float
    how: How


def solve(problem: Problem, seconds: float = SECONDS) -> Solution:
    """The plan that costs least, as far as some seconds of one core find it.

    Source: OWN_JUDGEMENT for what lateness and a piece left out cost.
    """
    rough = greedy(problem)
    rows = _Rows(problem)
    if not len(rows.cost):
        return Solution(rough.picks, rough.cost_h, 0.0, "best")
    found = scipy.optimize.milp(
        rows.cost,
        constraints=rows.constraints(),
        integrality=np.ones(len(rows.cost)),
        bounds=scipy.optimize.Bounds(0.0, rows.most),
        options={"time_limit": seconds, "mip_rel_gap": 0.0},
    )
    best = rough
    if found.x is not None:
        picks = rows.picks(found.x)
        if allowed(problem, picks) and cost_h(problem, picks) < rough.cost_h:
            best = Solution(picks, cost_h(problem, picks), 1.0, "solver")
    if found.mip_dual_bound is None or not np.isfinite(found.mip_dual_bound):
        return best
    least_h = float(found.mip_dual_bound) + LEFT_OUT_H * len(problem.castings)
    gap = float(np.clip((best.cost_h - least_h) / max(best.cost_h, 1.0), 0.0, 1.0))
    if gap <= NO_GAP:
        best = replace(best, how="best")
    return replace(best, picks=rows.in_order(best.picks), gap=0.0 if gap <= NO_GAP else gap)


def greedy(problem: Problem) -> Solution:
    """Piece by piece as their orders are due, each by the cheapest choice that still fits. It never
    claims more than there is; how far it is from the best it cannot tell."""
    castings = problem.castings
    picks: list[int | None] = [None] * len(castings)
    days: dict[Hashable, int] = {}
    for k in sorted(range(len(castings)), key=lambda k: (problem.due_h[castings[k].order], k)):
        one = castings[k]
        for c in np.argsort(costs_h(problem, one), kind="stable").tolist():
            day = one.choices[c].day
            if one.together is not None and days.get(one.together, day) != day:
                continue
            picks[k] = c
            if fits(problem, picks):
                if one.together is not None:
                    days[one.together] = day
                break
            picks[k] = None
    return Solution(tuple(picks), cost_h(problem, picks), 1.0, "greedy")


def costs_h(problem: Problem, one: Casting) -> Array:
    """What each choice of a piece costs [h], (choices,): its mean lateness, and its hour."""
    if not one.choices:
        return np.empty(0)
    due_h = problem.due_h[one.order] - problem.after_h.get(one.order, 0.0)
    late = np.clip(np.array([c.ready_h for c in one.choices]) - due_h, 0.0, LEFT_OUT_H)
    costs: Array = late.mean(axis=1) + SOON * np.array([c.at_h for c in one.choices])
    return costs


def cost_h(problem: Problem, picks: Sequence[int | None]) -> float:
    """What a plan costs [h]: that of each piece, LEFT_OUT_H for one that is not poured."""
    return sum(
        LEFT_OUT_H if pick is None else float(costs_h(problem, one)[pick])
        for one, pick in zip(problem.castings, picks, strict=True)
    )


def fits(problem: Problem, picks: Sequence[int | None]) -> bool:
    """Whether nothing is claimed of which there is not enough."""
    taken: dict[Hashable, list[Claim]] = {}
    for one, pick in zip(problem.castings, picks, strict=True):
        if pick is not None:
            for claim in one.choices[pick].claims:
                taken.setdefault(claim.what, []).append(claim)
    return all(
        not (wanted := _amount_at(claims, at_h))
        or wanted <= problem.room[what] - _amount_at(problem.held_of(what), at_h) + 1e-6
        for what, claims in taken.items()
        for at_h in _begins(claims, problem.held_of(what))
    )


def _begins(*claims: Iterable[Claim]) -> set[float]:
    return {one.from_h for each in claims for one in each}


def _amount_at(claims: Iterable[Claim], at_h: float) -> float:
    return sum(one.amount for one in claims if one.from_h <= at_h < one.to_h)


def allowed(problem: Problem, picks: Sequence[int | None]) -> bool:
    """Whether a plan fits, and what is poured together is poured on one day."""
    days: dict[Hashable, set[int]] = {}
    for one, pick in zip(problem.castings, picks, strict=True):
        if one.together is not None and pick is not None:
            days.setdefault(one.together, set()).add(one.choices[pick].day)
    return all(len(found) == 1 for found in days.values()) and fits(problem, picks)


class _Rows:
    """The problem as rows and columns: how many of alike castings go by each choice, and the day of
    what is poured together. That alike ones are counted, not named, is what makes it quick."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.alike: dict[Hashable, list[int]] = {}
        for k, one in enumerate(problem.castings):
            self.alike.setdefault((one.order, one.together, id(one.choices)), []).append(k)
        self._entries: tuple[list[int], list[int], list[float]] = ([], [], [])
        self._upper: list[float] = []
        cost: list[float] = []
        most: list[float] = []
        taken: dict[Hashable, list[tuple[int, Claim]]] = {}
        days: dict[Hashable, dict[int, list[int]]] = {}
        for castings in self.alike.values():
            one, first = problem.castings[castings[0]], len(cost)
            cost += (costs_h(problem, one) - LEFT_OUT_H).tolist()
            most += [float(len(castings))] * len(one.choices)
            self._row([(c, 1.0) for c in range(first, len(cost))], len(castings))
            for column, choice in enumerate(one.choices, first):
                for claim in choice.claims:
                    taken.setdefault(claim.what, []).append((column, claim))
                if one.together is not None:
                    days.setdefault(one.together, {}).setdefault(choice.day, []).append(column)
        self._enough(taken)
        for of_day in days.values():
            begin = len(cost)
            self._row([(begin + d, 1.0) for d in range(len(of_day))], 1.0)
            for day, columns in enumerate(of_day.values(), begin):
                for column in columns:
                    self._row([(column, 1.0), (day, -most[column])], 0.0)
            cost += [0.0] * len(of_day)
            most += [1.0] * len(of_day)
        self.cost, self.most = np.array(cost), np.array(most)

    def constraints(self) -> Any:
        """As scipy.optimize.milp takes them."""
        rows, columns, values = self._entries
        shape = (len(self._upper), len(self.cost))
        table = scipy.sparse.coo_array((values, (rows, columns)), shape).tocsr()
        return scipy.optimize.LinearConstraint(table, ub=self._upper)

    def in_order(self, picks: Sequence[int | None]) -> tuple[int | None, ...]:
        """The same plan: of alike castings the first is poured first, and none is left out before
        one that is poured."""
        found: list[int | None] = [None] * len(picks)
        for castings in self.alike.values():
            choices = self.problem.castings[castings[0]].choices
            chosen = [pick for k in castings if (pick := picks[k]) is not None]
            for k, c in zip(castings, sorted(chosen, key=lambda c: choices[c].at_h), strict=False):
                found[k] = c
        return tuple(found)

    def picks(self, x: Array) -> tuple[int | None, ...]:
        """The choices of a solution."""
        found: list[int | None] = [None] * len(self.problem.castings)
        first = 0
        for castings in self.alike.values():
            choices = self.problem.castings[castings[0]].choices
            counts = np.rint(x[first : first + len(choices)]).astype(int)
            chosen = np.repeat(np.arange(len(choices)), counts).tolist()
            for k, c in zip(castings, chosen, strict=False):
                found[k] = c
            first += len(choices)
        return self.in_order(found)

    def _row(self, entries: Sequence[tuple[int, float]], upper: float) -> None:
        """One constraint: the sum of the entries is no more than upper."""
        for column, value in entries:
            self._entries[0].append(len(self._upper))
            self._entries[1].append(column)
            self._entries[2].append(value)
        self._upper.append(upper)

    def _enough(self, taken: Mapping[Hashable, Sequence[tuple[int, Claim]]]) -> None:
        """At each hour at which something is taken, no more than there is."""
        for what, claims in taken.items():
            left: dict[tuple[tuple[int, float], ...], float] = {}
            held = self.problem.held_of(what)
            for at_h in _begins((claim for _, claim in claims), held):
                now: dict[int, float] = {}
                for column, one in claims:
                    if one.from_h <= at_h < one.to_h:
                        now[column] = now.get(column, 0.0) + one.amount
                entries = tuple(sorted(now.items()))
                there = max(self.problem.room[what] - _amount_at(held, at_h), 0.0)
                left[entries] = min(left.get(entries, there), there)
            for entries, there in sorted(left.items()):
                self._row(entries, there)
