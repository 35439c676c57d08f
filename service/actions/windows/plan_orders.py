"""The plan of all orders: rows in, one stored answer out, with what moved since the one before."""

import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

import numpy as np
from sqlmodel import Session

from models.air.series import AirSeries
from models.errors import Unknown
from models.message import Message
from models.planning import moved as moves
from models.planning import orders as science
from models.planning import shop_plan
from models.planning.courses import Kind, usual_work
from models.planning.working_day import WorkingDays
from models.records import Mix, Mould, Order, OrderPlan, Piece, Place, Pour
from models.records.shop import DAYS
from service.actions.pours.log_pour import with_what_is_known
from service.actions.shop import jobs
from service.actions.weather import place_air
from service.actions.windows import scenario_rows
from service.answers import readable
from service.plan_answers import PlanResponse, plan_answer, read_plan
from service.queries import orders as rows
from service.queries.held import standing_in, stays
from service.queries.jobs import job_of
from service.queries.pours import newest, newest_in
from service.queries.projections import latest
from service.queries.rows import by_name, find, find_shop
from service.store import Store
from service.words import Reader

EVERY = timedelta(hours=1)
ZERO = timedelta(0)


@dataclass(frozen=True)
class Gathered:
    """All that a plan rests on; lacks : why there is nothing to plan yet."""

    shop: science.Shop
    orders: tuple[science.Order, ...]
    moulds: tuple[science.MouldThere, ...]
    kinds: Mapping[str, Kind]
    inputs: dict[str, Any]
    lacks: tuple[Message, ...] = ()


def plan_orders(store: Store, now: datetime, every: timedelta = EVERY) -> PlanResponse | None:
    """The plan that stands now, stored; handed the store, since no transaction may be open while it
    calculates. The page tells how far it is meanwhile.

    every : how long it lasts until it is worked out anew
    """
    with store.unit_of_work() as session:
        row = rows.plan_row(session) or OrderPlan(id=1, created_at=now)
        row.begun_at, row.steps_done, row.steps = now, 0, 0
        session.add(row)
        job = job_of(session, jobs.PLAN)
        asked = 0 if job is None else job.asked
    with store.reading() as session:
        gathered = gather(session, now)
        before = read_plan(_stored(session))
        inputs_before = _inputs(session)
    found = _planned(store, now, gathered)
    same = inputs_before.get("orders") == gathered.inputs["orders"]
    changed = moves.moved(
        gathered.shop,
        _stood(before),
        [
            *(moves.Stood(one.piece, one.mould, one.at) for one in found.poured),
            *(moves.Stood(one.piece) for one in found.left_out),
        ],
        found.courses,
        gathered.moulds,
        same_orders=same,
    )
    with store.unit_of_work() as session:
        reader = Reader(find_shop(session).timezone)
        answer = plan_answer(found, changed, reader)
        row = rows.plan_row(session) or OrderPlan(id=1, created_at=now)
        row.made_at, row.begun_at = now, None
        row.inputs, row.answer = gathered.inputs, answer.model_dump(mode="json")
        session.add(row)
        job = job_of(session, jobs.PLAN)
        if job is not None:
            jobs.succeeded(job, now, now + (every if job.asked == asked else ZERO))
            session.add(job)
    return answer


def _planned(store: Store, now: datetime, gathered: Gathered) -> shop_plan.ShopPlan:
    if gathered.lacks:
        return shop_plan.ShopPlan(now, lacks=gathered.lacks)
    lock = threading.Lock()

    def progress(done: int, of: int) -> None:
        with lock, store.unit_of_work() as session:
            row = rows.plan_row(session)
            if row is not None:
                row.steps_done, row.steps = done, of
                session.add(row)

    return shop_plan.plan(
        gathered.shop, gathered.orders, gathered.moulds, gathered.kinds, progress=progress
    )


def _stored(session: Session) -> dict[str, Any] | None:
    row = rows.plan_row(session)
    return None if row is None else row.answer


def _inputs(session: Session) -> dict[str, Any]:
    row = rows.plan_row(session)
    return {} if row is None else dict(row.inputs)


def _stood(before: PlanResponse | None) -> list[moves.Stood]:
    if before is None:
        return []
    return [
        moves.Stood(
            science.Piece(one.piece.order, one.piece.name, one.piece.number), one.mould, one.at
        )
        for one in before.poured
    ]


def gather(session: Session, now: datetime) -> Gathered:
    """Everything the plan rests on, taken from the rows in one look."""
    told = find_shop(session)
    days = WorkingDays(
        now,
        told.timezone,
        (told.working_from, told.working_to),
        tuple(DAYS.index(day) for day in told.working_days),
    )
    shop = science.Shop(days, told.hands, told.confidence)
    open_orders = rows.open_orders(session)
    kinds: dict[str, Kind] = {}
    named: dict[tuple[Any, ...], str] = {}
    pieces: dict[str, int] = {}
    lacks: list[Message] = []
    for order in open_orders:
        for part in order.parts:
            key = _key(part)
            if key in named:
                continue
            draft = _draft(session, now, part)
            piece = find(session, Piece, part["piece_id"], "piece_id")
            if isinstance(draft, Message):
                lacks.append(draft)
                continue
            name = piece.name
            if name in kinds:
                mix, place = find(session, Mix, draft.mix_id), find(session, Place, draft.place_id)
                name = f"{piece.name} ({mix.name}, {place.name})"
            kinds[name] = _kind(session, now, name, draft)
            named[key], pieces[name] = name, piece.id
    moulds = _moulds(session, days, pieces, kinds)
    inputs = {
        "orders": [[one.id, one.name, one.due_at.isoformat(), one.parts] for one in open_orders]
    }
    if lacks:
        unique = {one.code: one for one in lacks}
        return Gathered(shop, (), moulds, kinds, inputs, tuple(unique.values()))
    wanted = _orders(session, now, open_orders, named)
    return Gathered(shop, wanted, moulds, kinds, inputs)


def _key(part: Mapping[str, Any]) -> tuple[Any, ...]:
    return tuple(part.get(name) for name in ("piece_id", "mix_id", "place_id", "sealer_id"))


def _draft(session: Session, now: datetime, part: Mapping[str, Any]) -> Pour | Message:
    """The pour as it would be: what is not told as in the last of the piece, else of any, else the
    only one that there is."""
    last = newest(session, part["piece_id"]) or newest(session)
    values: dict[str, Any] = {"piece_id": part["piece_id"]}
    for noun, table in (("mix", Mix), ("place", Place)):
        name = f"{noun}_id"
        there = by_name(session, table)
        values[name] = part.get(name) or (getattr(last, name) if last else None)
        if values[name] is None and len(there) == 1:
            values[name] = there[0].id
        if values[name] is None:
            return Message(f"plan_no_{noun}")
    of_piece = last is not None and last.piece_id == part["piece_id"]
    sealer_id = part.get("sealer_id") or (last.sealer_id if last and of_piece else None)
    mould_id = last.mould_id if last and of_piece else None
    draft = Pour(created_at=now, placed_at=now, sealer_id=sealer_id, mould_id=mould_id, **values)
    with_what_is_known(session, draft)
    return draft


def _kind(session: Session, now: datetime, name: str, draft: Pour) -> Kind:
    scenario = scenario_rows.with_room(session, scenario_rows.planned(session, draft))
    place = find(session, Place, draft.place_id, "place_id")
    before = scenario_rows.BEFORE_PLACING
    air: AirSeries | Unknown = place_air.joined(session, place, now, now - before).air
    return Kind(name, replace(scenario, name=name), air)


def _moulds(
    session: Session,
    days: WorkingDays,
    pieces: Mapping[str, int],
    kinds: Mapping[str, Kind],
) -> tuple[science.MouldThere, ...]:
    """The moulds in use that are built for what is ordered, or were last poured with it; each with
    the hour from which it is struck and clean."""
    found = by_name(session, Mould)
    standing = stays(session, [one.id for one in found])
    out = []
    for mould in found:
        last = newest_in(session, mould.id) if mould.piece_id is None else None
        piece_id = mould.piece_id or (last.piece_id if last else None)
        fitting = tuple(name for name, key in pieces.items() if key == piece_id)
        if not fitting:
            continue
        pour = standing_in(standing[mould.id])
        free_h = 0.0
        if pour is not None:
            free_h = _free_h(session, days, pour, kinds[fitting[0]])
        out.append(science.MouldThere(mould.name, fitting, free_h))
    return tuple(out)


def _free_h(session: Session, days: WorkingDays, pour: Pour, kind: Kind) -> float:
    """Hours until a mould that holds a pour is struck and clean: infinite while nobody knows."""
    projection = latest(session, pour.id)
    answer = readable(projection.answer if projection else None)
    step = next((one for one in answer.steps if one.step == "strip"), None) if answer else None
    if step is None or step.state in ("blocked", "frozen"):
        return np.inf
    safe_at = step.earliest.safe
    if safe_at is None:
        return np.inf
    works = usual_work(kind.scenario)
    strip_h = science.strip_at_h(days, works, max(days.hour(safe_at), 0.0))
    return strip_h + works.strip.hours + works.clean.hours


def _orders(
    session: Session,
    now: datetime,
    open_orders: Sequence[Order],
    named: Mapping[tuple[Any, ...], str],
) -> tuple[science.Order, ...]:
    """The orders with what of them is still to be poured. Pours of a piece since it was ordered are
    counted for the order that is due first."""
    if not open_orders:
        return ()
    pieces = sorted({part["piece_id"] for one in open_orders for part in one.parts})
    since = min(one.created_at for one in open_orders)
    made = list(rows.poured_since(session, pieces, since))
    set_by_maker = rows.pins(session)
    moulds = {one.id: one.name for one in by_name(session, Mould)}
    out = []
    for order in open_orders:
        parts: list[science.Part] = []
        ready: list[float | None] = []
        for part in order.parts:
            own = [
                one
                for one in made
                if one.piece_id == part["piece_id"] and one.placed_at >= order.created_at
            ][: int(part["count"])]
            made = [one for one in made if one not in own]
            ready += [_ready_h(session, now, one) for one in own]
            pinned = tuple(
                science.Pin(one.number, moulds.get(one.mould_id, ""), one.start_at)
                for one in set_by_maker
                if (one.order_id, one.piece_id) == (order.id, part["piece_id"])
                and one.number > len(own)
            )
            left = int(part["count"]) - len(own)
            parts.append(science.Part(named[_key(part)], left, pinned, len(own) + 1))
        out.append(
            science.Order(
                order.name,
                order.due_at,
                tuple(parts),
                order.together,
                order.assembly_h,
                tuple(ready),
            )
        )
    return tuple(out)


def _ready_h(session: Session, now: datetime, pour: Pour) -> float | None:
    """When a piece that is poured is ready [h] from now, as its own page tells it: turned, cured,
    and where it is sealed in light use; None while nobody knows."""
    projection = latest(session, pour.id)
    answer = readable(projection.answer if projection else None)
    if pour.closed_at is not None:
        return 0.0
    if answer is None:
        return None
    wanted = {"strip", "turn", "end-wet-cure", "light-use"}
    hours = []
    for step in answer.steps:
        if step.step not in wanted or step.state in ("done", "past"):
            continue
        if step.state == "frozen" or step.earliest.safe is None:
            return None
        hours.append((step.earliest.safe - now) / timedelta(hours=1))
    return max([*hours, 0.0])
