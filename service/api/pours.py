"""Pours: log, look, correct, close; and what is told about one."""

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Query
from fastapi.responses import JSONResponse
from sqlmodel import Session

from models.errors import Conflict
from models.message import Message
from models.records import Place, Pour, Projection
from models.records.fields import LARGEST_KEY
from service.actions.pours import doubtful
from service.actions.pours.log_pour import close_pour, correct_pour, log_pour, reopen_pour
from service.actions.pours.pour_again import log_again, template_of
from service.actions.pours.pour_also import pour_also
from service.actions.pours.set_plan import set_plan
from service.actions.record.unlike import differences
from service.actions.shop import jobs
from service.actions.windows.standing import standing
from service.answer_fields import MessageResponse
from service.answers import (
    AnswerResponse,
    ConcreteResponse,
    read_answer,
    read_concrete,
)
from service.api.edition import ChangeDep, LookDep
from service.api.idempotency import IdempotentPostDep
from service.api.listing import PageOf100
from service.nouns.plan import PlanRead, PlanWanted
from service.nouns.pour import (
    PourAgain,
    PourAlso,
    PourChange,
    PourClose,
    PourCreate,
    PourRead,
    PoursRead,
    SeriesDifference,
    SeriesRead,
)
from service.queries.jobs import job_of
from service.queries.pours import load_pour, page_of
from service.queries.projections import latest
from service.queries.rows import find
from service.queries.series import series_of
from service.request_context import ContextDep, Key
from service.words import say
from service.words.reader import PLAIN

router = APIRouter(tags=["pours"])


class ProjectionRead(AnswerResponse):
    """`answer` and `concrete` have the shape of `castclock timeline --json`."""

    pour_id: int
    made_at: datetime
    checked_at: datetime
    why_moved: str
    why_moved_code: MessageResponse | None = None
    concrete: ConcreteResponse | None


@router.post("/pours", status_code=201, response_model=PourRead)
def add_pour(wanted: PourCreate, post: IdempotentPostDep) -> JSONResponse:
    now = post.now

    def work(session: Session) -> Pour:
        find(session, Place, wanted.place_id, "place_id")
        at, values = wanted.placed_at or now, wanted.model_dump()
        found = doubtful.of_pour(session, now, wanted.place_id, at, values)
        row = log_pour(session, now, wanted)
        doubtful.ask(found, wanted.confirm)  # rolls back; what cannot be was refused before
        return row

    return post.write(PourRead, work, recompute="id")


@router.get("/pours")
def list_pours(
    context: ContextDep,
    page: PageOf100,
    active: bool | None = None,
    before_id: Annotated[int | None, Query(ge=1, le=LARGEST_KEY)] = None,
    q: Annotated[str, Query(max_length=120)] = "",
) -> list[PourRead]:
    """Newest first; `before_id` tells of those before it alone; `q` is a number, or a part of the
    name of the piece."""
    with context.store.reading() as session:
        rows = page_of(session, page.part, active=active, before_id=before_id, q=q)
        return page.told([PourRead.model_validate(row) for row in rows])


@router.get("/pours/{pour_id}")
def read_pour(pour_id: Key, context: ContextDep, edition: LookDep) -> PourRead:
    with context.store.reading() as session:
        return edition.told(PourRead.model_validate(find(session, Pour, pour_id, "pour_id")))


@router.patch("/pours/{pour_id}")
def change_pour(
    pour_id: Key, wanted: PourChange, context: ContextDep, edition: ChangeDep
) -> PourRead:
    values = wanted.model_dump(exclude_unset=True, exclude={"confirm", "mould_held"})
    with context.store.unit_of_work() as session:
        pour = find(session, Pour, pour_id, "pour_id")
        before = PourRead.model_validate(pour)
        place_id, at = wanted.place_id or pour.place_id, wanted.placed_at or pour.placed_at
        find(session, Place, place_id, "place_id")
        found = doubtful.of_pour(session, context.now, place_id, at, values)
        row = correct_pour(session, context.now, pour_id, values, wanted.mould_held)
        body = PourRead.model_validate(row)
        edition.must_have_been(before)
        doubtful.ask(found, wanted.confirm)
    context.recompute(pour_id)
    return edition.told(body)


@router.post("/pours/{pour_id}/also", status_code=201, response_model=PoursRead)
def add_pours_of_one_mixing(
    pour_id: Key, wanted: PourAlso, post: IdempotentPostDep
) -> JSONResponse:
    """Further pieces of its mixing, all stored or none: the same mix, hour, place and batches."""

    def work(session: Session) -> dict[str, list[Pour]]:
        return {"pours": pour_also(session, post.now, pour_id, wanted.pieces)}

    return post.write(PoursRead, work)


@router.post("/pours/{pour_id}/again", status_code=201, response_model=PourRead)
def pour_again(
    pour_id: Key, post: IdempotentPostDep, wanted: PourAgain | None = None
) -> JSONResponse:
    """The same again, of one series: mix, piece, place, mould, sealer and cover are those of that
    pour, and what was meant of it at the same hours from placing."""
    now, told = post.now, wanted or PourAgain()

    def work(session: Session) -> Pour:
        own = {name: getattr(told, name) for name in told.model_fields_set - {"confirm"}}
        values = template_of(session, pour_id) | own
        asked = PourCreate(**values)
        row = log_again(session, now, pour_id, asked)
        at = asked.placed_at or now
        found = doubtful.of_pour(session, now, asked.place_id, at, asked.model_dump())
        doubtful.ask(found, told.confirm)
        return row

    return post.write(PourRead, work, recompute="id")


@router.get("/pours/{pour_id}/series")
def read_series(pour_id: Key, context: ContextDep, edition: LookDep) -> SeriesRead:
    """Where it stands in its series, and what differs from the one before it."""
    with context.store.reading() as session:
        found = series_of(session, find(session, Pour, pour_id, "pour_id"))
        differs = []
        if found.before is not None:
            pair = (load_pour(session, key) for key in (found.before.id, pour_id))
            differs = [SeriesDifference(**vars(one)) for one in differences(*pair)]
        return edition.told(
            SeriesRead(
                number=found.number,
                of=found.of,
                pour_ids=[one.id for one in found.pours],
                before_id=found.before.id if found.before else None,
                differs=differs,
            )
        )


@router.get("/pours/{pour_id}/plan")
def read_plan(pour_id: Key, context: ContextDep, edition: LookDep) -> PlanRead:
    """What its maker means to do; the whole plan, with default hours, is in the projection."""
    with context.store.reading() as session:
        return edition.told(PlanRead.model_validate(find(session, Pour, pour_id, "pour_id")))


@router.put("/pours/{pour_id}/plan")
def put_plan(pour_id: Key, wanted: PlanWanted, context: ContextDep, edition: ChangeDep) -> PlanRead:
    """What its maker means to do, in place of all that was meant; the rest has default hours."""
    with context.store.unit_of_work() as session:
        before = PlanRead.model_validate(find(session, Pour, pour_id, "pour_id"))
        body = PlanRead.model_validate(set_plan(session, context.now, pour_id, wanted))
        edition.must_have_been(before)
    context.recompute(pour_id)
    return edition.told(body)


@router.post("/pours/{pour_id}/close", response_model=PourRead)
def close(pour_id: Key, post: IdempotentPostDep, wanted: PourClose | None = None) -> JSONResponse:
    why = (wanted or PourClose()).why
    return post.write(PourRead, lambda s: close_pour(s, post.now, pour_id, why), status=200)


@router.post("/pours/{pour_id}/reopen", response_model=PourRead)
def reopen(pour_id: Key, post: IdempotentPostDep) -> JSONResponse:
    return post.write(
        PourRead, lambda s: reopen_pour(s, post.now, pour_id), status=200, recompute="id"
    )


@router.get("/pours/{pour_id}/projection", responses={409: {}})
def read_projection(pour_id: Key, context: ContextDep) -> ProjectionRead:
    """The windows as they stand; made now when there are none yet."""
    with context.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        row = latest(session, pour_id)
    if row is None:
        context.recompute(pour_id)
        with context.store.reading() as session:
            row = latest(session, pour_id)
            job = job_of(session, jobs.projection_key(pour_id))
    if row is None:
        why = job.failure if job is not None else "closed before it was projected"
        raise Conflict(f"the windows of pour {pour_id}", why)
    return projection_read(row, context.now)


def projection_read(row: Projection, now: datetime) -> ProjectionRead:
    """An answer that has aged opens nothing."""
    answer = read_answer(row.answer)
    steps = [standing(step, now, row.checked_at) for step in answer.steps]
    return ProjectionRead(
        pour_id=row.pour_id,
        made_at=row.made_at,
        checked_at=row.checked_at,
        why_moved=say(Message(**row.moved), PLAIN) if row.moved else "",
        why_moved_code=MessageResponse(**row.moved) if row.moved else None,
        concrete=read_concrete(row.concrete),
        **dict(answer) | {"steps": steps},
    )
