"""The stock: what stands there, what is to be bought, and what the frost would take."""

from typing import Literal

from fastapi import APIRouter, Response
from sqlmodel import Session

from models.facts.amounts import STOCKED
from models.records import Mix, Place, Sealer, Stock
from service.actions.shop.stock import Need, bring_back, save_stock, shopping, use_up
from service.nouns import stock as noun
from service.nouns.controls import typed_of
from service.nouns.form import Control, Form
from service.pages import render
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute, refuse_faults
from service.queries.rows import by_name, find
from service.queries.stock import in_stock
from service.request_context import ContextDep, Key, RequestContext
from service.words import Reader, measure, spelt, word

router = APIRouter(prefix="/stock", route_class=PageRoute, include_in_schema=False)
DIMENSIONS = {"kg": "scale_kg", "l": "volume_l"}
KeyOrNew = Literal["new"] | Key


@router.get("")
def show(context: ContextDep) -> Response:
    reader = context.reader()
    with context.store.reading() as session:
        there, found = in_stock(session), shopping(session, context.now)
        gone = in_stock(session, archived=True)
        places = {one.id: one.name for one in by_name(session, Place)}
    return render.page(
        "stock.html",
        title="Stock",
        tab="shop",
        reader=reader,
        rows=[(one, _row(one, reader), places.get(one.place_id or 0, "")) for one in there],
        past=found.past,
        gone=gone[:20],
        needs=[(_named(one, reader), *_amounts(one, reader)) for one in found.needs],
        unreckoned=[
            *((f"/pours/{one.pour_id}", one) for one in found.unreckoned),
            *((f"/orders/{one.order_id}", one) for one in found.orders),
        ],
        cold=[(one, measure(one.lowest_C, "temperature_C", reader)) for one in found.cold],
    )


@router.get("/{stock_id}")
def ask(stock_id: KeyOrNew, context: ContextDep) -> Response:
    with context.store.reading() as session:
        row = find(session, Stock, stock_id, "stock_id") if isinstance(stock_id, int) else None
        form = _form(session, context, row)
    return _page(context, form, stock_id)


@router.post("/{stock_id}")
def save(stock_id: KeyOrNew, post: FormPostDep) -> Response:
    with post.context.store.reading() as session:
        form = post.form(_controls(session))

    def store(session: Session) -> Landing:
        values = noun.values(form)
        refuse_faults(form)
        with form.named(""):
            key = stock_id if isinstance(stock_id, int) else None
            row = save_stock(session, post.context.now, values, key)
        return Landing("/stock", "saved_thing", {"name": row.name})

    return post.write(form, store, lambda: _page(post.context, form, stock_id, 422))


@router.post("/{stock_id}/used-up")
def used_up(stock_id: Key, post: FormPostDep) -> Response:
    def store(session: Session) -> Landing:
        row = use_up(session, post.context.now, stock_id)
        undo = f"/stock/{stock_id}/restore"
        return Landing("/stock", "saved_thing", {"name": row.name}, undo)

    return post.write(Form.of([]), store)


@router.post("/{stock_id}/restore")
def restore(stock_id: Key, post: FormPostDep) -> Response:
    def store(session: Session) -> Landing:
        return Landing("/stock", "saved_thing", {"name": bring_back(session, stock_id).name})

    return post.write(Form.of([]), store)


def _controls(session: Session) -> list[Control]:
    return noun.controls(by_name(session, Mix), by_name(session, Sealer), by_name(session, Place))


def _form(session: Session, context: RequestContext, row: Stock | None) -> Form:
    fields, reader = _controls(session), context.reader()
    if row is None:
        return Form.of(fields, None, reader)
    told = [one.read_by(reader) for one in fields]
    return Form.of(fields, typed_of(row, told, ""), reader)


def _page(context: RequestContext, form: Form, stock_id: int | str, status: int = 200) -> Response:
    return render.page(
        "stock_row.html",
        status,
        title="New in stock" if stock_id == "new" else form.shown("name"),
        tab="shop",
        reader=context.reader(),
        form=form,
        action=f"/stock/{stock_id}",
    )


def _row(one: Stock, reader: Reader) -> str:
    return _amount(one.kind, one.amount, reader)


def _amount(kind: str, amount: float, reader: Reader) -> str:
    unit = STOCKED[kind]
    if unit in DIMENSIONS:
        return measure(amount, DIMENSIONS[unit], reader)
    return f"{amount:g} {'bag' if amount == 1 else 'bags'}"


def _named(one: Need, reader: Reader) -> str:
    kind = spelt(word("part", one.kind, reader), reader)
    return f"{one.name} ({kind})" if one.name else kind.capitalize()


def _amounts(one: Need, reader: Reader) -> tuple[str, str, str]:
    need, have, buy = (_amount(one.kind, much, reader) for much in (one.need, one.have, one.buy))
    return need, have if one.have else "none", buy if one.buy else ""
