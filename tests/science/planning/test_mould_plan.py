"""The planner against every plan there is: small shops, hours and members made up, seeds fixed."""

from collections.abc import Hashable
from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from models.planning.mould_plan import (
    LEFT_OUT_H,
    SOON,
    Casting,
    Choice,
    Claim,
    Problem,
    Solution,
    greedy,
    solve,
)

CASES = 200
MEMBERS = 5


def small_shop(seed: int) -> Problem:
    """Two or three castings of two kinds, in up to two moulds, over four starts."""
    random, covers = np.random.default_rng(seed), np.random.default_rng(CASES + seed)
    moulds = ("north", "south")[: random.integers(1, 3)]
    hands = int(random.integers(1, 4))
    kinds = []
    for _ in range(2):
        firm_h, needed = random.uniform(10, 40), int(random.integers(1, hands + 1))
        choices = []
        for day, mould in product(range(int(random.integers(2, 5))), moulds):
            at_h = 24.0 * day + float(random.choice([7.0, 8.0]))
            strip = at_h + firm_h * np.exp(random.normal(0, 0.2, MEMBERS))
            free_h = float(np.quantile(strip, 0.9))
            claims = (
                Claim(mould, at_h, free_h),
                Claim("hands", at_h, at_h + 2, needed),
                Claim("hands", free_h - 1, free_h, 1),
            )
            choices.append(Choice(at_h, day, claims, strip + random.uniform(5, 60)))
        if covers.random() < 0.5:
            choices = [_covered(one, 1.0 + int(covers.integers(0, 2))) for one in choices]
        kinds.append(tuple(choices))
    castings = []
    for _ in range(int(random.integers(2, 4))):
        order, kind = str(random.choice(["one", "two"])), kinds[random.integers(0, 2)]
        together = order if random.random() < 0.3 else None
        castings.append(Casting(order, kind, together))
    due: dict[Hashable, float] = {
        "one": float(random.uniform(30, 90)),
        "two": float(random.uniform(30, 120)),
    }
    room: dict[Hashable, float] = {**dict.fromkeys(moulds, 1.0), "hands": hands, "cover": 2.0}
    lies_h = sorted(covers.uniform(0, 60, 2).tolist())
    return Problem(tuple(castings), due, room, held=(Claim("cover", *lies_h),))


def _covered(one: Choice, many: float) -> Choice:
    """The same under a cover, for a night and a day."""
    return replace(one, claims=(*one.claims, Claim("cover", one.at_h + 2, one.at_h + 30, many)))


def lateness_h(problem: Problem, picks: tuple[int | None, ...]) -> float:
    """The cost as the module tells it in words, counted by hand."""
    total = 0.0
    for one, pick in zip(problem.castings, picks, strict=True):
        if pick is None:
            total += LEFT_OUT_H
            continue
        choice = one.choices[pick]
        late = [max(0.0, hour - problem.due_h[one.order]) for hour in choice.ready_h.tolist()]
        total += sum(late) / len(late) + SOON * choice.at_h
    return total


def is_possible(problem: Problem, picks: tuple[int | None, ...]) -> bool:
    """Minute by quarter of an hour: nothing is held twice, no hand does two things."""
    chosen = [
        (o, o.choices[p]) for o, p in zip(problem.castings, picks, strict=True) if p is not None
    ]
    days: dict[object, int] = {}
    for one, choice in chosen:
        if one.together is not None and days.setdefault(one.together, choice.day) != choice.day:
            return False
    claims = [claim for _, choice in chosen for claim in choice.claims]
    begins = {claim.from_h for claim in (*claims, *problem.held)}

    def taken(of: list[Claim], what: Hashable, at_h: float) -> float:
        return sum(c.amount for c in of if c.what == what and c.from_h <= at_h < c.to_h)

    return all(
        taken(claims, what, at_h) <= max(enough - taken([*problem.held], what, at_h), 0.0)
        for what, enough in problem.room.items()
        for at_h in begins
    )


def least_h(problem: Problem) -> float:
    """The cost of the best of all plans, one by one."""
    ways = [(*range(len(one.choices)), None) for one in problem.castings]
    return min(lateness_h(problem, p) for p in product(*ways) if is_possible(problem, p))


@pytest.fixture(scope="module")
def solved() -> list[tuple[Problem, Solution, float]]:
    problems = [small_shop(seed) for seed in range(CASES)]
    return [(one, solve(one), least_h(one)) for one in problems]


def test_no_plan_of_200_small_shops_is_better(
    solved: list[tuple[Problem, Solution, float]],
) -> None:
    for problem, found, least in solved:
        assert found.cost_h == pytest.approx(lateness_h(problem, found.picks), abs=1e-9)
        assert found.cost_h == pytest.approx(least, rel=2e-4), found
        assert found.gap == 0.0
        assert found.how == "best"


def test_nothing_is_held_twice(solved: list[tuple[Problem, Solution, float]]) -> None:
    """No mould holds two pieces, no hand does two things; the greedy plan keeps to it as well."""
    for problem, found, least in solved:
        assert is_possible(problem, found.picks)
        rough = greedy(problem)
        assert is_possible(problem, rough.picks)
        assert rough.cost_h >= least - 1e-9
        assert rough.how == "greedy"


def test_the_cases_are_hard_enough(solved: list[tuple[Problem, Solution, float]]) -> None:
    """In some a piece is left out, in some the greedy plan is not the best, in some one is late."""
    assert any(None in found.picks for _, found, _ in solved)
    assert any(greedy(problem).cost_h > least + 1.0 for problem, _, least in solved)
    assert any(1.0 < least < LEFT_OUT_H for _, _, least in solved)


def test_without_time_the_greedy_plan_stands_and_says_so() -> None:
    problem = next(p for p in map(small_shop, range(CASES)) if greedy(p).cost_h > least_h(p) + 1.0)
    found = solve(problem, seconds=0.0)
    assert found.how in ("greedy", "best")
    assert is_possible(problem, found.picks)
    assert found.how == "best" or found.gap > 0


def test_a_shop_without_choices_pours_nothing() -> None:
    found = solve(Problem((Casting("one", ()),), {"one": 10.0}, {}))
    assert found.picks == (None,)
    assert found.cost_h == LEFT_OUT_H
