"""What was told is kept in little room: read again as it was, never as more than was reckoned."""

import json
from collections.abc import Callable
from datetime import datetime, timedelta

import numpy as np
from sqlmodel import col, select, text

from models.records import Projection, StepDone
from service import answer_hours
from service.actions.pours.log_pour import FINISHED, close_pour, log_pour
from service.actions.shop import jobs
from service.actions.windows.project_pour import project_pour
from service.answers import read_answer, read_concrete
from service.nouns.pour import PourCreate
from service.store import Store
from tests.records.test_old_databases import downgraded
from tests.support.shop import Bench, Windows

HOUR = timedelta(hours=1)


def bands(now: datetime, hours: int = 48) -> dict[str, object]:
    """Hourly bands as an answer holds them, rain's with a hole."""
    random = np.random.default_rng(3)

    def drawn() -> list[float | None]:
        return [round(one, 3) for one in random.normal(8.0, 9.0, hours).cumsum().tolist()]

    chance = [None, *np.round(random.uniform(0, 1, hours - 1), 3).tolist()]
    return {
        "time": [now + k * HOUR for k in range(hours)],
        "forecast_until": now + 20 * HOUR,
        "rain_chance": chance,
        "surely": [{"level": 0.9, "slowest_MPa": drawn(), "section_MPa": drawn()}],
        **{name: {q: drawn() for q in ("p10", "p50", "p90")} for name in answer_hours.BANDS},
    }


def test_hourly_bands_are_read_again_within_a_step_and_strength_never_as_more(
    now: datetime,
) -> None:
    told = bands(now)
    kept = json.loads(json.dumps(answer_hours.packed(told)))
    read = answer_hours.unpacked(kept)
    assert read["time"] == told["time"]
    assert read["rain_chance"][0] is None
    for name, (step, down) in answer_hours.BANDS.items():
        apart = np.array(read[name]["p50"]) - np.array(told[name]["p50"])  # type: ignore[index]
        assert np.abs(apart).max() <= (step if down else step / 2) + 1e-3
        assert not down or apart.max() <= 1e-3 / 2, name
    again = read_concrete(kept)
    assert again is not None
    assert again.forecast_until == now + 20 * HOUR
    assert answer_hours.air_by_hour(kept) == dict(zip(again.time, again.air_C.p50, strict=True))


def test_bands_that_were_kept_before_are_read_as_they_were(now: datetime) -> None:
    told = json.loads(json.dumps(bands(now), default=datetime.isoformat))
    read = read_concrete(told)
    assert read is not None
    assert read.mean_C.p50 == told["mean_C"]["p50"]
    assert answer_hours.air_by_hour(told) == dict(zip(read.time, read.air_C.p50, strict=True))


def test_an_answer_that_another_followed_keeps_when_and_why(
    store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR)
    project_pour(store, now, pour_id)
    with store.reading() as session:
        told = read_answer(session.exec(select(Projection)).one().answer).steps
    windows.say("strip", "not yet", now + 19 * HOUR)
    with store.unit_of_work() as session:
        jobs.projection_due(session, now + HOUR, pour_id)
    project_pour(store, now + HOUR, pour_id)
    with store.reading() as session:
        first, newest = session.exec(select(Projection).order_by(col(Projection.id))).all()
        assert first.concrete is None
        assert first.inputs == {}
        assert newest.inputs
    outlined = read_answer(first.answer).steps
    assert [(one.step, one.state, one.earliest, one.because) for one in outlined] == [
        (one.step, one.state, one.earliest, one.because) for one in told
    ]


def test_the_answer_of_a_row_takes_less_room_than_its_text(
    store: Store, pour_id: int, now: datetime
) -> None:
    project_pour(store, now, pour_id)
    with store.reading() as session:
        answer = session.exec(select(Projection)).one().answer
        kept = session.connection().execute(text("SELECT answer FROM projection")).scalar_one()
    assert len(kept) < len(json.dumps(answer)) / 2


def told_at(store: Store, now: datetime) -> list[float]:
    """When each answer that is kept was made [h]."""
    with store.reading() as session:
        made = session.exec(select(Projection.made_at).order_by(col(Projection.id))).all()
    return [(at - now) / HOUR for at in made]


def tell(
    store: Store, pour_id: int, windows: Windows, now: datetime, *told: tuple[int, str, int]
) -> None:
    """What is told of the strip, hour after hour: its state, and in how many minutes from now."""
    for hours, state, opens_min in told:
        windows.say("strip", state, now + timedelta(minutes=opens_min))
        with store.unit_of_work() as session:
            jobs.projection_due(session, now + hours * HOUR, pour_id)
        project_pour(store, now + hours * HOUR, pour_id)


def test_of_answers_that_say_the_same_to_half_an_hour_the_first_and_the_newest_are_kept(
    store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    hours = ((0, 900), (1, 910), (2, 925), (3, 935), (4, 938), (5, 990), (6, 992), (7, 995))
    tell(store, pour_id, windows, now, *((at, "not yet", opens) for at, opens in hours))
    # that of 3 h says 35 min more than what was kept before it, that of 5 h 52 min more
    assert told_at(store, now) == [0, 3, 5, 7]


def test_closing_a_pour_lets_go_of_windows_that_its_record_does_not_tell(
    store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    told = ((0, "not yet", 900), (1, "not yet", 990), (2, "open", 991), (3, "not yet", 992))
    tell(store, pour_id, windows, now, *told)
    tell(store, pour_id, windows, now, (4, "open", 993), (5, "not yet", 994))
    assert told_at(store, now) == [0, 1, 2, 3, 4, 5]
    with store.unit_of_work() as session:
        at = now + 3.5 * HOUR
        session.add(StepDone(created_at=at, pour_id=pour_id, step="cover", at=at))
    with store.unit_of_work() as session:
        close_pour(session, now + 6 * HOUR, pour_id, FINISHED)
    assert told_at(store, now) == [0, 1, 3, 5]  # the first, a move, before a step, the newest


def test_packed_rows_go_back_to_what_an_older_program_reads_and_up_again(
    any_store: Store, furnished: Callable[[Store, datetime], Bench], now: datetime
) -> None:
    bench = furnished(any_store, now)
    with any_store.unit_of_work() as session:
        pour_id = log_pour(
            session,
            now,
            PourCreate(
                mix_id=bench.mix_id,
                piece_id=bench.piece_id,
                place_id=bench.place_id,
                placed_at=now - HOUR,
            ),
        ).id
    project_pour(any_store, now, pour_id)
    with any_store.reading() as session:
        told = session.exec(select(Projection)).one().answer
    downgraded(any_store, "0055")
    with any_store.engine.connect() as connection:
        raw = connection.execute(text("SELECT answer FROM projection")).scalar_one()
    assert (json.loads(raw) if isinstance(raw, str) else raw) == told
    any_store.upgrade()
    with any_store.reading() as session:
        assert session.exec(select(Projection)).one().answer == told
