"""What a pour is, is read by one loader: its page, its windows and its record see the same rows."""

from datetime import datetime, timedelta

import pytest

from service.actions.pours.log_pour import close_pour, log_pour
from service.actions.pours.record_reading import record_reading
from service.actions.record import pour_record
from service.actions.windows import scenario_rows
from service.nouns.pour import PourCreate
from service.nouns.reading import ReadingCreate
from service.pages import page_data
from service.store import Store
from tests.support.shop import Bench

HOUR = timedelta(hours=1)


@pytest.mark.parametrize("closed", [False, True])
def test_air_read_after_a_pour_was_closed_is_no_reading_of_it(
    store: Store, bench: Bench, pour_id: int, now: datetime, closed: bool
) -> None:
    with store.unit_of_work() as session:
        other = log_pour(
            session,
            now,
            PourCreate(
                mix_id=bench.mix_id,
                piece_id=bench.piece_id,
                place_id=bench.place_id,
                placed_at=now - HOUR,
            ),
        )
        for minutes, value_C in ((-30, 8.0), (90, 2.0)):
            at = now + timedelta(minutes=minutes)
            record_reading(session, at, other.id, ReadingCreate(at=at, kind="air", value_C=value_C))
        if closed:
            close_pour(session, now + HOUR, pour_id, "lost")
    later = now + 3 * HOUR
    with store.reading() as session:
        page = [row.value_C for row in page_data.pour(session, later, pour_id).readings]
        gathered = scenario_rows.gather(session, later, pour_id).scenario
    record = pour_record.read_pour_record(store, later, pour_id)
    assert page == ([8.0] if closed else [8.0, 2.0])
    assert [one.value for one in gathered.observations] == page
    assert [one.value_C for one in record.readings] == page
