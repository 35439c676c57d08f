"""Project a pour: rows -> scenario -> projection -> one row kept, reminders moved."""

from datetime import datetime, timedelta

from sqlmodel import Session

from models import results
from models.records import Pour, Projection
from service import answers
from service.actions.notices import reminders
from service.actions.shop import calibrate, jobs
from service.actions.windows import scenario_rows, why_moved
from service.actions.windows.standing import hours
from service.answer_fields import as_json
from service.answers import AnswerResponse, readable
from service.queries.jobs import job_of
from service.queries.poured import piece_label
from service.queries.projections import latest
from service.queries.rows import find, find_shop
from service.store import Store
from service.words import Reader

EVERY = timedelta(hours=1)
SOON = timedelta(minutes=3)
TRIES = 3


def project_pour(
    store: Store, now: datetime, pour_id: int, every: timedelta = EVERY
) -> Projection | None:
    """The projection that stands now; None for a closed pour that never had one.

    Handed the store, since no transaction may be open while it calculates. When somebody wrote
    meanwhile it calculates again; after three times it leaves the pour due for the clock.
    Then what is new about its place and mix is learned, for the next pour.
    """
    row = _project(store, now, pour_id, every)
    calibrate.calibrate_from_pour(store, now, pour_id)
    return row


def _project(store: Store, now: datetime, pour_id: int, every: timedelta) -> Projection | None:
    for _ in range(TRIES):
        with store.reading() as session:
            pour = find(session, Pour, pour_id, "pour_id")
            job = job_of(session, jobs.projection_key(pour_id))
            if pour.closed_at is not None or job is None:
                return latest(session, pour_id)
            revision = job.asked
            gathered = scenario_rows.gather(session, now, pour_id)
        projected = scenario_rows.projected(gathered, now)
        with store.unit_of_work() as session:
            job = job_of(session, jobs.projection_key(pour_id))
            if job is None:
                return latest(session, pour_id)
            if job.asked == revision:
                row, pause = _keep(session, now, gathered, projected, every)
                jobs.succeeded(job, now, now + pause)
                session.add(job)
                return row
    with store.reading() as session:
        return latest(session, pour_id)


def _keep(
    session: Session,
    now: datetime,
    gathered: scenario_rows.Gathered,
    projected: results.Projection,
    every: timedelta,
) -> tuple[Projection, timedelta]:
    """The row, and how long until the next look."""
    pour = find(session, Pour, gathered.pour_id, "pour_id")
    reader = Reader(gathered.scenario.site.timezone)
    answer, concrete = answers.answer(projected, reader), answers.concrete(projected)
    answer_json = answer.model_dump(mode="json")
    row = latest(session, pour.id)
    before = readable(row.answer if row else None)
    acted = row is not None and any(
        row.inputs.get(key) != gathered.inputs.get(key) for key in ("pour", "protections", "steps")
    )
    if row is None or before is None or _windows(before) != _windows(answer):
        why = None
        if row is not None and before is not None:
            why = why_moved.why_moved(row, answer, concrete, gathered.inputs)
            row.concrete = None  # what was told is kept; its hourly bands are not worth their room
            session.add(row)
        row = Projection(
            created_at=now,
            pour_id=pour.id,
            made_at=now,
            checked_at=now,
            answer=answer_json,
            moved=as_json(why),
        )
    row.checked_at = now
    row.inputs, row.answer = gathered.inputs, answer_json
    row.concrete = None if concrete is None else concrete.model_dump(mode="json")
    row.weather_run_id = gathered.weather_run_id
    session.add(row)
    session.flush()
    about = reminders.About(piece_label(pour), row.moved, acted)
    in_flight = reminders.plan(session, now, pour, projected, reader, find_shop(session), about)
    return row, SOON if in_flight else _pause(answer, now, every)


def _pause(answer: AnswerResponse, now: datetime, every: timedelta) -> timedelta:
    """Until the next look: sooner where an hour that was told of a step comes before it."""
    ahead = (hour - now for hour in hours(answer.steps) if hour > now)
    return min(every, max(min(ahead, default=every), SOON))


def _windows(answer: AnswerResponse) -> list[tuple[object, ...]]:
    """What a person would notice: state and instants to the minute."""
    return [
        (
            step.step,
            step.state,
            _minute(step.earliest.p50),
            _minute(step.earliest.safe),
            _minute(step.latest),
        )
        for step in answer.steps
    ]


def _minute(at: datetime | None) -> datetime | None:
    return None if at is None else at.replace(second=0, microsecond=0)
