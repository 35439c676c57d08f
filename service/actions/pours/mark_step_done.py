"""A step was done, or that was a mistake."""

from datetime import datetime

from sqlmodel import Session

from models.errors import Conflict, InputError
from models.instants import not_ahead, not_before_the_pour
from models.records import Pour, StepDone
from models.simulation.scenario import out_of_order
from models.steps import registry
from models.units import number_within
from service.actions.notices.reminders import cancel_step
from service.actions.shop import jobs
from service.actions.windows import scenario_rows
from service.queries.pours import covers_at, covers_until, steps_done
from service.queries.rows import NoSuchRow, find

MINUTES = (1, 1440)  # that a step may have taken


def mark_step_done(
    session: Session,
    now: datetime,
    pour_id: int,
    step: str,
    at: datetime,
    took_min: int | None = None,
) -> StepDone:
    """The step stands as done; what was owed about it is cancelled at once.

    `uncover` also ends every cover that lies on the piece.
    """
    pour = find(session, Pour, pour_id, "pour_id")
    not_ahead("at", at, now)
    not_before_the_pour("at", at, pour.placed_at)
    refuse_minutes(took_min)
    done = StepDone(created_at=now, pour_id=pour_id, step=step, at=at, took_min=took_min)
    scenario_rows.done_of(done)
    earlier = _standing(session, pour_id, step)
    if earlier is not None:
        raise Conflict(
            f"{step} of pour {pour_id}", f"marked done already at {earlier.at.isoformat()}"
        )
    _in_order(session, pour_id, done)
    session.add(done)
    session.flush()
    if registry.known(step).ends_covers:
        for period in covers_at(session, pour_id, at):
            period.to_at = at
            session.add(period)
    cancel_step(session, now, pour_id, step)
    jobs.windows_due(session, now, pour)
    jobs.plan_moved(session, now)
    return done


def refuse_minutes(took_min: int | None) -> None:
    """Raises InputError for more than a day, or none."""
    if took_min is not None:
        number_within("took_min", took_min, *MINUTES, "min")


def _in_order(session: Session, pour_id: int, done: StepDone) -> None:
    others = [scenario_rows.done_of(row) for row in steps_done(session, pour_id)]
    mark = scenario_rows.done_of(done)
    late = out_of_order(mark, others)
    if late is not None:
        allowed = f"a time from {late.at.isoformat()} on, or undo {late.step} first"
        raise InputError("at", done.at.isoformat(), f"{done.step} before {late.step}", allowed)
    for other in others:
        if out_of_order(other, [mark]) is not None:
            allowed = f"a time up to {other.at.isoformat()}, or undo {other.step} first"
            raise InputError("at", done.at.isoformat(), f"{done.step} after {other.step}", allowed)


def undo_step(session: Session, now: datetime, pour_id: int, step: str) -> StepDone:
    """The step was not done after all; the next projection owes its notices again."""
    pour = find(session, Pour, pour_id, "pour_id")
    done = _standing(session, pour_id, step)
    if done is None:
        raise NoSuchRow("step", step, "not marked done", "a step that is marked done")
    done.undone_at = now
    session.add(done)
    if registry.known(step).ends_covers:
        for period in covers_until(session, pour_id, done.at):
            period.to_at = None
            session.add(period)
    session.flush()
    jobs.windows_due(session, now, pour)
    jobs.plan_moved(session, now)
    return done


def _standing(session: Session, pour_id: int, step: str) -> StepDone | None:
    return next((row for row in steps_done(session, pour_id) if row.step == step), None)
