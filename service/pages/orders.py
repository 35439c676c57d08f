"""Orders, and the plan of them all: who is poured when, what is due each day, what is promised."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Path, Response
from markupsafe import Markup
from sqlmodel import Session

from models.errors import InputError
from models.message import Message
from models.records import Job, Mould, Order, OrderPlan, Piece
from service import answers
from service.actions.shop import jobs
from service.actions.shop.archive import bring_back, put_away
from service.actions.shop.orders import let_go, pin, save_order
from service.nouns import order as noun
from service.nouns.form import MOST_ROWS, Form
from service.nouns.moments import PASSES, moment
from service.nouns.order import PinCreate
from service.pages import plan_picture, render, view
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute, refuse_faults
from service.plan_answers import (
    ActResponse,
    PieceResponse,
    PlannedPourResponse,
    PlanResponse,
    read_plan,
)
from service.queries import orders as rows
from service.queries.jobs import job_of
from service.queries.rows import by_name, find, find_shop, key_in
from service.request_context import ContextDep, Key, RequestContext
from service.words import instant as clock_words
from service.words import say, spelt, word

router = APIRouter(prefix="/orders", route_class=PageRoute, include_in_schema=False)
KeyOrNew = Annotated[Literal["new"] | Key, Path()]
PAGE = "/orders/plan"
STALE = timedelta(hours=3)


@dataclass(frozen=True)
class Due:
    """One act of a day, as the list shows it; short : it asks for more people than are there."""

    at: view.Moment
    time: str
    verb: str
    what: str
    number: int
    minutes: float
    short: str


@dataclass(frozen=True)
class Row:
    """One pour of the plan, with what it can be set to."""

    number: int
    pour: PlannedPourResponse
    at: view.Moment
    free: view.Moment
    ready: view.Moment | None
    moves: str
    link: str
    pin: dict[str, str]
    pin_id: int | None
    action: str


@dataclass(frozen=True)
class State:
    """Where the plan stands: what was made when, what is on its way."""

    plan: PlanResponse | None
    row: OrderPlan | None
    due: bool
    failure: str
    age: str
    stale: bool


@router.get("")
def show(context: ContextDep) -> Response:
    """Every order with what may be promised of it."""
    with context.store.reading() as session:
        found = list(rows.open_orders(session))
        names = {one.id: one.name for one in by_name(session, Piece)}
        state = _state(session, context)
    clock = view.Clock(context.now, context.reader())
    promised = {one.order: one for one in state.plan.promises} if state.plan else {}
    listed = [
        (
            one,
            clock.at(one.due_at),
            ", ".join(
                f"{part['count']} x {names.get(part['piece_id'], part['piece_id'])}"
                for part in one.parts
            ),
            promised.get(one.name),
        )
        for one in found
    ]
    return render.page(
        "orders.html",
        title="Orders",
        tab="shop",
        reader=clock.reader,
        orders=listed,
        clock=clock,
        state=state,
        late=lambda one: say(Message("plan_late", {"chance": one.late}), clock.reader),
    )


@router.get("/plan")
def plan(context: ContextDep) -> Response:
    """The plan that stands, with its age; while a newer one is on its way the page asks again."""
    clock = view.Clock(context.now, context.reader())
    with context.store.reading() as session:
        state = _state(session, context)
        orders = {one.name: one for one in rows.open_orders(session)}
        pieces = {one.name: one.id for one in by_name(session, Piece)}
        moulds = {one.name: one.id for one in by_name(session, Mould)}
        pins = {(one.order_id, one.piece_id, one.number): one.id for one in rows.pins(session)}
        shop = find_shop(session)
    told = state.plan
    shown: dict[str, Any] = {"rows": [], "days": [], "picture": "", "promises": [], "moved": []}
    shown["left"] = []
    if told is not None:
        drawn = list(enumerate(told.poured, 1))
        numbers = {_key(one): k for k, one in drawn}
        shown = {
            "rows": [_row(k, one, clock, orders, pieces, moulds, pins) for k, one in drawn],
            "days": _days(told.acts, numbers, clock, shop.hands),
            "picture": Markup(plan_picture.drawn(told, clock)),
            "promises": [
                (one, clock(one.at_even), clock(one.at_sure), clock(one.due))
                for one in told.promises
            ],
            "left": [(one, *_pin_of(one.piece, orders, pieces, pins)) for one in told.left_out],
            "moved": [(one, clock(one.from_at), clock(one.to_at)) for one in told.moved],
        }
    return render.page(
        "order_plan.html",
        title=spelt("Plan of the moulds", clock.reader),
        tab="shop",
        reader=clock.reader,
        state=state,
        told=told,
        confidence=f"{100 * shop.confidence:.0f}",
        clock=clock,
        moulds=sorted(moulds.items()),
        chance=lambda value: say(Message("plan_late", {"chance": value}), clock.reader),
        **shown,
    )


@router.post("/plan")
def ask_anew(post: FormPostDep) -> Response:
    """Work it out anew, with the weather and the pours as they stand."""

    def store(session: Session) -> Landing:
        jobs.plan_due(session, post.context.now)
        return Landing(PAGE)

    return post.write(Form.of([]), store)


@router.get("/{order_id}")
def ask(order_id: KeyOrNew, context: ContextDep) -> Response:
    with context.store.reading() as session:
        row = find(session, Order, order_id, "order_id") if order_id != "new" else None
        zone = find_shop(session).timezone
        fields = noun.controls(by_name(session, Piece), row)
    told = [one.read_by(context.reader()) for one in fields]
    typed = None if row is None else noun.typed(row, zone, told)
    return _page(context, order_id, Form.of(fields, typed, context.reader()), row)


@router.post("/{order_id}")
def save(order_id: KeyOrNew, post: FormPostDep) -> Response:
    context = post.context
    with context.store.reading() as session:
        row = find(session, Order, order_id, "order_id") if order_id != "new" else None
        zone = find_shop(session).timezone
        fields = noun.controls(by_name(session, Piece), row, post.fields)
    form = post.form(fields)

    def store(session: Session) -> Landing:
        values = noun.values(form, zone, row.parts if row else ())
        refuse_faults(form)
        with form.named(noun.ORDER, noun.named_here(form)):
            saved = save_order(session, context.now, values, row.id if row else None)
        return Landing(PAGE, "saved_thing" if row else "saved_new", {"name": saved.name})

    return post.write(form, store, lambda: _page(context, order_id, form, row, 422))


@router.post("/{order_id}/archive")
def done(order_id: Key, post: FormPostDep) -> Response:
    """Made and gone: it is planned no more."""

    def store(session: Session) -> Landing:
        row: Any = put_away(session, post.context.now, "order", order_id)
        values = {"name": row.name}
        return Landing("/orders", "saved_away", values, f"/orders/{order_id}/restore")

    return post.write(Form.of([]), store)


@router.post("/{order_id}/restore")
def back(order_id: Key, post: FormPostDep) -> Response:
    def store(session: Session) -> Landing:
        row: Any = bring_back(session, post.context.now, "order", order_id)
        return Landing(f"/orders/{order_id}", "saved_brought", {"name": row.name})

    return post.write(Form.of([]), store)


@router.post("/{order_id}/pins")
def set_pour(order_id: Key, post: FormPostDep) -> Response:
    """One pour stays where it stands, or where it is put; the others are planned around it."""
    context = post.context

    def store(session: Session) -> Landing:
        zone = find_shop(session).timezone
        wanted = PinCreate(
            piece_id=_number(post.text("piece_id"), "piece_id"),
            number=_number(post.text("number"), "number"),
            mould_id=_number(post.text("mould_id"), "mould_id"),
            start_at=moment("start_at", post.text("start_at"), zone, PASSES[1]),
        )
        pin(session, context.now, order_id, wanted)
        return Landing(PAGE, "saved_pinned")

    return post.write(Form.of([]), store)


@router.post("/{order_id}/pins/{pin_id}/remove")
def free(order_id: Key, pin_id: Key, post: FormPostDep) -> Response:
    def store(session: Session) -> Landing:
        let_go(session, post.context.now, order_id, pin_id)
        return Landing(PAGE, "saved_unpinned")

    return post.write(Form.of([]), store)


def _number(text: str, name: str) -> int:
    number = key_in(text)
    if not number:
        raise InputError(name, text, "not a number of the page", "as the page sends it")
    return number


def _page(
    context: RequestContext, order_id: int | str, form: Form, row: Order | None, status: int = 200
) -> Response:
    clock = view.Clock(context.now, context.reader())
    with context.store.reading() as session:
        pins = [
            (
                one,
                find(session, Piece, one.piece_id, "piece_id").name,
                find(session, Mould, one.mould_id, "mould_id").name,
                clock.at(one.start_at),
            )
            for one in (rows.pins(session, row.id) if row else ())
        ]
    return render.page(
        "order.html",
        status,
        title="New order" if row is None else row.name,
        tab="shop",
        reader=context.reader(),
        form=form,
        action=f"/orders/{order_id}",
        row=row,
        pins=pins,
        lines=[k for k in range(MOST_ROWS) if f"{noun.PARTS}{k}.piece_id" in form.fields],
    )


def _state(session: Session, context: RequestContext) -> State:
    row, job = rows.plan_row(session), job_of(session, jobs.PLAN)
    plan = read_plan(row.answer if row else None)
    told = None if plan is None else answers.told(plan, context.reader())
    made_at = row.made_at if row else None
    span = context.now - made_at if made_at else timedelta(0)
    due = _is_due(job, context.now) or bool(row and row.begun_at)
    failure = job.failure if job else ""
    return State(told, row, due and not failure, failure, view.age(span), span > STALE)


def _is_due(job: Job | None, now: datetime) -> bool:
    return job is not None and job.due_at <= now


def _key(one: PlannedPourResponse | ActResponse) -> tuple[str, str, int]:
    return one.piece.order, one.piece.name, one.piece.number


def _keys(
    one: PieceResponse, orders: Mapping[str, Order], pieces: Mapping[str, int]
) -> tuple[int, int]:
    """The keys of an order and a piece of the plan; 0: it is there no more. What sets two kinds of
    one piece apart stands behind its name."""
    order = orders.get(one.order)
    alike = [name for name in pieces if one.name == name or one.name.startswith(f"{name} (")]
    return order.id if order else 0, pieces[max(alike, key=len)] if alike else 0


def _row(
    number: int,
    one: PlannedPourResponse,
    clock: view.Clock,
    orders: dict[str, Order],
    pieces: dict[str, int],
    moulds: dict[str, int],
    pins: dict[tuple[int, int, int], int],
) -> Row:
    order_id, piece_id = _keys(one.piece, orders, pieces)
    mould_id = moulds.get(one.mould, 0)
    values = {
        "piece_id": str(piece_id),
        "number": str(one.piece.number),
        "mould_id": str(mould_id),
        "start_at": clock.control(one.at),
    }
    moves = ""
    if one.moves >= 0.05:
        moves = say(Message("plan_moves", {"chance": one.moves}), clock.reader)
    return Row(
        number,
        one,
        clock.at(one.at),
        clock.at(one.free_at),
        clock(one.ready_sure),
        moves,
        f"/pour?{render.query({'piece': piece_id, 'mould': mould_id})}",
        values,
        pins.get((order_id, piece_id, one.piece.number)),
        f"/orders/{order_id}/pins",
    )


def _pin_of(
    one: PieceResponse,
    orders: Mapping[str, Order],
    pieces: Mapping[str, int],
    pins: Mapping[tuple[int, int, int], int],
) -> tuple[str, int | None]:
    """Where pours of an order are set, and the key of the one that is set for a piece."""
    order_id, piece_id = _keys(one, orders, pieces)
    return f"/orders/{order_id}/pins", pins.get((order_id, piece_id, one.number))


def _days(
    acts: Sequence[ActResponse],
    numbers: dict[tuple[str, str, int], int],
    clock: view.Clock,
    hands: int,
) -> list[tuple[str, list[Due]]]:
    """What is due, day by day."""
    days: dict[str, list[Due]] = {}
    for one in acts:
        local = one.at.astimezone(clock.zone)
        short = ""
        if one.short:
            short = say(Message("plan_short", {"needs": one.hands, "hands": hands}), clock.reader)
        day = clock_words(local, "day", clock.reader)
        days.setdefault(day, []).append(
            Due(
                clock.at(one.at),
                clock_words(one.at, "time", clock.reader),
                word("act", one.act, clock.reader),
                f"{one.piece.name}, {one.piece.order}",
                numbers.get(_key(one), 0),
                one.minutes,
                short,
            )
        )
    return list(days.items())
