"""Orders of several castings with few moulds: who is poured when, in which mould, what is due each
day, and what may be promised.

A mould is taken until most members let it go, at the shop's confidence; where one does not, the
next piece waits in that member (promises.py). Nothing is promised that is not in the weather.
"""

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

import numpy as np

from models.errors import InputError
from models.facts.protection import COVERS
from models.message import Message, Value
from models.planning.courses import Course, Courses, Kind, Works
from models.planning.mould_plan import Casting, Choice, Claim, Problem
from models.planning.working_day import WorkingDays
from models.simulation.blown import Lying
from models.units import Array, number_within, one_of

HANDS, DAY, COVER = "hands", "day", "cover"
SHIFTS_H = (0.0, 1.0)  # a mould that is free may wait for hands
MOST_PIECES = 200
# what a kind of cover is put together of, where a shop counts what it has
COUNTED_AS = {"two blankets": ("blanket", 2)}
COUNTED = tuple(kind for kind in COVERS if kind not in COUNTED_AS)
MOST_COVERS = 1000


@dataclass(frozen=True)
class Pin:
    """A pour that the maker has set: its mould, its start."""

    number: int  # of the piece, from 1
    mould: str
    at: datetime


@dataclass(frozen=True)
class Part:
    """So many pieces of a kind; pinned : those whose pour the maker has set."""

    kind: str
    count: int
    pinned: tuple[Pin, ...] = ()
    first: int = 1  # number of the first of them that is still to be poured

    def __post_init__(self) -> None:
        number_within("count", self.count, 0, MOST_PIECES)


@dataclass(frozen=True)
class Order:
    """What was promised to one client, until when.

    together : its pieces of one kind are poured on one day, for colour
    assembly_h : work once the last part is ready [h]
    poured_h : when pieces that are poured already are ready, [h] from now; None: not known
    """

    key: str
    due: datetime
    parts: tuple[Part, ...]
    together: bool = False
    assembly_h: float = 0.0
    poured_h: tuple[float | None, ...] = ()

    def __post_init__(self) -> None:
        number_within("assembly_h", self.assembly_h, 0.0, 1000.0, "h")


@dataclass(frozen=True)
class MouldThere:
    """A mould, the kinds it is built for, and from when it is free [h]; infinite: not in sight.

    turnaround_h : from its strip until it takes the next pour, where that is longer than cleaning
    """

    key: str
    kinds: tuple[str, ...]
    free_h: float = 0.0
    turnaround_h: float = 0.0


@dataclass(frozen=True)
class Shop:
    """Hours and days, hands, and how sure it wants to be.

    covers : how many it has of a kind; of a kind that is not counted there are enough
    lying : covers on pieces that are poured already [h] from now; infinite: not known until when
    """

    days: WorkingDays
    hands: int = 1
    confidence: float = 0.9
    covers: Mapping[str, int] = field(default_factory=dict)
    lying: tuple[Lying, ...] = ()

    def __post_init__(self) -> None:
        number_within("hands", self.hands, 1, 50)
        number_within("confidence", self.confidence, 0.8, 0.99)
        for kind, count in self.covers.items():
            number_within(one_of("cover", kind, COUNTED), count, 0, MOST_COVERS)

    def claimed(self, lying: Iterable[Lying]) -> tuple[Claim, ...]:
        """What covers that lie somewhere take of those that are counted."""
        of = ((*COUNTED_AS.get(kind, (kind, 1)), on_h, off_h) for kind, on_h, off_h in lying)
        return tuple(
            Claim((COVER, kind), on_h, off_h, many)
            for kind, many, on_h, off_h in of
            if kind in self.covers
        )


@dataclass(frozen=True)
class Piece:
    """One casting of a plan, and how it is known again in the next one."""

    order: str
    kind: str
    number: int

    @property
    def key(self) -> tuple[str, str, int]:
        return self.order, self.kind, self.number


@dataclass(frozen=True)
class Asked:
    """The problem of a shop, with what its castings and choices stand for."""

    problem: Problem
    pieces: tuple[Piece, ...]
    courses: Mapping[str, Courses]

    def course(self, choice: Choice, kind: str) -> Course:
        return next(one for one in self.courses[kind].found if one.at_h == choice.at_h)


def asked(
    shop: Shop,
    orders: Sequence[Order],
    moulds: Sequence[MouldThere],
    kinds: Mapping[str, Kind],
    found: Mapping[str, Courses],
) -> Asked:
    """The problem: each piece with every mould that fits it and every start that will do."""
    ways = {
        key: _choices(shop, kinds[key].work, found[key].found, moulds, key)
        for key in kinds
        if key in found
    }
    castings: list[Casting] = []
    pieces: list[Piece] = []
    for order in orders:
        for part in order.parts:
            pinned = {one.number: one for one in part.pinned}
            for number in range(part.first, part.first + part.count):
                choices = ways.get(part.kind, ())
                if number in pinned:
                    choices = _pinned(shop, choices, pinned[number])
                together = (order.key, part.kind) if order.together else None
                castings.append(Casting(order.key, choices, together))
                pieces.append(Piece(order.key, part.kind, number))
    room: dict[Hashable, float] = {HANDS: float(shop.hands)}
    room |= {("mould", one.key): 1.0 for one in moulds}
    room |= {(COVER, key): float(count) for key, count in shop.covers.items()}
    for day in {claim.what for c in ways.values() for one in c for claim in one.claims}:
        if isinstance(day, tuple) and day[0] == DAY:
            room[day] = shop.hands * shop.days.worked_h(day[1])
    due: dict[Hashable, float] = {one.key: shop.days.hour(one.due) for one in orders}
    after: dict[Hashable, float] = {one.key: one.assembly_h for one in orders}
    held = shop.claimed(shop.lying)
    return Asked(Problem(tuple(castings), due, room, after, held), tuple(pieces), found)


def nothing(orders: Iterable[Order], shop: Shop) -> Problem:
    """The problem of orders of which no piece is still to be poured."""
    return Problem((), {order.key: shop.days.hour(order.due) for order in orders}, {})


def checked(orders: Iterable[Order], kinds: Mapping[str, Kind]) -> None:
    """Refuse a part of no known kind, and more pieces than can be planned."""
    total = 0
    for k, order in enumerate(orders):
        for n, part in enumerate(order.parts):
            total += part.count
            if part.kind not in kinds:
                allowed = " | ".join(sorted(kinds)) or "[[piece]]"
                field = f"order[{k}].part[{n}].piece"
                raise InputError(field, part.kind, "no such piece", allowed)
    if total > MOST_PIECES:
        raise InputError(
            "order", total, "more pieces than can be planned", f"{MOST_PIECES} at most"
        )


def _pinned(shop: Shop, choices: Iterable[Choice], pin: Pin) -> tuple[Choice, ...]:
    at_h = shop.days.hour(pin.at)
    return tuple(c for c in choices if c.mould == pin.mould and abs(c.at_h - at_h) < 0.02)


def _choices(
    shop: Shop,
    works: Works,
    found: Iterable[Course],
    moulds: Iterable[MouldThere],
    kind: str,
) -> tuple[Choice, ...]:
    """Of one kind: every start in every mould that is built for it and free by then."""
    out: list[Choice] = []
    for course in found:
        for mould in moulds:
            if kind not in mould.kinds or mould.free_h > course.at_h:
                continue
            for shift_h in SHIFTS_H:
                choice = _choice(shop, works, course, mould, shift_h)
                if choice is not None:
                    out.append(choice)
    return tuple(out)


def _choice(
    shop: Shop, works: Works, course: Course, mould: MouldThere, shift_h: float
) -> Choice | None:
    """One start in one mould; None where its mould is not let go in sight, or nobody has hands."""
    days, pour, strip = shop.days, works.pour, works.strip
    strip_h, strip_work_h = strip_at_h(days, works, course.free_h), strip.hours + works.clean.hours
    strip_h = float(days.soonest(np.array(strip_h + shift_h)))
    if not np.isfinite(strip_h) or pour.hands > shop.hands or strip.hands > shop.hands:
        return None
    clean_h = strip_h + strip_work_h
    taken_h = max(works.clean.hours, mould.turnaround_h) + strip.hours
    acts = [
        (course.at_h, pour.hours * pour.hands),
        (strip_h, strip.hours * strip.hands + works.clean.hours * works.clean.hands),
    ]
    turned_h = float(days.soonest(np.array(max(course.turned_h, clean_h))))
    ready_h = middle_h(course.ready_h)
    if np.isfinite(turned_h):
        acts.append((turned_h, works.turn.hours * min(works.turn.hands, shop.hands)))
    if np.isfinite(ready_h):
        finish_h = float(days.soonest(np.array(ready_h)))
        acts.append((finish_h, works.finish.hours * works.finish.hands))
    by_day: dict[int, float] = {}
    for at_h, hand_h in acts:
        day = days.day(at_h)
        by_day[day] = by_day.get(day, 0.0) + hand_h
    claims = (
        Claim(("mould", mould.key), course.at_h, strip_h + taken_h),
        Claim(HANDS, course.at_h, course.at_h + pour.hours, pour.hands),
        Claim(HANDS, strip_h, clean_h, strip.hands),
        *(Claim((DAY, day), 24.0 * day, 24.0 * day + 1, hand_h) for day, hand_h in by_day.items()),
        *shop.claimed(course.covers),
    )
    finished_h = days.soonest(course.ready_h) + works.finish.hours
    stripped_h = np.maximum(days.soonest(course.strip_h), strip_h) + taken_h
    return Choice(course.at_h, days.day(course.at_h), claims, finished_h, mould.key, stripped_h)


def struck(choice: Choice) -> Claim:
    """Hands for the strip of a choice and for the cleaning of its mould: those for its pour are
    claimed first."""
    return [one for one in choice.claims if one.what == HANDS][1]


def strip_at_h(days: WorkingDays, works: Works, free_h: float) -> float:
    """The first worked quarter from which a mould may be struck, and the strip ends that day
    [h]."""
    at_h = float(days.soonest(np.array(free_h)))
    work_h = works.strip.hours + works.clean.hours
    while np.isfinite(at_h) and not days.works_through(at_h, work_h):
        later_h = float(days.soonest(np.array(at_h + 0.25)))
        if later_h - at_h > 0.3 and days.worked_h(days.day(later_h)) < work_h:
            return at_h  # no day is long enough: it goes on the next
        at_h = later_h
    return at_h


def middle_h(hours: Array) -> float:
    """The later of the two middle members [h]."""
    return float(np.sort(hours)[len(hours) // 2])


def why_left_out(
    shop: Shop, asked: Asked, piece: Piece, moulds: Iterable[MouldThere], kind: Kind
) -> Message:
    """Why a piece is not in the plan: what is missing first."""
    found = asked.courses[piece.kind]
    if found.why is not None:
        return found.why
    fitting = [one for one in moulds if piece.kind in one.kinds]
    if not fitting:
        return Message("plan_no_mould", {"piece": piece.kind})
    works = kind.work
    most = max(works.pour.hands, works.strip.hands)
    if most > shop.hands:
        return Message("plan_too_few_hands", {"needs": most, "hands": shop.hands})
    if not found.found and found.forbids:
        nearest = min(found.forbids.values(), key=lambda one: str(one.values["chance"]))
        return Message("plan_no_start", {"why": nearest, "until_at": found.until})
    if all(one.free_h > course.at_h for one in fitting for course in found.found):
        return Message("plan_moulds_held", {"until_at": found.until})
    if not any(np.isfinite(course.free_h) for course in found.found):
        return Message("plan_never_free", {})
    return _short_of_covers(shop, found) or Message(
        "plan_beyond_weather", {"until_at": found.until}
    )


def _short_of_covers(shop: Shop, found: Courses) -> Message | None:
    """The cover that every start asks for, where it is counted: too few of it, or all lie."""
    asked = [{c.what: c.amount for c in shop.claimed(one.covers)} for one in found.found]
    for kind, there in shop.covers.items():
        needs = min((one.get((COVER, kind), 0.0) for one in asked), default=0.0)
        if needs > there:
            values: dict[str, Value] = {"cover": kind, "needs": needs, "there": there}
            return Message("plan_too_few_covers", values)
        if needs:
            return Message("plan_covers_taken", {"cover": kind, "until_at": found.until})
    return None
