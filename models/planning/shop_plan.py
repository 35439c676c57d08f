"""The plan of a shop: its orders, moulds, hands and weather, and what one thing more would gain."""

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from datetime import datetime

import numpy as np

from models.concrete.section import Covering
from models.message import Message
from models.planning import mould_plan, orders, promises
from models.planning.courses import Course, Courses, Kind, courses
from models.planning.mould_plan import Choice, How, Solution
from models.planning.orders import Asked, MouldThere, Order, Piece, Shop
from models.planning.promises import Promise
from models.quantile import hour_at

BLANKET = Covering(1.0, None, "blanket")
GAIN_SECONDS = 1.0
WORTH_H = 1.0  # a gain under it is none
THREADS = 2
Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Poured:
    """One piece of the plan; strip_at is when its mould is struck, free_at when that is clean."""

    piece: Piece
    mould: str
    at: datetime
    way: Message
    strip_at: datetime
    free_at: datetime
    ready_even: datetime | None
    ready_sure: datetime | None
    moves: float  # chance that its mould is not free in time
    pinned: bool = False


@dataclass(frozen=True)
class LeftOut:
    """A piece that the plan does not pour, and why."""

    piece: Piece
    why: Message


@dataclass(frozen=True)
class Act:
    """What is due: act is pour, strip, turn or finish; short : it asks for more people than are
    there."""

    at: datetime
    act: str
    piece: Piece
    mould: str
    minutes: float
    hands: int
    short: bool = False


@dataclass(frozen=True)
class Gain:
    """What one thing more would do: hours of lateness saved over all pieces, the order that gains
    most, and how much sooner it may be promised [h].

    what : mould | hand | blanket | one_blanket, where those are counted
    kind : of the mould, or of the pieces under the blanket
    """

    what: str
    kind: str
    saved_h: float
    order: str
    sooner_h: float


@dataclass(frozen=True)
class ShopPlan:
    """What a shop of orders is told. gap : what the best plan might save of it, 0 to 1."""

    made_at: datetime
    poured: tuple[Poured, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    promises: tuple[Promise, ...] = ()
    acts: tuple[Act, ...] = ()
    gains: tuple[Gain, ...] = ()
    how: How = "best"
    gap: float = 0.0
    until: datetime | None = None  # the last start that the weather tells of
    lacks: tuple[Message, ...] = ()  # of a shop that has nothing to plan
    notes: tuple[Message, ...] = ()  # whose minutes it counts with
    courses: Mapping[str, Courses] = field(default_factory=dict)


def plan(
    shop: Shop,
    wanted: Sequence[Order],
    moulds: Sequence[MouldThere],
    kinds: Mapping[str, Kind],
    *,
    progress: Progress = lambda done, of: None,
    gains: bool = True,
) -> ShopPlan:
    """Everything that is to be said about the orders of a shop at an instant.

    kinds : by the kind that parts and moulds name; progress : told how many kinds of all are done
    gains : whether what one thing more would gain is worked out as well

    Raises InputError for what cannot be planned.
    """
    made_at = shop.days.now
    if not any(part.count for order in wanted for part in order.parts):
        told = tuple(promises.promises(shop, wanted, orders.nothing(wanted, shop), [], [], {}))
        lacks = () if wanted else (Message("plan_no_orders"),)
        return ShopPlan(made_at, promises=told, lacks=lacks)
    needed = {part.kind: None for order in wanted for part in order.parts if part.count}
    orders.checked(wanted, kinds)
    also_h = {
        key: tuple(
            shop.days.hour(pin.at)
            for order in wanted
            for part in order.parts
            if part.kind == key
            for pin in part.pinned
        )
        for key in needed
    }
    found = _found(shop, {key: kinds[key] for key in needed}, also_h, progress)
    asked = orders.asked(shop, wanted, moulds, kinds, found)
    solution = mould_plan.solve(asked.problem)
    result = _told(shop, wanted, moulds, kinds, asked, solution)
    if not gains:
        return result
    return replace(result, gains=_gains(shop, wanted, moulds, kinds, asked, solution, result))


def _found(
    shop: Shop,
    kinds: Mapping[str, Kind],
    also_h: Mapping[str, tuple[float, ...]],
    progress: Progress,
) -> dict[str, Courses]:
    """The courses of each kind; alike ones, whatever their names, are worked out once."""
    done = 0
    progress(0, len(kinds))

    def of(key: str) -> Courses:
        nonlocal done
        one = courses(kinds[key], shop.days, also_h[key])
        done += 1
        progress(done, len(kinds))
        return one

    with ThreadPoolExecutor(THREADS) as pool:
        return dict(zip(kinds, pool.map(of, kinds), strict=True))


def _told(
    shop: Shop,
    wanted: Sequence[Order],
    moulds: Sequence[MouldThere],
    kinds: Mapping[str, Kind],
    asked: Asked,
    solution: Solution,
) -> ShopPlan:
    went = promises.gone(asked.problem, solution.picks)
    poured: list[Poured] = []
    left: list[LeftOut] = []
    acts: list[Act] = []
    why: dict[str, Message] = {}
    pinned = {
        (order.key, part.kind, pin.number)
        for order in wanted
        for part in order.parts
        for pin in part.pinned
    }
    for k, (piece, pick) in enumerate(zip(asked.pieces, solution.picks, strict=True)):
        one = went[k]
        if pick is None or one is None:
            reason = orders.why_left_out(shop, asked, piece, moulds, kinds[piece.kind])
            if piece.key in pinned and not asked.problem.castings[k].choices:
                reason = Message("plan_pin_impossible", {"why": reason})
            left.append(LeftOut(piece, reason))
            why.setdefault(piece.order, Message("plan_part_left_out", {"why": reason}))
            continue
        choice = asked.problem.castings[k].choices[pick]
        course = asked.course(choice, piece.kind)
        poured.append(_poured(shop, piece, choice, course, one, piece.key in pinned))
        acts += _acts(shop, piece, choice, course, kinds[piece.kind])
    told = promises.promises(
        shop, wanted, asked.problem, went, [one.kind for one in asked.pieces], why
    )
    ends = [one.until for one in asked.courses.values() if one.until is not None]
    return ShopPlan(
        shop.days.now,
        tuple(sorted(poured, key=lambda one: (one.at, one.mould))),
        tuple(left),
        tuple(told),
        tuple(sorted(acts, key=lambda one: one.at)),
        (),
        solution.how,
        round(solution.gap, 4),
        min(ends, default=None),
        courses=asked.courses,
    )


def _poured(
    shop: Shop, piece: Piece, choice: Choice, course: Course, one: promises.Gone, pinned: bool
) -> Poured:
    days = shop.days
    mould = next(claim for claim in choice.claims if claim.what == ("mould", choice.mould))
    strip_h = orders.struck(choice).from_h
    weight = np.full(len(one.ready_h), 1 / len(one.ready_h))

    def at(share: float) -> datetime | None:
        hour = hour_at(one.ready_h, weight, share)
        worked = float(days.soonest(np.array(hour)))
        return days.at(worked) if np.isfinite(worked) else None

    return Poured(
        piece,
        str(choice.mould),
        days.at(choice.at_h),
        course.way,
        days.at(strip_h),
        days.at(mould.to_h),
        at(0.5),
        at(shop.confidence),
        round(float((one.poured_h > choice.at_h).mean()), 3),
        pinned,
    )


def _acts(shop: Shop, piece: Piece, choice: Choice, course: Course, kind: Kind) -> list[Act]:
    """What is due of one piece, each at the hour at which it is meant."""
    days, works, mould = shop.days, kind.work, str(choice.mould)
    struck = orders.struck(choice)
    turned_h = float(days.soonest(np.array(max(course.turned_h, struck.to_h))))
    finish_h = float(days.soonest(np.array(orders.middle_h(course.ready_h))))
    rows = [
        ("pour", choice.at_h, works.pour),
        ("strip", struck.from_h, works.strip),
        ("turn", turned_h, works.turn),
        ("finish", max(finish_h, turned_h), works.finish),
    ]
    return [
        Act(
            days.at(at_h),
            act,
            piece,
            mould,
            round(work.minutes),
            work.hands,
            work.hands > shop.hands,
        )
        for act, at_h, work in rows
        if np.isfinite(at_h)
    ]


def _gains(
    shop: Shop,
    wanted: Sequence[Order],
    moulds: Sequence[MouldThere],
    kinds: Mapping[str, Kind],
    asked: Asked,
    solution: Solution,
    stands: ShopPlan,
) -> tuple[Gain, ...]:
    """One more mould of each kind, one more pair of hands, a blanket on the slowest pieces.

    Where blankets are counted that is one more of them, on one piece at a time.
    """
    out: list[Gain] = []

    def tried(
        what: str, kind: str, shop: Shop, there: Sequence[MouldThere], found: Mapping[str, Courses]
    ) -> None:
        other = orders.asked(shop, wanted, there, kinds, found)
        better = mould_plan.solve(other.problem, GAIN_SECONDS)
        saved_h = solution.cost_h - better.cost_h
        now = _told(shop, wanted, there, kinds, other, better)
        order, sooner_h = _sooner(stands.promises, now.promises)
        if saved_h >= WORTH_H or sooner_h >= WORTH_H:
            out.append(Gain(what, kind, round(max(saved_h, 0.0), 1), order, round(sooner_h, 1)))

    for key in asked.courses:
        more = MouldThere(f"another {key}", (key,))
        tried("mould", key, shop, [*moulds, more], asked.courses)
    tried("hand", "", replace(shop, hands=shop.hands + 1), moulds, asked.courses)
    counted = shop
    if BLANKET.kind in shop.covers:
        more_of = {**shop.covers, BLANKET.kind: shop.covers[BLANKET.kind] + 1}
        counted = replace(shop, covers=more_of)
        tried("one_blanket", "", counted, moulds, asked.courses)
    slow = _slowest(stands, asked)
    if slow is not None:
        also_h = tuple(shop.days.hour(one.at) for one in stands.poured if one.pinned)
        warm = courses(kinds[slow], shop.days, also_h, BLANKET)
        tried("blanket", slow, counted, moulds, {**asked.courses, slow: warm})
    return tuple(sorted(out, key=lambda one: (-one.saved_h, -one.sooner_h)))


def _slowest(stands: ShopPlan, asked: Asked) -> str | None:
    """The kind of the slowest part of the order that is likeliest late, poured bare so far."""
    ranked = sorted(stands.promises, key=lambda one: -(one.late or 0.0))
    names = [one.slowest for one in ranked if one.slowest]
    names += [one.piece.kind for one in stands.left_out if asked.courses[one.piece.kind].found]
    bare = {one.piece.kind for one in stands.poured if one.way.code.startswith("way_bare")}
    return next((name for name in names if name in bare), None)


def _sooner(before: Sequence[Promise], after: Sequence[Promise]) -> tuple[str, float]:
    """The order whose sure hour comes sooner by most, and by how much [h]."""
    gained = [
        ((one.at_sure - other.at_sure).total_seconds() / 3600, one.order)
        for one, other in zip(before, after, strict=True)
        if one.at_sure is not None and other.at_sure is not None
    ]
    hours, order = max(gained, default=(0.0, ""))
    return (order, hours) if hours > 0 else ("", 0.0)
