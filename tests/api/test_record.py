"""The record of a piece through the API: everything logged, told and seen, as JSON and as CSV."""

import csv
import io
from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from sqlalchemy import event
from starlette.testclient import TestClient

from scheduler.jobs import Rounds
from service.actions.pours.log_pour import close_pour, log_pour
from service.actions.pours.mark_step_done import mark_step_done, undo_step
from service.actions.pours.record_reading import record_reading
from service.actions.pours.record_strength_test import record_strength_test
from service.actions.shop.set_up_shop import save_mix, save_piece
from service.actions.windows.project_pour import project_pour
from service.nouns.pour import PourCreate
from service.nouns.reading import ReadingCreate
from service.nouns.strength_test import StrengthTestCreate
from service.store import Store
from tests.support.raw import JsonDict
from tests.support.shop import Bench, Hands

API = "/api/v1"
HOUR = timedelta(hours=1)


@pytest.fixture
def lived(client: TestClient, bench: Bench, pour_id: int, store: Store, hands: Hands) -> int:
    """A pour that was projected at once, then read, tested, stripped and projected again."""
    assert client.post(f"{API}/places/{bench.place_id}/weather/refresh").status_code == 201
    project_pour(store, hands.now, pour_id)
    at = hands.forward(60)
    with store.unit_of_work() as session:
        for hours, kind, value in ((40, "air", 11.0), (30, "concrete", 14.0), (20, "surface", 9.0)):
            record_reading(
                session, at, pour_id, ReadingCreate(at=at - hours * HOUR, kind=kind, value_C=value)
            )
        record_reading(
            session,
            at,
            pour_id,
            ReadingCreate(
                at=at - 12 * HOUR,
                kind="air-min-max",
                value_C=3.0,
                value_max_C=13.0,
                note="max-min by the door",
            ),
        )
        record_reading(session, at, pour_id, ReadingCreate(at=at - 50 * HOUR, kind="initial-set"))
        record_strength_test(
            session, at, pour_id, StrengthTestCreate(at=at - HOUR, kind="cube", MPa=9.5)
        )
        record_strength_test(
            session, at, pour_id, StrengthTestCreate(at=at - HOUR, kind="bar", MPa=1.9)
        )
        mark_step_done(session, at, pour_id, "finish", at - 55 * HOUR)
        mark_step_done(session, at, pour_id, "turn", at - HOUR)
        undo_step(session, at, pour_id, "turn")
        mark_step_done(session, at, pour_id, "strip", at - 2 * HOUR)
    project_pour(store, at, pour_id)
    return pour_id


def record(client: TestClient, pour_id: int) -> JsonDict:
    got = client.get(f"{API}/pours/{pour_id}/record")
    assert got.status_code == 200, got.text
    told: JsonDict = got.json()
    return told


def step(told: JsonDict, name: str) -> JsonDict:
    (found,) = [one for one in told["steps"] if one["step"] == name]
    return dict(found)


def rows(client: TestClient, pour_id: int) -> list[dict[str, str]]:
    got = client.get(f"{API}/pours/{pour_id}/record.csv")
    assert got.headers["content-type"].startswith("text/csv")
    assert "attachment" in got.headers["content-disposition"]
    return list(csv.DictReader(io.StringIO(got.text, newline=""), strict=True))


def test_what_was_told_at_the_pour_stands_beside_when_it_was_done(
    client: TestClient, lived: int, hands: Hands
) -> None:
    strip = step(record(client, lived), "strip")
    assert strip["first_told"]["told_at"] == "2026-10-14T18:00:00-05:00"
    assert strip["first_told"]["likely_at"] < strip["first_told"]["sure_at"]
    assert strip["before_done"]["told_at"] <= strip["done_at"]
    assert datetime.fromisoformat(strip["done_at"]) == hands.now - 2 * HOUR


def test_what_was_told_first_is_still_told_after_the_clock_has_tidied(
    client: TestClient, lived: int, rounds: Rounds, hands: Hands
) -> None:
    before = step(record(client, lived), "turn")["first_told"]
    rounds.tidy(hands.forward(24 * 30))
    assert step(record(client, lived), "turn")["first_told"] == before


def test_what_was_told_after_it_was_done_is_not_called_foreseen(
    client: TestClient, bench: Bench, pour_id: int, store: Store, hands: Hands
) -> None:
    client.post(f"{API}/places/{bench.place_id}/weather/refresh")
    at = hands.forward(60)
    with store.unit_of_work() as session:
        mark_step_done(session, at, pour_id, "strip", at - HOUR)
    project_pour(store, at, pour_id)
    strip = step(record(client, pour_id), "strip")
    assert strip["first_told"] is None
    assert strip["before_done"] is None


def test_the_model_speaks_of_a_reading_as_if_it_did_not_know_it(
    client: TestClient, lived: int, store: Store, hands: Hands
) -> None:
    before = record(client, lived)["readings"]
    (inside,) = [one["foreseen"] for one in before if one["kind"] == "concrete"]
    with store.unit_of_work() as session:
        for hours in (25, 30, 35):
            record_reading(
                session,
                hands.now,
                lived,
                ReadingCreate(
                    at=hands.now - hours * HOUR,
                    kind="concrete",
                    value_C=inside["p50"] + 2.0,
                    note="later",
                ),
            )
    told = record(client, lived)["readings"]
    assert [one for one in told if one["note"] != "later"] == before
    for one in told:
        assert one["foreseen"]["p10"] <= one["foreseen"]["p50"] <= one["foreseen"]["p90"]


def test_a_bar_is_set_against_bending_and_a_cube_against_crushing(
    client: TestClient, lived: int
) -> None:
    """ACI 318: modulus of rupture 0.62 sqrt(f'c) in MPa, of the same concrete at the same hour."""
    tests = {one["kind"]: one["foreseen_MPa"] for one in record(client, lived)["strength_tests"]}
    for share in ("p10", "p50", "p90"):
        assert tests["bar"][share] == pytest.approx(0.62 * tests["cube"][share] ** 0.5, abs=0.01)


def test_the_low_and_the_high_of_a_night_are_each_foreseen(client: TestClient, lived: int) -> None:
    (night,) = [one for one in record(client, lived)["readings"] if one["kind"] == "air-min-max"]
    assert night["foreseen"]["p50"] < night["foreseen_max"]["p50"]
    assert (night["span_h"], night["note"]) == (12.0, "max-min by the door")


def test_days_are_days_of_the_place_and_none_lies_ahead(client: TestClient, lived: int) -> None:
    days = record(client, lived)["days"]
    assert [day["date"] for day in days] == [f"2026-10-{d}" for d in (14, 15, 16, 17)]
    assert [day["hours"] for day in days] == [7, 24, 24, 6]


def test_under_a_steady_sky_every_day_is_alike(
    client: TestClient, bench: Bench, pour_id: int, store: Store, hands: Hands
) -> None:
    client.post(f"{API}/places/{bench.place_id}/weather/refresh")
    project_pour(store, hands.forward(60), pour_id)
    days = record(client, pour_id)["days"]
    assert len(days) == 4
    for day in days:
        assert day["low_C"] == pytest.approx(12.0, abs=1.0)  # the test's sky is 12 degC
        assert day["high_C"] == pytest.approx(12.0, abs=1.0)
        assert day["rain_mm"] == 0.0


def test_times_carry_the_offset_of_the_place(client: TestClient, lived: int) -> None:
    told = record(client, lived)
    assert told["placed_at"] == "2026-10-14T17:00:00-05:00"
    stamps = [one["at"] for one in (*told["readings"], *told["strength_tests"], *told["undone"])]
    assert all(stamp.endswith("-05:00") for stamp in stamps)


def test_a_night_of_the_clock_change_keeps_its_offsets(
    client: TestClient, lived: int, store: Store, hands: Hands
) -> None:
    """The clock of America/Chicago goes back on 1 November 2026 (tz database)."""
    hands.now = datetime.fromisoformat("2026-11-01T12:00:00-06:00")
    with store.unit_of_work() as session:
        for at in ("2026-11-01T01:30:00-05:00", "2026-11-01T01:30:00-06:00"):
            record_reading(
                session,
                hands.now,
                lived,
                ReadingCreate(at=datetime.fromisoformat(at), kind="air", value_C=1.0),
            )
    stamps = [one["at"] for one in record(client, lived)["readings"]]
    assert stamps[-2:] == ["2026-11-01T01:30:00-05:00", "2026-11-01T01:30:00-06:00"]


def test_a_pour_without_weather_has_a_record_that_says_so(client: TestClient, pour_id: int) -> None:
    told = record(client, pour_id)
    assert (told["days"], told["steps"], told["readings"]) == ([], [], [])
    assert client.get(f"{API}/pours/77/record").status_code == 404
    assert client.get(f"{API}/pours/77/record.csv").status_code == 404


def test_readings_without_weather_stand_alone_and_why(
    client: TestClient, pour_id: int, store: Store, hands: Hands
) -> None:
    with store.unit_of_work() as session:
        record_reading(
            session, hands.now, pour_id, ReadingCreate(at=hands.now, kind="air", value_C=5.0)
        )
    told = record(client, pour_id)
    assert told["readings"][0]["foreseen"] is None
    assert "no forecast has been fetched yet" in told["foreseen_missing"]


def test_a_closed_piece_does_not_hear_of_the_next_winter(
    client: TestClient,
    lived: int,
    store: Store,
    hands: Hands,
    pour_again: Callable[[datetime], int],
) -> None:
    with store.unit_of_work() as session:
        close_pour(session, hands.now, lived, "finished")
    before = record(client, lived)
    other = pour_again(hands.forward(24 * 90))
    with store.unit_of_work() as session:
        record_reading(
            session, hands.now, other, ReadingCreate(at=hands.now, kind="air", value_C=-20.0)
        )
    after = record(client, lived)
    assert {**after, "made_at": ""} == {**before, "made_at": ""}


def test_a_hundred_readings_ask_the_tables_no_more_often_than_one(
    client: TestClient, lived: int, store: Store, hands: Hands
) -> None:
    def asked() -> int:
        said: list[str] = []

        def note(_connection: object, _cursor: object, statement: str, *_: object) -> None:
            said.append(statement)

        event.listen(store.engine, "before_cursor_execute", note)
        record(client, lived)
        event.remove(store.engine, "before_cursor_execute", note)
        return len(said)

    few = asked()
    with store.unit_of_work() as session:
        for minutes in range(100):
            at = hands.now - timedelta(minutes=minutes)
            record_reading(
                session, hands.now, lived, ReadingCreate(at=at, kind="concrete", value_C=14.0)
            )
            record_strength_test(
                session, hands.now, lived, StrengthTestCreate(at=at, kind="cube", MPa=9.0)
            )
    assert asked() == few


def test_the_csv_has_a_row_for_each_event_oldest_first(client: TestClient, lived: int) -> None:
    told, table = record(client, lived), rows(client, lived)
    by_event: dict[str, int] = {}
    for row in table:
        by_event[row["event"]] = by_event.get(row["event"], 0) + 1
    assert by_event["reading"] == 4
    assert by_event["set seen"] == 1
    assert by_event["strength test"] == 2
    assert by_event["done"] == 2
    assert by_event["step undone"] == 1
    assert by_event["weather"] == len(told["days"])
    assert by_event["first told"] == len([one for one in told["steps"] if one["first_told"]])
    stamps = [datetime.fromisoformat(row["at"]) for row in table]
    assert stamps == sorted(stamps)
    assert all(stamp.utcoffset() is not None for stamp in stamps)


def test_a_negative_number_in_the_csv_is_still_a_number(
    client: TestClient, lived: int, store: Store, hands: Hands
) -> None:
    with store.unit_of_work() as session:
        record_reading(
            session, hands.now, lived, ReadingCreate(at=hands.now, kind="air", value_C=-3.5)
        )
    cold = [row for row in rows(client, lived) if row["value_C"].startswith("-")]
    assert [float(row["value_C"]) for row in cold] == [-3.5]


@pytest.mark.parametrize("begin", ["=", "+", "-", "@", "\t=", "  =", "＝", "＠"])
def test_a_name_cannot_become_a_formula(
    client: TestClient, lived: int, bench: Bench, store: Store, hands: Hands, begin: str
) -> None:
    """OWASP, CSV injection: cells that begin with = + - @, tab, return, or their wide twins."""
    name = f"{begin}cmd|' /C calc'!A0,\"x\""
    with store.unit_of_work() as session:
        save_piece(session, hands.now, {"name": name}, bench.piece_id, [lived])
        save_mix(session, hands.now, {"name": name}, bench.mix_id, [lived])
        record_reading(
            session,
            hands.now,
            lived,
            ReadingCreate(at=hands.now, kind="air", value_C=1.0, note=name),
        )
    table = rows(client, lived)
    assert {row["piece"] for row in table} == {f"'{name}"}
    (noted,) = [row for row in table if "calc" in row["text"]]
    assert noted["text"] == f"'{name}"


@pytest.fixture
def pour_again(store: Store, bench: Bench) -> Callable[[datetime], int]:
    """Another pour at the same place."""

    def poured(at: datetime) -> int:
        from_the_phone = PourCreate(
            mix_id=bench.mix_id, piece_id=bench.piece_id, place_id=bench.place_id, placed_at=at
        )
        with store.unit_of_work() as session:
            return log_pour(session, at, from_the_phone).id

    return poured
