"""How it came out of its mould, how its seal looks, how it held up: one tap, with its undo."""

from dataclasses import dataclass

from fastapi import APIRouter, Response
from sqlmodel import Session

from models.records.pour import HELD_UP, SEALED_AS
from models.records.step import CAME_OUT
from service.actions.pours.tell_how import (
    asked,
    tell_came_out,
    tell_held_up,
    tell_sealed_as,
)
from service.nouns.form import Form
from service.pages import page_data
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute
from service.request_context import Key, RequestContext

router = APIRouter(prefix="/pours/{pour_id}", route_class=PageRoute, include_in_schema=False)


@dataclass(frozen=True)
class Question:
    """What is asked, where its answer is sent, and the answers."""

    words: str
    of: str
    answers: tuple[str, ...]


QUESTIONS = {
    "strip": Question("How did it come out of the mould?", "came-out", CAME_OUT),
    "seal": Question("A week after its last coat: how does it look?", "sealed-as", SEALED_AS),
    "month": Question("A month on: how is it?", "held-up", HELD_UP),
}


def question(data: page_data.PourData, context: RequestContext) -> Question | None:
    """What is still to be told of a pour."""
    return QUESTIONS.get(asked(data.pour, data.done, context.now))


@router.post("/came-out")
def came_out(pour_id: Key, post: FormPostDep) -> Response:
    def store(session: Session) -> Landing:
        how = post.text("how") or None
        tell_came_out(session, pour_id, how)
        return _landing(pour_id, "came-out", how)

    return post.write(Form.of([]), store)


@router.post("/sealed-as")
def sealed_as(pour_id: Key, post: FormPostDep) -> Response:
    def store(session: Session) -> Landing:
        how = post.text("how") or None
        tell_sealed_as(session, pour_id, how)
        return _landing(pour_id, "sealed-as", how)

    return post.write(Form.of([]), store)


@router.post("/held-up")
def held_up(pour_id: Key, post: FormPostDep) -> Response:
    def store(session: Session) -> Landing:
        how = post.text("how") or None
        tell_held_up(session, post.context.now, pour_id, how)
        return _landing(pour_id, "held-up", how)

    return post.write(Form.of([]), store)


def _landing(pour_id: int, of: str, how: str | None) -> Landing:
    page = f"/pours/{pour_id}"
    if how is None:
        return Landing(page, "saved_back")
    return Landing(page, "saved_how", {"how": how}, undo=f"{page}/{of}", fields={"how": ""})
