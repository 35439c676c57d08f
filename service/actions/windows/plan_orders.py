"""The plan of all orders: rows in, one stored answer out, with what moved since the one before."""

import threading
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import chain, count
from typing import Any

import numpy as np
from sqlmodel import Session

from models.air.series import AirSeries
from models.errors import Unknown, WeatherUnavailable
from models.message import Message
from models.planning import moved as moves
from models.planning import orders as science
from models.planning import shop_plan
from models.planning.courses import Kind
from models.planning.working_day import WorkingDays
from models.records import Mix, Mould, Order, OrderPlan, Piece, Place, Pour, Sealer
from models.records.shop import DAYS
from service.actions.pours.log_pour import with_what_is_known
from service.actions.shop import cover_stock, jobs
from service.actions.shop.learned_work import Learned, learned
from service.actions.shop.mould_states import MouldState, free_after, states
from service.actions.weather import place_air
from service.actions.windows import scenario_rows
from service.answers import readable
from service.plan_answers import PlanResponse, plan_answer, read_plan
from service.queries import orders as rows
from service.queries.jobs import job_of
from service.queries.pours import newest, newest_in, newest_of_pieces
from service.queries.projections import latest
from service.queries.rows import by_name, find, find_shop
from service.store import Store
from service.words import Reader

EVERY = AN_HOUR = timedelta(hours=1)
ZERO = timedelta(0)


@dataclass(frozen=True)
class Gathered:
    """All that a plan rests on; lacks : why there is none yet; notes : whose minutes it counts."""

    shop: science.Shop
    orders: tuple[science.Order, ...]
    moulds: tuple[science.MouldThere, ...]
    kinds: Mapping[str, Kind]
    inputs: dict[str, Any]
    lacks: tuple[Message, ...] = ()
    notes: tuple[Message, ...] = ()


def plan_orders(store: Store, now: datetime, every: timedelta = EVERY) -> PlanResponse:
    """The plan that stands now, stored; handed the store, since no transaction may be open while it
    calculates. The page tells how far it is meanwhile.

    every : how long it lasts until it is worked out anew
    """
    with store.unit_of_work() as session:
        row = rows.plan_row(session) or OrderPlan(created_at=now)
        row.begun_at, row.steps_done, row.steps = now, 0, 0
        session.add(row)
        job = job_of(session, jobs.PLAN)
        asked = 0 if job is None else job.asked
    try:
        return _worked_out(store, now, every, asked)
    except WeatherUnavailable as error:
        with store.unit_of_work() as session:
            job = jobs.plan_due(session, now)
            jobs.failed(job, now, str(error))
            session.add(job)
        raise
    finally:
        with store.unit_of_work() as session:
            begun = rows.plan_row(session)
            if begun is not None:
                begun.begun_at = None
                session.add(begun)


def _worked_out(store: Store, now: datetime, every: timedelta, asked: int) -> PlanResponse:
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
        row = rows.plan_row(session) or OrderPlan(created_at=now)
        row.made_at = now
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

    found = shop_plan.plan(
        gathered.shop, gathered.orders, gathered.moulds, gathered.kinds, progress=progress
    )
    return replace(found, notes=gathered.notes)


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
    counts = cover_stock.counted(told)
    lying = cover_stock.lying(session, days) if counts else ()
    shop = science.Shop(days, told.hands, told.confidence, counts, lying)
    open_orders = rows.open_orders(session)
    kinds: dict[str, Kind] = {}
    named: dict[tuple[Any, ...], str] = {}
    pieces: dict[str, int] = {}
    lacks: list[Message] = []
    known, work = _Known(session, open_orders), learned(session)
    for order in open_orders:
        for part in order.parts:
            key = _key(part)
            if key in named:
                continue
            draft = _draft(session, now, part, known)
            piece = find(session, Piece, part["piece_id"], "piece_id")
            if isinstance(draft, Message):
                lacks.append(draft)
                continue
            name = _unlike(session, piece, draft, kinds)
            kinds[name] = _kind(session, now, name, draft, work)
            named[key], pieces[name] = name, piece.id
    moulds = _moulds(session, days, pieces, kinds)
    inputs = {
        "orders": [[one.id, one.name, one.due_at.isoformat(), one.parts] for one in open_orders]
    }
    if lacks:
        unique = {one.code: one for one in lacks}
        return Gathered(shop, (), moulds, kinds, inputs, tuple(unique.values()))
    wanted = _orders(session, now, open_orders, named)
    return Gathered(shop, wanted, moulds, kinds, inputs, notes=work.told())


def _key(part: Mapping[str, Any]) -> tuple[Any, ...]:
    told = (part.get(name) for name in ("piece_id", "mix_id", "place_id", "sealer_id"))
    then = part.get("sealer_then")
    return (*told, None if then is None else tuple(then))


def _unlike(session: Session, piece: Piece, draft: Pour, taken: Container[str]) -> str:
    """What a kind is called: its piece; where that is taken, with what sets it apart, at last with
    a number. No two kinds may share one name, or one would be planned as the other."""
    mix, place = find(session, Mix, draft.mix_id), find(session, Place, draft.place_id)
    keys = [key for key in (draft.sealer_id, *draft.sealer_then) if key is not None]
    over = [find(session, Sealer, key).name for key in keys]
    told = f"{piece.name} ({', '.join((mix.name, place.name, *over))})"
    numbered = (f"{told[:-1]}, {k})" for k in count(2))
    return next(name for name in chain((piece.name, told), numbered) if name not in taken)


class _Known:
    """What parts take that is not told in them, looked up once for all of them."""

    def __init__(self, session: Session, open_orders: Iterable[Order]) -> None:
        pieces = {part["piece_id"] for one in open_orders for part in one.parts}
        self.last = newest(session)
        self.of_piece = {one.piece_id: one for one in newest_of_pieces(session, pieces)}
        self.there: dict[str, Sequence[Mix | Place]] = {
            "mix": by_name(session, Mix),
            "place": by_name(session, Place),
        }


def _draft(
    session: Session, now: datetime, part: Mapping[str, Any], known: _Known
) -> Pour | Message:
    """The pour as it would be: what is not told as in the last of the piece, else of any, else the
    only one that there is."""
    last = known.of_piece.get(part["piece_id"]) or known.last
    values: dict[str, Any] = {"piece_id": part["piece_id"]}
    for noun, there in known.there.items():
        name = f"{noun}_id"
        values[name] = part.get(name) or (getattr(last, name) if last else None)
        if values[name] is None and len(there) == 1:
            values[name] = there[0].id
        if values[name] is None:
            return Message(f"plan_no_{noun}")
    of_piece = last is not None and last.piece_id == part["piece_id"]
    sealer_id = part.get("sealer_id") or (last.sealer_id if last and of_piece else None)
    then = part.get("sealer_then")
    if then is None:  # the finish goes on as it did over that sealer
        then = last.sealer_then if last and of_piece and last.sealer_id == sealer_id else []
    values |= {"sealer_id": sealer_id, "sealer_then": list(then)}
    mould_id = last.mould_id if last and of_piece else None
    draft = Pour(created_at=now, placed_at=now, mould_id=mould_id, **values)
    with_what_is_known(session, draft)
    return draft


def _kind(session: Session, now: datetime, name: str, draft: Pour, work: Learned) -> Kind:
    scenario = scenario_rows.with_room(session, scenario_rows.planned(session, draft))
    place = find(session, Place, draft.place_id, "place_id")
    before = scenario_rows.BEFORE_PLACING
    air: AirSeries | Unknown = place_air.joined(session, place, now, now - before).air
    works = work.work_on(scenario.shape, scenario.mixture)
    return Kind(name, replace(scenario, name=name), air, works)


def _moulds(
    session: Session,
    days: WorkingDays,
    pieces: Mapping[str, int],
    kinds: Mapping[str, Kind],
) -> tuple[science.MouldThere, ...]:
    """The moulds in use that are built for what is ordered, or were last poured with it; each with
    the hour from which the register of moulds lets it take the next."""
    out = []
    for state in states(session, days.now, by_name(session, Mould)):
        mould = state.mould
        last = newest_in(session, mould.id) if mould.piece_id is None else None
        piece_id = mould.piece_id or (last.piece_id if last else None)
        fitting = tuple(name for name, key in pieces.items() if key == piece_id)
        if fitting:
            free_h = _free_h(days, state, kinds[fitting[0]])
            turnaround_h = free_after(mould.turnaround_h) / AN_HOUR
            out.append(science.MouldThere(mould.name, fitting, free_h, turnaround_h))
    return tuple(out)


def _free_h(days: WorkingDays, state: MouldState, kind: Kind) -> float:
    """Hours until a mould takes the next: infinite while nobody knows. One that holds a pour is
    struck when somebody works, too."""
    if state.free_at is None:
        return np.inf
    free_h = max(days.hour(state.free_at), 0.0)
    if state.strip_at is None:
        return free_h
    works = kind.work
    strip_h = science.strip_at_h(days, works, max(days.hour(state.strip_at), 0.0))
    cleaned_h = max(works.clean.hours, free_after(state.mould.turnaround_h) / AN_HOUR)
    return max(free_h, strip_h + works.strip.hours + cleaned_h)


def to_pour(session: Session, now: datetime) -> list[tuple[Order, Pour | Message, int]]:
    """What of the open orders is still to be poured, each as it would be or what it lacks, and how
    many of it."""
    found = []
    open_orders = rows.open_orders(session)
    known = _Known(session, open_orders)
    for order, parts in _parts(session, open_orders):
        for part, own in parts:
            left = int(part["count"]) - len(own)
            if left > 0:
                found.append((order, _draft(session, now, part, known), left))
    return found


def _parts(
    session: Session, open_orders: Sequence[Order]
) -> list[tuple[Order, list[tuple[Mapping[str, Any], list[Pour]]]]]:
    """The parts of the open orders, each with the pours that are of it. Pours of a piece since it
    was ordered are counted for the order that is due first; what went out with an order put away,
    for that one."""
    if not open_orders:
        return []
    pieces = sorted({part["piece_id"] for one in open_orders for part in one.parts})
    gone = rows.gone_since(session, min(one.created_at for one in open_orders))
    since = min(one.created_at for one in (*gone, *open_orders))
    made = list(rows.poured_since(session, pieces, since))
    out = []
    for order in (*gone, *open_orders):
        parts: list[tuple[Mapping[str, Any], list[Pour]]] = []
        for part in order.parts:
            own = _own(made, order, part)
            made = [one for one in made if one not in own]
            parts.append((part, own))
        out.append((order, parts))
    return out[len(gone) :]


def _orders(
    session: Session,
    now: datetime,
    open_orders: Sequence[Order],
    named: Mapping[tuple[Any, ...], str],
) -> tuple[science.Order, ...]:
    """The orders with what of them is still to be poured."""
    set_by_maker = rows.pins(session)
    moulds = {one.id: one.name for one in by_name(session, Mould)}
    out = []
    for order, ordered in _parts(session, open_orders):
        parts: list[science.Part] = []
        ready: list[float | None] = []
        for part, own in ordered:
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


def _own(made: Sequence[Pour], order: Order, part: Mapping[str, Any]) -> list[Pour]:
    """Which of these pours are of a part of an order: poured since, and before it was put away."""
    return [
        one
        for one in made
        if one.piece_id == part["piece_id"]
        and one.placed_at >= order.created_at
        and (order.archived_at is None or one.placed_at <= order.archived_at)
    ][: int(part["count"])]


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
