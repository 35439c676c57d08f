"""What a plan comes to, member by member: when each order is ready, with what chance it is late.

Where a mould is not let go in time the piece waits for the next start at which it is, so that in no
member two pieces are in one mould.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from models.message import Message
from models.planning.mould_plan import Problem
from models.planning.orders import Order, Shop
from models.quantile import hour_at
from models.units import Array, Mask


@dataclass(frozen=True)
class Promise:
    """One order: ready at even odds and at the shop's confidence, and the chance that it is late.

    why : what is missing where nothing can be promised; both hours are then None
    at_even, at_sure : None where so many members are not ready within sight
    """

    order: str
    due: datetime
    at_even: datetime | None
    at_sure: datetime | None
    confidence: float
    late: float | None
    why: Message | None = None
    slowest: str = ""  # the kind of its slowest part, most often


@dataclass(frozen=True)
class Gone:
    """One casting as it goes in each member [h], (members,): poured, ready, mould free again."""

    poured_h: Array
    ready_h: Array
    free_h: Array


def gone(problem: Problem, picks: Sequence[int | None]) -> list[Gone | None]:
    """The plan carried out in every member; None of a casting that is left out."""
    out: list[Gone | None] = [None] * len(picks)
    held: dict[Hashable, Array] = {}
    both = enumerate(zip(problem.castings, picks, strict=True))
    chosen = [(k, one.choices[pick]) for k, (one, pick) in both if pick is not None]
    for k, choice in sorted(chosen, key=lambda row: row[1].at_h):
        free_h = held.get(choice.mould, np.full(len(choice.ready_h), -np.inf))
        done = Gone(*(np.full(len(choice.ready_h), np.inf) for _ in range(3)))
        waits: Mask = np.ones(len(choice.ready_h), dtype=bool)
        later = sorted(
            (c for c in problem.castings[k].choices if c.mould == choice.mould),
            key=lambda c: (c.at_h, c is not choice),
        )
        for other in later:
            if other.at_h < choice.at_h or (other.at_h == choice.at_h and other is not choice):
                continue
            goes = waits & (free_h <= other.at_h)
            done.poured_h[goes] = other.at_h
            done.ready_h[goes] = other.ready_h[goes]
            done.free_h[goes] = other.free_h[goes]
            waits &= ~goes
        held[choice.mould] = done.free_h
        out[k] = done
    return out


def promises(
    shop: Shop,
    orders: Sequence[Order],
    problem: Problem,
    went: Sequence[Gone | None],
    kinds: Sequence[str],
    why: dict[str, Message],
) -> list[Promise]:
    """What may be said of each order.

    went, kinds : by casting; why : of each order that lacks something what it lacks
    """
    out = []
    for order in orders:
        parts = [
            (kinds[k], one.ready_h)
            for k, one in enumerate(went)
            if one is not None and problem.castings[k].order == order.key
        ]
        lacking = why.get(order.key)
        if lacking is None and None in order.poured_h:
            lacking = Message("plan_poured_unknown")
        if lacking is None and not parts and not order.poured_h:
            lacking = Message("plan_nothing_ordered")
        if lacking is not None:
            out.append(Promise(order.key, order.due, None, None, shop.confidence, None, lacking))
            continue
        known = [np.array([hour]) for hour in order.poured_h if hour is not None]
        ready = np.maximum.reduce(np.broadcast_arrays(*(h for _, h in parts), *known))
        ready = ready + order.assembly_h
        weight = np.full(len(ready), 1 / len(ready))
        due_h = shop.days.hour(order.due)
        slowest = (
            max(parts, key=lambda row: hour_at(row[1], _even(row[1]), 0.5))[0] if parts else ""
        )
        even_h, sure_h = (hour_at(ready, weight, q) for q in (0.5, shop.confidence))
        nothing = Message("plan_not_in_sight") if not np.isfinite(even_h) else None
        out.append(
            Promise(
                order.key,
                order.due,
                _told(shop, even_h),
                _told(shop, sure_h),
                shop.confidence,
                round(float((ready > due_h).mean()), 3),
                nothing,
                slowest,
            )
        )
    return out


def _even(hours: Array) -> Array:
    return np.full(len(hours), 1 / len(hours))


def _told(shop: Shop, hour: float) -> datetime | None:
    """An hour as it is promised: the next quarter in which the shop works."""
    worked = float(shop.days.soonest(np.array(hour)))
    return shop.days.at(worked) if np.isfinite(worked) else None
