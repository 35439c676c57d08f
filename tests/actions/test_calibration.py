"""Readings of one pour teach the garage, its cubes the mix; the next pour knows, and can forget."""

from datetime import datetime, timedelta

import pytest
from sqlmodel import select

from models.records import Job, Mix, Place, Pour, Projection
from scheduler.jobs import Rounds
from service.actions.pours.log_pour import close_pour, log_pour
from service.actions.pours.record_reading import record_reading, remove_reading
from service.actions.pours.record_strength_test import record_strength_test
from service.actions.shop import calibrate
from service.actions.shop.set_up_shop import save_mix, save_place
from service.actions.weather.refresh_forecasts import refresh_forecast
from service.actions.windows import scenario_rows
from service.actions.windows.check_tonight import check_tonight
from service.actions.windows.project_pour import project_pour
from service.nouns.pour import PourCreate
from service.nouns.reading import ReadingCreate
from service.nouns.strength_test import StrengthTestCreate
from service.nouns.tonight import TonightRequest
from service.store import Store
from tests.support.shop import Bench, Sky, one_more_mould

HOUR = timedelta(hours=1)
OUTDOORS_C, GARAGE_C = 5.0, 9.0
MILD_C, WEEK = 18.0, timedelta(days=7)
READ_AT = (4, 9, 14, 22, 30, 40)


@pytest.fixture
def garage(store: Store, bench: Bench, now: datetime) -> int:
    """The bench's place, made an unheated room."""
    with store.unit_of_work() as session:
        return save_place(session, now, {"kind": "unheated room"}, bench.place_id).id


def poured_at(store: Store, bench: Bench, at: datetime) -> int:
    with store.unit_of_work() as session:
        return log_pour(
            session,
            at,
            PourCreate(
                mix_id=bench.mix_id,
                piece_id=bench.piece_id,
                place_id=bench.place_id,
                mould_id=one_more_mould(session, at),
                placed_at=at,
                concrete_C=12.0,
            ),
        ).id


def weather(store: Store, sky: Sky, at: datetime, place_id: int, air_C: float = OUTDOORS_C) -> None:
    sky.air_C = air_C
    refresh_forecast(store, at, place_id, sky)


def a_pour_with_readings(store: Store, bench: Bench, sky: Sky, now: datetime) -> list[int]:
    """A pour of which six readings say that the garage runs 4 K over outdoors; their keys."""
    weather(store, sky, now, bench.place_id)
    pour_id = poured_at(store, bench, now)
    keys = []
    for h in READ_AT:
        with store.unit_of_work() as session:
            at = now + h * HOUR
            keys.append(
                record_reading(
                    session, at, pour_id, ReadingCreate(at=at, kind="air", value_C=GARAGE_C)
                ).id
            )
    weather(store, sky, now + 41 * HOUR, bench.place_id)
    project_pour(store, now + 41 * HOUR, pour_id)
    return keys


def place_of(store: Store) -> Place:
    with store.reading() as session:
        return session.exec(select(Place)).one()


def mix_of(store: Store) -> Mix:
    with store.reading() as session:
        return session.exec(select(Mix)).one()


def sure_hour(row: Projection | None, step: str = "strip") -> datetime:
    assert row is not None
    (found,) = [one for one in row.answer["steps"] if one["step"] == step]
    return datetime.fromisoformat(found["earliest"]["p90"])


@pytest.mark.usefixtures("garage")
def test_readings_teach_the_garage_and_the_next_pour_is_stripped_earlier(
    store: Store, bench: Bench, sky: Sky, now: datetime
) -> None:
    a_pour_with_readings(store, bench, sky, now)
    place = place_of(store)
    assert place.learned_offset_K == pytest.approx(GARAGE_C - OUTDOORS_C, abs=0.3)
    assert (place.learned_from_count, place.learned_at) == (6, now + 41 * HOUR)
    later = now + 48 * HOUR
    weather(store, sky, later, bench.place_id)
    knowing = sure_hour(project_pour(store, later, poured_at(store, bench, later)))
    with store.unit_of_work() as session:
        calibrate.forget_place(session, later, place.id)
    unknowing = sure_hour(project_pour(store, later, poured_at(store, bench, later)))
    assert unknowing - knowing > 2 * HOUR


@pytest.mark.usefixtures("garage")
def test_the_check_of_a_planned_pour_knows_the_garage(
    store: Store, bench: Bench, sky: Sky, now: datetime
) -> None:
    asked = TonightRequest(mix_id=bench.mix_id, piece_id=bench.piece_id, place_id=bench.place_id)
    later = now + 41 * HOUR
    a_pour_with_readings(store, bench, sky, now)
    knowing = check_tonight(store, later, asked).answer
    with store.unit_of_work() as session:
        calibrate.forget_place(session, later, bench.place_id)
    assert check_tonight(store, later, asked).answer != knowing


@pytest.mark.usefixtures("garage")
def test_a_pour_is_not_told_twice_by_its_own_readings(
    store: Store, bench: Bench, sky: Sky, now: datetime
) -> None:
    """They count as readings; the garage that they teach is for the next one."""
    a_pour_with_readings(store, bench, sky, now)
    with store.reading() as session:
        assert session.exec(select(Pour)).one().learned is None


@pytest.mark.usefixtures("garage")
def test_what_the_maker_typed_goes_before_what_was_learned(
    store: Store, bench: Bench, sky: Sky, now: datetime
) -> None:
    a_pour_with_readings(store, bench, sky, now)
    with store.unit_of_work() as session:
        place = save_place(session, now, {"offset_K": 1.0}, bench.place_id)
        mix = session.get(Mix, bench.mix_id)
        assert mix is not None
        site = scenario_rows.site_of(place, scenario_rows.calibration_of(place, mix))
        assert (site.offset_K, site.offset_sd_K) == (1.0, None)
        assert (site.lag_h, site.lag_spread) == (place.learned_lag_h, place.learned_lag_spread)
        mix.learned_set_factor, mix.initial_set_h = 1.4, 3.0
        assert (
            scenario_rows.mixture_of(mix, scenario_rows.calibration_of(place, mix)).set_factor
            == 1.0
        )


@pytest.mark.usefixtures("garage")
def test_what_was_forgotten_is_not_learned_again_from_the_same_readings(
    store: Store, bench: Bench, sky: Sky, now: datetime
) -> None:
    a_pour_with_readings(store, bench, sky, now)
    later = now + 42 * HOUR
    with store.unit_of_work() as session:
        calibrate.forget_place(session, later, bench.place_id)
    calibrate.calibrate_all(store, later + HOUR)
    place = place_of(store)
    assert (place.learned_offset_K, place.learned_lag_h, place.learned_from_count) == (None,) * 3


@pytest.mark.usefixtures("garage")
def test_forgetting_takes_it_from_pours_under_way_and_they_are_projected_anew(
    store: Store, bench: Bench, sky: Sky, now: datetime
) -> None:
    a_pour_with_readings(store, bench, sky, now)
    later = now + 42 * HOUR
    second = poured_at(store, bench, later)
    project_pour(store, later, second)
    with store.unit_of_work() as session:
        pour = session.get(Pour, second)
        assert pour is not None
        assert pour.learned is not None
        calibrate.forget_place(session, later + HOUR, bench.place_id)
    with store.reading() as session:
        pour = session.get(Pour, second)
        assert pour is not None
        assert pour.learned is None
        job = session.exec(select(Job).where(Job.pour_id == second)).one()
        assert job.due_at <= later + HOUR


@pytest.mark.usefixtures("garage")
def test_a_reading_taken_back_is_unlearned(
    store: Store, bench: Bench, sky: Sky, now: datetime
) -> None:
    keys = a_pour_with_readings(store, bench, sky, now)
    later = now + 42 * HOUR
    for key in keys[:2]:
        with store.unit_of_work() as session:
            remove_reading(session, later, key)
    calibrate.calibrate_all(store, later)
    assert place_of(store).learned_from_count == 4
    for key in keys[2:]:
        with store.unit_of_work() as session:
            remove_reading(session, later, key)
    calibrate.calibrate_all(store, later)
    assert place_of(store).learned_offset_K is None


@pytest.mark.usefixtures("garage")
def test_a_place_that_becomes_another_forgets(
    store: Store, bench: Bench, sky: Sky, now: datetime
) -> None:
    a_pour_with_readings(store, bench, sky, now)
    with store.unit_of_work() as session:
        save_place(session, now, {"name": "Old garage"}, bench.place_id)
    assert place_of(store).learned_offset_K is not None
    with store.unit_of_work() as session:
        save_place(session, now, {"kind": "covered"}, bench.place_id)
    assert place_of(store).learned_offset_K is None


@pytest.mark.usefixtures("garage")
def test_without_weather_nothing_is_learned_and_the_pour_is_still_told(
    store: Store, bench: Bench, now: datetime
) -> None:
    pour_id = poured_at(store, bench, now)
    for h in READ_AT:
        with store.unit_of_work() as session:
            at = now + h * HOUR
            record_reading(session, at, pour_id, ReadingCreate(at=at, kind="air", value_C=GARAGE_C))
    row = project_pour(store, now + 41 * HOUR, pour_id)
    assert row is not None
    assert {step["state"] for step in row.answer["steps"]} == {"blocked"}
    assert (place_of(store).learned_offset_K, place_of(store).learned_from_count) == (None, 0)


@pytest.mark.usefixtures("garage")
def test_a_pour_that_has_nothing_new_is_projected_without_learning(
    store: Store, bench: Bench, sky: Sky, now: datetime
) -> None:
    a_pour_with_readings(store, bench, sky, now)
    project_pour(store, now + 45 * HOUR, 1)
    assert place_of(store).learned_at == now + 41 * HOUR


def broken(store: Store, bench: Bench, sky: Sky, now: datetime, MPa: float) -> None:
    """A pour of a mild week, of which a cube was broken on the last day."""
    pour_id = 0
    for day in range(8):
        weather(store, sky, now + 24 * day * HOUR, bench.place_id, MILD_C)
        pour_id = pour_id or poured_at(store, bench, now)
    with store.unit_of_work() as session:
        at = now + WEEK
        record_strength_test(session, at, pour_id, StrengthTestCreate(at=at, kind="cube", MPa=MPa))
    project_pour(store, now + WEEK, pour_id)


@pytest.mark.parametrize(("MPa", "sooner"), [(11.0, False), (28.0, True)])
def test_a_cube_moves_the_next_pour_of_the_mix(
    store: Store, bench: Bench, sky: Sky, now: datetime, MPa: float, sooner: bool
) -> None:
    """The label promises 19 MPa after a week."""
    broken(store, bench, sky, now, MPa)
    mix = mix_of(store)
    assert mix.learned_from_count == 1
    assert mix.learned_strength_factor is not None
    assert abs(mix.learned_strength_factor - 1) > 0.05
    assert mix.learned_set_factor == 1.0
    later = now + WEEK
    knowing = sure_hour(project_pour(store, later, poured_at(store, bench, later)))
    with store.unit_of_work() as session:
        calibrate.forget_mix(session, later, bench.mix_id)
    unknowing = sure_hour(project_pour(store, later, poured_at(store, bench, later)))
    assert abs(knowing - unknowing) > timedelta(minutes=30)
    assert (knowing < unknowing) == sooner


def test_set_seen_late_again_and_again_is_learned_of_the_mix(
    store: Store, bench: Bench, sky: Sky, now: datetime
) -> None:
    """Also from pours that are closed: the daily round looks at them."""
    for k in range(3):
        begin = now + 24 * k * HOUR
        weather(store, sky, begin, bench.place_id)
        pour_id = poured_at(store, bench, begin)
        at = begin + 14 * HOUR
        with store.unit_of_work() as session:
            record_reading(session, at, pour_id, ReadingCreate(at=at, kind="initial-set"))
            close_pour(session, at, pour_id, "finished")
    calibrate.calibrate_all(store, now + 90 * HOUR)
    mix = mix_of(store)
    assert mix.learned_from_count == 3
    assert mix.learned_set_factor is not None
    assert mix.learned_set_factor > 1.1


def test_a_mix_forgets_and_a_changed_label_is_another_mix(
    store: Store, bench: Bench, sky: Sky, now: datetime
) -> None:
    broken(store, bench, sky, now, 11.0)
    assert mix_of(store).learned_from_count == 1
    with store.unit_of_work() as session:
        save_mix(session, now, {"label": [{"age_h": 672.0, "MPa": 22.0}]}, bench.mix_id)
    assert mix_of(store).learned_strength_factor is None
    calibrate.calibrate_all(store, now + WEEK + HOUR)
    assert mix_of(store).learned_strength_factor is None


@pytest.mark.usefixtures("garage")
def test_the_daily_round_learns_once_the_weather_is_known(
    store: Store, bench: Bench, sky: Sky, rounds: Rounds, now: datetime
) -> None:
    pour_id = poured_at(store, bench, now)
    for h in READ_AT:
        with store.unit_of_work() as session:
            at = now + h * HOUR
            record_reading(session, at, pour_id, ReadingCreate(at=at, kind="air", value_C=GARAGE_C))
    project_pour(store, now + 41 * HOUR, pour_id)
    weather(store, sky, now + 42 * HOUR, bench.place_id)
    assert rounds.tidy(now + 43 * HOUR) == 1
    assert place_of(store).learned_from_count == 3  # a day of weather before a reading counts


@pytest.mark.usefixtures("garage")
def test_a_max_min_thermometer_teaches_the_garage_too(
    store: Store, bench: Bench, sky: Sky, now: datetime
) -> None:
    weather(store, sky, now, bench.place_id)
    pour_id = poured_at(store, bench, now)
    for h in (12, 24, 36):
        at = now + h * HOUR
        with store.unit_of_work() as session:
            record_reading(
                session,
                at,
                pour_id,
                ReadingCreate(
                    at=at,
                    kind="air-min-max",
                    value_C=GARAGE_C - 0.4,
                    value_max_C=GARAGE_C + 0.4,
                ),
            )
    weather(store, sky, now + 41 * HOUR, bench.place_id)
    project_pour(store, now + 41 * HOUR, pour_id)
    place = place_of(store)
    assert place.learned_offset_K == pytest.approx(GARAGE_C - OUTDOORS_C, abs=0.4)
    assert place.learned_from_count == 3


@pytest.mark.parametrize(
    ("changed", "stays"),
    [
        ({"name": "Bag, again"}, True),
        ({"bag_kg": 25.0}, True),
        ({"cement_class": "52.5R"}, False),
        ({"water_cement": 0.41}, False),
        ({"cement": {"slag_pct": 40.0}}, False),
        ({"kind": "glass-fibre", "polymer_pct": 5.0}, False),
    ],
)
def test_a_mix_that_becomes_another_forgets(
    store: Store, bench: Bench, now: datetime, changed: dict[str, object], stays: bool
) -> None:
    with store.unit_of_work() as session:
        mix = session.exec(select(Mix)).one()
        mix.learned_strength_factor, mix.learned_set_factor = 0.8, 1.1
        session.add(mix)
    with store.unit_of_work() as session:
        save_mix(session, now, changed, bench.mix_id)
    assert (mix_of(store).learned_strength_factor is not None) == stays
