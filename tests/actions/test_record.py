"""The record of a piece is the same on every database."""

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest

from models.facts.care import HOT_PANS_AFTER_H
from models.steps import registry
from service.actions.pours.keep_photo import keep_photo
from service.actions.pours.log_pour import log_pour
from service.actions.pours.mark_step_done import mark_step_done
from service.actions.pours.record_reading import record_reading
from service.actions.record.care_sheet import care_sheet
from service.actions.record.pour_record import read_pour_record
from service.actions.shop.set_up_shop import save_piece
from service.actions.weather.refresh_forecasts import refresh_forecast
from service.actions.windows.project_pour import project_pour
from service.answers import read_answer
from service.nouns.cover import ProtectionCreate
from service.nouns.pour import PourCreate
from service.nouns.reading import ReadingCreate
from service.queries.projections import latest
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
    told = read_pour_record(any_store, later, pour_id)
    (strip,) = [one for one in told.steps if one.step == "strip"]
    assert strip.first_told is not None
    assert strip.before_done is not None
    assert strip.first_told.told_at == now
    assert strip.done_at == later - HOUR
    assert [one.kind for one in told.protections] == ["film"]
    assert [one.media_type for one in told.photos] == ["image/jpeg"]
    assert told.readings[0].foreseen is not None
    assert len(told.days) == 3


@pytest.mark.parametrize(
    ("measures", "coats"),
    [
        ({"shape": "panel", "thickness_mm": 60.0}, 6),
        ({"shape": "block", "height_mm": 400.0}, 2),
        ({"shape": "box", "height_mm": 400.0, "wall_mm": 50.0}, 2),
    ],
)
def test_the_care_sheet_waits_for_the_last_coat_of_the_plan(
    store: Store,
    bench: Bench,
    sky: Sky,
    pour_id: int,
    now: datetime,
    measures: dict[str, str | float],
    coats: int,
) -> None:
    with store.unit_of_work() as session:
        save_piece(session, now, measures, bench.piece_id, pours=[pour_id])
    refresh_forecast(store, now, bench.place_id, sky)
    project_pour(store, now, pour_id)
    with store.unit_of_work() as session:
        row = latest(session, pour_id)
        assert row is not None
        steps = [one.step for one in read_answer(row.answer).steps]
        planned = [step for step in steps if registry.coat_number(step) is not None]
        assert planned[-1] == f"coat-{coats}"
        assert care_sheet(session, pour_id).coats == coats
        mark_step_done(session, now, pour_id, planned[-1], now)
    with store.reading() as session:
        sheet = care_sheet(session, pour_id)
    at = {one.what.code: one.at for one in sheet.from_when}
    assert at["bears_rain"] is None, "the answer that knows of the coat is not made yet"
    assert at["bears_heat"] is None, "never before light use, of which no hour is known"
    project_pour(store, now, pour_id)
    with store.reading() as session:
        at = {one.what.code: one.at for one in care_sheet(session, pour_id).from_when}
    assert at["bears_rain"] is not None
    if at["bears_light_use"] is not None:
        assert at["bears_heat"] == max(at["bears_light_use"], now + HOT_PANS_AFTER_H * HOUR)
