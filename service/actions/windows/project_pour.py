"""Project a pour: rows -> scenario -> projection -> one row kept, reminders moved."""

import logging
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlmodel import Session

from models import results
from models.records import Pour, Projection
from service import answer_hours, answers
from service.actions.notices import reminders
from service.actions.shop import calibrate, jobs
from service.actions.windows import scenario_rows, why_moved
from service.actions.windows.standing import hours
from service.answer_fields import as_json
from service.answers import AnswerResponse, ConcreteResponse, readable
from service.queries.jobs import job_of
from service.queries.poured import piece_label
from service.queries.projections import latest, one_before
from service.queries.rows import find, find_shop
from service.store import Store, is_trouble
from service.words import Reader

log = logging.getLogger("castclock.project")
EVERY = timedelta(hours=1)
SOON = timedelta(minutes=3)
TRIES = 3
OUTLINED: Mapping[str, Any] = {"earlier_if": [], "cautions": [], "sources": [], "missed": ""}
OUTLINES = {"step", "state", "earliest", "latest", "need", "because", "done_at", "confidence"}
OUTLINES |= OUTLINED.keys()


@dataclass(frozen=True)
class _Reckoned:
    """What came of one pour, ready to be kept if nobody has asked anew since (`asked`)."""

    asked: int
    gathered: scenario_rows.Gathered
    projected: results.Projection
    reader: Reader
    answer: AnswerResponse
    answer_json: dict[str, Any]
    concrete: ConcreteResponse | None
    hours: dict[str, Any] | None


def project_pour(
    store: Store, now: datetime, pour_id: int, every: timedelta = EVERY
) -> Projection | None:
    """The projection that stands now; None for a closed pour that never had one.

    Handed the store, since no transaction may be open while it calculates. When somebody wrote
    meanwhile it calculates again; after three times it leaves the pour due for the clock.
    Then what is new about its place and mix is learned, for the next pour.
    """
    row = _project(store, now, pour_id, every)
    calibrate.calibrate_from_pours(store, now, [pour_id])
    return row


def project_pours(
    store: Store, now: datetime, pour_ids: Sequence[int], every: timedelta = EVERY
) -> dict[int, Exception]:
    """Several pours as `project_pour` does each, read in one look and kept in one commit; what
    went wrong, by pour."""
    wrong: dict[int, Exception] = {}
    done: list[_Reckoned] = []
    found: list[tuple[int, scenario_rows.Gathered]] = []
    with store.reading() as session:
        for pour_id in pour_ids:
            with _noted(wrong, pour_id):
                found += filter(None, [_gathered(session, now, pour_id)])
    for asked, gathered in found:
        with _noted(wrong, gathered.pour_id):
            done.append(_reckoned(asked, gathered, now))
    late = _kept_together(store, now, done, every)
    for pour_id in late:
        with _noted(wrong, pour_id):
            _project(store, now, pour_id, every)
    try:
        calibrate.calibrate_from_pours(store, now, [one.gathered.pour_id for one in done])
    except Exception as error:  # the answers are kept; what was not learned, the daily round learns
        if is_trouble(error):
            raise
        log.exception("nothing was learned of a batch of pours")
    return wrong


@contextmanager
def _noted(wrong: dict[int, Exception], pour_id: int) -> Iterator[None]:
    """What fails with one pour is noted and stops no other."""
    try:
        yield
    except Exception as error:  # noqa: BLE001 - whoever called writes it down
        wrong[pour_id] = error


def _kept_together(
    store: Store, now: datetime, done: Sequence[_Reckoned], every: timedelta
) -> list[int]:
    """Keep them in one commit; the pours of which something else was asked meanwhile, or all of
    them where one could not be kept: they are to be tried one by one."""
    if not done:
        return []
    try:
        with store.unit_of_work() as session:
            return [one.gathered.pour_id for one in done if not _kept(session, now, one, every)]
    except Exception as error:
        if is_trouble(error):
            raise
        log.exception("a batch of projections was not kept; its pours are tried one by one")
        return [one.gathered.pour_id for one in done]


def _project(store: Store, now: datetime, pour_id: int, every: timedelta) -> Projection | None:
    for _ in range(TRIES):
        with store.reading() as session:
            found = _gathered(session, now, pour_id)
        if found is None:
            break
        reckoned = _reckoned(*found, now)
        with store.unit_of_work() as session:
            row = _kept(session, now, reckoned, every)
        if row is not None:
            return row
    with store.reading() as session:
        return latest(session, pour_id)


def _gathered(
    session: Session, now: datetime, pour_id: int
) -> tuple[int, scenario_rows.Gathered] | None:
    """What it rests on, and how often it was asked for until then; None of a closed pour."""
    pour = find(session, Pour, pour_id, "pour_id")
    job = job_of(session, jobs.projection_key(pour_id))
    if pour.closed_at is not None or job is None:
        return None
    return job.asked, scenario_rows.gather(session, now, pour_id)


def _reckoned(asked: int, gathered: scenario_rows.Gathered, now: datetime) -> _Reckoned:
    projected = scenario_rows.projected(gathered, now)
    reader = Reader(gathered.scenario.site.timezone)
    answer, concrete = answers.answer(projected, reader), answers.concrete(projected)
    answer_json = answer.model_dump(mode="json")
    hours = None if concrete is None else answer_hours.packed(concrete.model_dump())
    return _Reckoned(asked, gathered, projected, reader, answer, answer_json, concrete, hours)


def _kept(
    session: Session, now: datetime, reckoned: _Reckoned, every: timedelta
) -> Projection | None:
    """The row; None where something else was asked meanwhile, and nothing is kept."""
    job = job_of(session, jobs.projection_key(reckoned.gathered.pour_id))
    if job is None or job.asked != reckoned.asked:
        return None
    row, pause = _keep(session, now, reckoned, every)
    jobs.succeeded(job, now, now + pause)
    session.add(job)
    return row


def _keep(
    session: Session, now: datetime, reckoned: _Reckoned, every: timedelta
) -> tuple[Projection, timedelta]:
    """The row, and how long until the next look."""
    gathered, answer, concrete = reckoned.gathered, reckoned.answer, reckoned.concrete
    pour = find(session, Pour, gathered.pour_id, "pour_id")
    row = latest(session, pour.id)
    before = readable(row.answer if row else None)
    acted = row is not None and any(
        row.inputs.get(key) != gathered.inputs.get(key) for key in ("pour", "protections", "steps")
    )
    if row is None or before is None or _windows(before) != _windows(answer):
        why = None
        if row is not None and before is not None:
            why = why_moved.why_moved(row, answer, concrete, gathered.inputs)
            _file(session, row, before)
        row = Projection(
            created_at=now,
            pour_id=pour.id,
            made_at=now,
            checked_at=now,
            answer=reckoned.answer_json,
            moved=as_json(why),
        )
    row.checked_at = now
    row.inputs, row.answer = gathered.inputs, reckoned.answer_json
    row.concrete = reckoned.hours
    row.weather_run_id = gathered.weather_run_id
    session.add(row)
    session.flush()
    about = reminders.About(piece_label(pour), row.moved, acted)
    in_flight = reminders.plan(
        session, now, pour, reckoned.projected, reckoned.reader, find_shop(session), about
    )
    return row, SOON if in_flight else _pause(answer, now, every)


def _file(session: Session, row: Projection, answer: AnswerResponse) -> None:
    """Of what another answer follows keep when steps were told to open, and why; nothing where the
    one before it says the same to half an hour."""
    earlier = one_before(session, row)
    told = readable(earlier.answer) if earlier is not None else None
    if told is not None and row.moved is None and why_moved.says_the_same(told, answer):
        session.delete(row)
        return
    row.answer, row.concrete, row.inputs = _outline(row.answer), None, {}
    session.add(row)


def _outline(stored: Mapping[str, Any]) -> dict[str, Any]:
    """What is kept of an answer that another has followed: when each step was told to open, and
    why; readable as any answer."""
    steps = [
        {name: OUTLINED.get(name, value) for name, value in one.items() if name in OUTLINES}
        for one in stored["steps"]
    ]
    return {"pour": {}, "steps": steps, "warnings": [], "evidence": ""}


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
