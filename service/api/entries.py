"""What is put down about a pour: covers, readings, batches, tests; all by one router."""

from collections.abc import Callable
from datetime import datetime
from typing import Annotated, Any, TypeVar

from fastapi import APIRouter, Body, Path
from fastapi.responses import JSONResponse
from fastapi.routing import APIRoute
from pydantic import Field
from sqlmodel import Session

from models.records import Batch, Pour, ProtectionPeriod, Reading, StrengthTest
from models.records.fields import LARGEST_KEY, Instant, YesNo
from service.actions.pours import doubtful, take_readings
from service.actions.pours.change_protection import put_on, remove_protection, take_off
from service.actions.pours.log_batch import log_batch, remove_batch
from service.actions.pours.record_reading import mark_reading, record_reading, remove_reading
from service.actions.pours.record_strength_test import record_strength_test, remove_strength_test
from service.api.idempotency import IdempotentPostDep
from service.api.instrument_readings import ACCEPTS, OneOrMany
from service.api.listing import PageDep
from service.nouns.base import As, RequestBody, Stored
from service.nouns.batch import BatchCreate, BatchRead
from service.nouns.cover import ProtectionCreate, ProtectionRead
from service.nouns.reading import ReadingCreate, ReadingRead, ReadingsTaken
from service.nouns.strength_test import StrengthTestCreate, StrengthTestRead
from service.queries.rows import find, of_pour
from service.request_context import ContextDep, Key

C = TypeVar("C", bound=RequestBody)
R = TypeVar("R", bound=Stored)
T = TypeVar("T", Batch, ProtectionPeriod, Reading, StrengthTest)


def entries(
    noun: str,
    table: type[T],
    create: type[C],
    read: type[R],
    record: Callable[[Session, datetime, int, C], T],
    remove: Callable[[Session, datetime, int], object],
    *,
    path: str = "",
    add: str = "",
    order: str = "at",
    moves_windows: bool = True,
    route: type[APIRoute] = APIRoute,
    by_itself: Callable[[Session, datetime, int, C, str], T] | None = None,
    **told: Any,
) -> APIRouter:
    """Add, list and remove what belongs to a pour.

    moves_windows : the pour is computed anew before the answer
    order : the column of time by which rows are listed
    route : the class of its routes
    by_itself : how it is recorded where an instrument of that name sends it; the clock projects
    told : of the POST, where it takes and answers more
    """
    many = path or f"{noun}s"
    one = noun.replace("-", "_")
    key = f"{one}_id"
    router = APIRouter(tags=[many.replace("-", " ")], route_class=route)

    @router.post(
        f"/pours/{{pour_id}}/{many}",
        name=add or f"add_{one}",
        status_code=201,
        **{"response_model": read, **told},
    )
    def create_row(
        pour_id: Key, wanted: Annotated[C, Body(), As(create)], post: IdempotentPostDep
    ) -> JSONResponse:
        asker = post.context.asker

        def work(session: Session) -> T:
            if by_itself is not None and asker.machine:
                return by_itself(session, post.now, pour_id, wanted, asker.name)
            return record(session, post.now, pour_id, wanted)

        at_once = moves_windows and not asker.machine
        return post.write(read, work, recompute="pour_id" if at_once else "")

    @router.get(f"/pours/{{pour_id}}/{many}", name=f"list_{many.replace('-', '_')}")
    def rows(pour_id: Key, context: ContextDep, page: PageDep) -> list[Annotated[R, As(read)]]:
        with context.store.reading() as session:
            find(session, Pour, pour_id, "pour_id")
            found = of_pour(session, table, pour_id, order, page.part)
            return page.told([read.model_validate(row) for row in found])

    @router.delete(f"/{many}/{{{key}}}", name=f"delete_{one}", status_code=204)
    def delete(
        row_id: Annotated[int, Path(alias=key, ge=1, le=LARGEST_KEY)], context: ContextDep
    ) -> None:
        with context.store.unit_of_work() as session:
            pour_id = find(session, table, row_id, key).pour_id
            remove(session, context.now, row_id)
        if moves_windows:
            context.recompute(pour_id)

    return router


def _read(session: Session, now: datetime, pour_id: int, wanted: ReadingCreate) -> Reading:
    values = wanted.model_dump() | {"at": wanted.at or now}
    found = doubtful.of_reading(session, now, pour_id, wanted.kind, values)
    row = record_reading(session, now, pour_id, wanted)
    doubtful.ask(found, wanted.confirm)  # rolls back; what cannot be was refused before
    return row


readings = entries(
    "reading",
    Reading,
    ReadingCreate,
    ReadingRead,
    _read,
    remove_reading,
    route=OneOrMany,
    by_itself=take_readings.one,
    response_model=ReadingRead | ReadingsTaken,
    openapi_extra=ACCEPTS,
    description="One reading, or many as JSON or CSV, or a bare number: tells what became of them.",
)
batches = entries(
    "batch",
    Batch,
    BatchCreate,
    BatchRead,
    log_batch,
    remove_batch,
    path="batches",
    moves_windows=False,
)
tests = entries(
    "strength-test",
    StrengthTest,
    StrengthTestCreate,
    StrengthTestRead,
    record_strength_test,
    remove_strength_test,
)
protections = entries(
    "protection",
    ProtectionPeriod,
    ProtectionCreate,
    ProtectionRead,
    put_on,
    remove_protection,
    add="put_protection_on",
    order="from_at",
)
ROUTERS = (protections, readings, batches, tests)


class WrongRequest(RequestBody):
    wrong: YesNo = Field(description="false: it counts again")


@readings.put("/readings/{reading_id}/wrong")
def mark_wrong(reading_id: Key, wanted: WrongRequest, context: ContextDep) -> ReadingRead:
    """The instrument was wrong: the reading is kept, marked, and counted nowhere."""
    with context.store.unit_of_work() as session:
        row = mark_reading(session, context.now, reading_id, wrong=wanted.wrong)
        body = ReadingRead.model_validate(row)
    context.recompute(body.pour_id)
    return body


class OffRequest(RequestBody):
    at: Instant | None = None


@protections.post("/protections/{protection_id}/off", response_model=ProtectionRead)
def take_protection_off(
    protection_id: Key, wanted: OffRequest, post: IdempotentPostDep
) -> JSONResponse:
    return post.write(
        ProtectionRead,
        lambda session: take_off(session, post.now, protection_id, wanted.at or post.now),
        status=200,
        recompute="pour_id",
    )
