"""The plan of all orders, and the pours that are set for them; orders themselves: catalogue.py."""

from datetime import datetime

from fastapi import APIRouter
from fastapi.responses import JSONResponse
from pydantic import BaseModel
from sqlmodel import Session

from models.records import Job, Order
from service import plan_answers
from service.actions.shop import jobs
from service.actions.shop.orders import let_go, pin
from service.api.edition import LookDep
from service.api.idempotency import IdempotentPostDep
from service.api.listing import PageDep
from service.nouns.order import PinCreate, PinRead
from service.plan_answers import PlanResponse
from service.queries import orders as rows
from service.queries.jobs import job_of
from service.queries.rows import find
from service.request_context import ContextDep, Key

router = APIRouter(tags=["orders"])


class PlanStands(BaseModel):
    """The plan that stands; due : a newer one is on its way, so far as steps_done of steps tell.

    plan : none before the first; failure : why the last try failed
    """

    plan: PlanResponse | None
    due: bool
    steps_done: int
    steps: int
    failure: str


@router.get("/order-plan")
def read_order_plan(context: ContextDep, edition: LookDep) -> PlanStands:
    with context.store.reading() as session:
        return edition.told(_stands(session, context.now))


@router.post("/order-plan", status_code=202, response_model=PlanStands)
def ask_order_plan(post: IdempotentPostDep) -> JSONResponse:
    """Work it out anew: it is due at once; look again for it."""

    def work(session: Session) -> PlanStands:
        jobs.plan_due(session, post.now)
        session.flush()
        return _stands(session, post.now)

    return post.write(PlanStands, work, status=202)


def _stands(session: Session, now: datetime) -> PlanStands:
    row, job = rows.plan_row(session), job_of(session, jobs.PLAN)
    plan = plan_answers.read_plan(row.answer if row else None)
    return PlanStands(
        plan=None if plan is None else plan,
        due=is_due(job, now),
        steps_done=row.steps_done if row else 0,
        steps=row.steps if row else 0,
        failure=job.failure if job else "",
    )


def is_due(job: Job | None, now: datetime) -> bool:
    """Whether a newer plan is on its way."""
    return job is not None and job.due_at <= now


@router.get("/orders/{order_id}/pins")
def list_pins(order_id: Key, context: ContextDep, page: PageDep) -> list[PinRead]:
    """The pours that their maker has set."""
    with context.store.reading() as session:
        find(session, Order, order_id, "order_id")
        found = rows.pins(session, order_id, page.part)
        return page.told([PinRead.model_validate(one) for one in found])


@router.post("/orders/{order_id}/pins", status_code=201, response_model=PinRead)
def add_pin(order_id: Key, wanted: PinCreate, post: IdempotentPostDep) -> JSONResponse:
    """Set the pour of one piece: its mould and its start. One that was set before is moved."""
    return post.write(PinRead, lambda session: pin(session, post.now, order_id, wanted))


@router.delete("/orders/{order_id}/pins/{pin_id}", status_code=204)
def delete_pin(order_id: Key, pin_id: Key, context: ContextDep) -> None:
    """The planner's again."""
    with context.store.unit_of_work() as session:
        let_go(session, context.now, order_id, pin_id)
