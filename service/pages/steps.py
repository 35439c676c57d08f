"""Steps marked done, and undone."""

from typing import Annotated

from fastapi import APIRouter, Path, Response
from sqlmodel import Session

from service.actions.pours.mark_step_done import mark_step_done, undo_step
from service.answers import read_answer
from service.nouns.form import Control, Form
from service.nouns.step import MOMENT
from service.pages import page_data, render, view
from service.pages.form_post import FormPostDep, PageRoute, form_action, refuse_faults
from service.queries.pours import zone_of
from service.request_context import ContextDep, Key, RequestContext

router = APIRouter(prefix="/pours/{pour_id}", route_class=PageRoute, include_in_schema=False)
Step = Annotated[str, Path(max_length=20)]


@router.get("/steps")
def ask_steps(pour_id: Key, context: ContextDep) -> Response:
    """A big button for every step that is not done yet."""
    return _steps_page(context, pour_id, Form.of([MOMENT]))


def _steps_page(context: RequestContext, pour_id: int, form: Form, status: int = 200) -> Response:
    data = page_data.of_pour(context, pour_id)
    clock = view.Clock(context.now, context.reader(data.place.timezone, data.pour.placed_at))
    row = data.projection
    windows = [] if row is None else read_answer(row.answer).steps
    views = [view.step(one, clock, row.checked_at) for one in windows] if row else []
    return render.page(
        "steps.html",
        status,
        title="Mark a step done",
        reader=clock.reader,
        data=data,
        form=form,
        open=[step for step in views if step.state != "done"],
        patched=any(row.step == "patch" for row in data.done),
        done=[(row.step, view.title(row.step), clock(row.at)) for row in reversed(data.done)],
    )


@router.post("/steps")
def mark(pour_id: Key, post: FormPostDep) -> Response:
    form = Form.of([MOMENT, Control("step", "Step", needed=True)], post.fields)

    def store(session: Session) -> str:
        at = form.value("at", zone_of(session, pour_id)) or post.context.now
        step = form.value("step")
        refuse_faults(form)
        mark_step_done(session, post.context.now, pour_id, step, at)
        return f"/pours/{pour_id}?said=done"

    return post.write(form, store, lambda: _steps_page(post.context, pour_id, form, 422))


@router.post("/steps/{step}/undo")
def undo(pour_id: Key, step: Step, post: FormPostDep) -> Response:
    return form_action(post, pour_id, lambda s, now: undo_step(s, now, pour_id, step), "undone")
