"""Steps marked done, and undone: one that is not open is asked about once."""

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Path, Query, Response
from sqlmodel import Session

from models.errors import InputError
from models.message import Message
from models.steps import registry
from service.actions.pours.mark_step_done import mark_step_done, refuse_minutes, undo_step
from service.answers import AnswerResponse, read_answer
from service.nouns.form import Control, Form
from service.nouns.step import TOOK, WHEN, moment_of
from service.pages import guard, page_data, render, view
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute, form_action, refuse_faults
from service.request_context import ContextDep, Key, RequestContext
from service.words import say_all

router = APIRouter(prefix="/pours/{pour_id}", route_class=PageRoute, include_in_schema=False)
Step = Annotated[str, Path(max_length=20)]
FIELDS = (*WHEN, TOOK, Control("step", "Step", needed=True), Control("sure", "It is done", "check"))


@router.get("/steps")
def ask_steps(
    pour_id: Key, context: ContextDep, step: Annotated[str, Query(max_length=20)] = ""
) -> Response:
    """A big button for every step that is not done yet, those that are open on top.

    step : the one that a sticker or a notice is about, which stands first with its cautions
    """
    return _steps_page(context, pour_id, Form.of(FIELDS, None, context.reader()), wanted=step)


def _steps_page(
    context: RequestContext, pour_id: int, form: Form, status: int = 200, wanted: str = ""
) -> Response:
    data = page_data.of_pour(context, pour_id)
    clock = view.Clock(context.now, context.reader(data.place.timezone, data.pour.placed_at))
    row = data.projection
    windows = [] if row is None else read_answer(row.answer).steps
    views = [view.step(one, clock, row.checked_at) for one in windows] if row else []
    left = [step for step in views if step.state != "done"]
    about = next((step for step in left if step.step == wanted), None)
    left = [step for step in left if step is not about]
    return render.page(
        "steps.html",
        status,
        title="Mark a step done",
        reader=clock.reader,
        data=data,
        form=form,
        about=about,
        open=[step for step in left if step.ready],
        later=[step for step in left if not step.ready],
        patched=any(row.step == "patch" for row in data.done),
        done=[
            (row.step, view.title(row.step, clock.reader), clock(row.at))
            for row in reversed(data.done)
        ],
    )


@router.post("/steps")
def mark(pour_id: Key, post: FormPostDep) -> Response:
    context, form = post.context, post.form(FIELDS)
    data = page_data.of_pour(context, pour_id)
    step = post.text("step")
    reader = context.reader(data.place.timezone, data.pour.placed_at)
    at = moment_of(form, post.happened_at, reader.timezone)
    try:
        refuse_minutes(form.value("took_min"))
    except InputError as error:
        form.refuse(error)
    sound = not form.wrong and at >= data.pour.placed_at and registry.step_of(step) is not None
    if sound and not form.value("sure"):  # what cannot be is refused, not asked about
        against = say_all(_against(data, step, at, context.now), reader)
        if against:
            return _asked(data, form, at, against, view.Clock(context.now, reader))

    def store(session: Session) -> Landing:
        chosen = form.value("step")
        refuse_faults(form)
        mark_step_done(session, context.now, pour_id, chosen, at, form.value("took_min"))
        return _landing(pour_id, "done", chosen, undo=f"steps/{chosen}/undo")

    return post.write(form, store, lambda: _steps_page(context, pour_id, form, 422))


def _against(data: page_data.PourData, step: str, at: datetime, now: datetime) -> list[Message]:
    """What speaks against it."""
    if any(row.step == step for row in data.done) or step == "patch":
        return []  # marked already, which is refused with its reason; a patch may go on any time
    row = data.projection
    answer = AnswerResponse.model_validate(row.answer) if row else None
    window = next((one for one in answer.steps if one.step == step), None) if answer else None
    return guard.questions(window, at, now, row.checked_at if row else None)


def _asked(
    data: page_data.PourData, form: Form, at: datetime, against: list[str], clock: view.Clock
) -> Response:
    """The question, with its two answers."""
    step = form.shown("step")
    return render.page(
        "ask_step.html",
        reader=clock.reader,
        title=f"{view.title(step, clock.reader)}?",
        data=data,
        step=step,
        words=view.title(step, clock.reader),
        told="" if clock.now - at < guard.JUST_NOW else clock.at(at).clock,  # of an earlier hour
        at=at.isoformat(),
        took_min=form.value("took_min"),
        against=against,
    )


def _landing(
    pour_id: int, outcome: str, step: str, undo: str, fields: dict[str, str] | None = None
) -> Landing:
    page, number = f"/pours/{pour_id}", registry.coat_number(step)
    said = f"saved_{outcome}_coat" if number else f"saved_{outcome}"
    values: dict[str, object] = {"number": number} if number else {"doing": step}
    return Landing(page, said, values, f"{page}/{undo}", fields or {})


@router.post("/steps/{step}/undo")
def undo(pour_id: Key, step: Step, post: FormPostDep) -> Response:
    def work(session: Session, now: datetime) -> Landing:
        row = undo_step(session, now, pour_id, step)
        again = {"step": step, "at": row.at.isoformat(), "sure": "1"}
        if row.took_min is not None:
            again["took_min"] = str(row.took_min)
        return _landing(pour_id, "undone", step, "steps", again)

    return form_action(post, pour_id, work, "undone")
