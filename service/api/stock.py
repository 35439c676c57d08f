"""The stock, and the shopping list of the plan."""

from fastapi import APIRouter
from fastapi.responses import JSONResponse

from models.records import Stock
from service.actions.shop.stock import bring_back, save_stock, shopping, use_up
from service.api.edition import ChangeDep, LookDep
from service.api.idempotency import IdempotentPostDep
from service.api.listing import PageDep
from service.nouns.stock import ShoppingRead, StockCreate, StockRead
from service.queries.rows import find
from service.queries.stock import in_stock
from service.request_context import ContextDep, Key

router = APIRouter(tags=["stock"])


@router.get("/stock")
def list_stock(context: ContextDep, page: PageDep, *, archived: bool = False) -> list[StockRead]:
    """What stands there, or what was used up."""
    with context.store.reading() as session:
        rows = page.part.items(in_stock(session, archived=archived), lambda row: [row.id])
        return page.told([StockRead.model_validate(row) for row in rows])


@router.post("/stock", status_code=201, response_model=StockRead)
def add_stock(wanted: StockCreate, post: IdempotentPostDep) -> JSONResponse:
    return post.write(StockRead, lambda s: save_stock(s, post.now, wanted.model_dump()))


@router.get("/shopping-list")
def read_shopping(context: ContextDep) -> ShoppingRead:
    """What planned pours and coats take, less what is there and not past its date."""
    with context.store.reading() as session:
        return ShoppingRead.model_validate(shopping(session, context.now))


@router.get("/stock/{stock_id}")
def read_stock(stock_id: Key, context: ContextDep, edition: LookDep) -> StockRead:
    with context.store.reading() as session:
        return edition.told(StockRead.model_validate(find(session, Stock, stock_id, "stock_id")))


@router.put("/stock/{stock_id}")
def change_stock(
    stock_id: Key, wanted: StockCreate, context: ContextDep, edition: ChangeDep
) -> StockRead:
    with context.store.unit_of_work() as session:
        before = StockRead.model_validate(find(session, Stock, stock_id, "stock_id"))
        row = save_stock(session, context.now, wanted.model_dump(), stock_id)
        edition.must_have_been(before)
        body = StockRead.model_validate(row)
    return edition.told(body)


@router.post("/stock/{stock_id}/used-up", response_model=StockRead)
def used_up(stock_id: Key, post: IdempotentPostDep) -> JSONResponse:
    """Nothing is left of it: counted no more, and kept."""
    return post.write(StockRead, lambda s: use_up(s, post.now, stock_id), status=200)


@router.post("/stock/{stock_id}/restore", response_model=StockRead)
def restore(stock_id: Key, post: IdempotentPostDep) -> JSONResponse:
    return post.write(StockRead, lambda s: bring_back(s, stock_id), status=200)
