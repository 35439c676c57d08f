"""The one next thing of a mould or a piece: where the square on it leads."""

from sqlmodel import Session

from models.records import Mould
from service.answers import read_answer
from service.pages import alarms, page_data, piece_steps, view
from service.queries.held import holder
from service.queries.jobs import pours_due
from service.request_context import RequestContext


def of_pour(context: RequestContext, pour_id: int) -> str:
    """The form that logs the step that is open now; the page of the piece, which begins with its
    next step, where none is, or where an alarm stands first."""
    page = f"/pours/{pour_id}"
    data = page_data.of_pour(context, pour_id)
    if data.pour.closed_at is not None:
        return page
    data = reckoned(context, data)
    if data.projection is None:
        return page
    answer = read_answer(data.projection.answer)
    clock = view.Clock(context.now, context.reader(data.place.timezone, data.pour.placed_at))
    found = piece_steps.told(answer.steps, clock, data.projection.checked_at).next
    warned = alarms.of(answer, context.now, page, clock.reader).alarms
    ready = [one for one in found if one.ready]
    return f"{page}/steps?step={ready[0].step}" if ready and not warned else page


def of_mould(session: Session, mould: Mould) -> str:
    """The piece that stands in it, else a new pour into it; of one put away its own page."""
    held = holder(session, mould.id)
    if held is not None:
        return f"/pours/{held.id}"
    return f"/shop/mould/{mould.id}" if mould.archived_at else f"/pour?mould={mould.id}"


def reckoned(context: RequestContext, data: page_data.PourData) -> page_data.PourData:
    """The same, worked out anew where something was logged since, or an hour has come."""
    if data.pour.closed_at is not None:
        return data
    with context.store.reading() as session:
        due = data.pour.id in pours_due(session, context.now)
    row = data.projection
    if not due and row is not None:
        steps = read_answer(row.answer).steps
        if not view.outdated(steps, context.now, row.checked_at):
            return data
    context.recompute(data.pour.id)
    return page_data.of_pour(context, data.pour.id)
