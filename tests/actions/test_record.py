"""The record of a piece is the same on every database."""

from collections.abc import Callable
from datetime import datetime, timedelta

from service.actions.pours.keep_photo import keep_photo
from service.actions.pours.log_pour import log_pour
from service.actions.pours.mark_step_done import mark_step_done
from service.actions.pours.record_reading import record_reading
from service.actions.record.pour_record import tell_record
from service.actions.weather.refresh_forecasts import refresh_forecast
from service.actions.windows.project_pour import project_pour
from service.nouns.cover import ProtectionCreate
from service.nouns.pour import PourCreate
from service.nouns.reading import ReadingCreate
from service.store import Store
from tests.support.shop import Bench, Sky

HOUR = timedelta(hours=1)


def test_a_record_is_told_from_any_store(
    any_store: Store,
    furnished: Callable[[Store, datetime], Bench],
    sky: Sky,
    now: datetime,
    picture: Callable[[str], bytes],
) -> None:
    bench = furnished(any_store, now)
    refresh_forecast(any_store, now, bench.place_id, sky)
    with any_store.unit_of_work() as session:
        pour_id = log_pour(
            session,
            now,
            PourCreate(
                mix_id=bench.mix_id,
                piece_id=bench.piece_id,
                place_id=bench.place_id,
                placed_at=now,
                protections=[ProtectionCreate(kind="film")],
            ),
        ).id
    project_pour(any_store, now, pour_id)
    later = now + 50 * HOUR
    with any_store.unit_of_work() as session:
        record_reading(
            session, later, pour_id, ReadingCreate(at=later, kind="concrete", value_C=12.0)
        )
        mark_step_done(session, later, pour_id, "strip", later - HOUR)
        keep_photo(session, later, pour_id, picture("jpg"), at=later)
    project_pour(any_store, later, pour_id)
    told = tell_record(any_store, later, pour_id)
    (strip,) = [one for one in told.steps if one.step == "strip"]
    assert strip.first_told is not None
    assert strip.before_done is not None
    assert strip.first_told.told_at == now
    assert strip.done_at == later - HOUR
    assert [one.kind for one in told.protections] == ["film"]
    assert [one.media_type for one in told.photos] == ["image/jpeg"]
    assert told.readings[0].foreseen is not None
    assert len(told.days) == 3
