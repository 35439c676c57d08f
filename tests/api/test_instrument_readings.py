"""Readings that come by themselves: by an instrument's token or a helper's script, one or many."""

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from fastapi import FastAPI
from httpx2 import Response
from sqlmodel import Session, col, select
from starlette.testclient import TestClient

from models.errors import InputError
from models.records import Job, Person, Place, Pour, Projection, Reading
from service.actions.people import machines
from service.actions.pours import take_readings
from service.actions.pours.take_logger import take_logger
from service.actions.record.pour_record import read_pour_record
from service.actions.weather.refresh_forecasts import refresh_forecast
from service.actions.windows import scenario_rows
from service.app import create_app
from service.nouns.reading import ReadingCreate
from service.settings import Settings
from service.store import Store
from service.weather.logger_file import Logged
from tests.support.shop import HOUR, Bench, Hands, Sky

MINUTE = timedelta(minutes=1)
Send = Callable[..., Response]


@pytest.fixture
def send(app: FastAPI, store: Store, bench: Bench, now: datetime) -> Send:
    """Sends to the readings of the bench's place by the token of an instrument there."""
    with store.unit_of_work() as session:
        person = Person(created_at=now, name="Owner", role="owner", password_hash="none")
        session.add(person)
        made = machines.let_in(session, now, "Yard", "instrument", bench.place_id)
    client = TestClient(app, raise_server_exceptions=False)

    def sent(body: object, kind: str = "", path: str = "", **headers: str) -> Response:
        where = path or f"/api/v1/places/{bench.place_id}/readings"
        bearer = {"authorization": f"Bearer {made}", **headers}
        if isinstance(body, str | bytes):
            return client.post(where, content=body, headers={**bearer, "content-type": kind})
        return client.post(where, json=body, headers=bearer)

    return sent


def kept(store: Store) -> list[Reading]:
    with store.reading() as session:
        return list(session.exec(select(Reading).order_by(col(Reading.at), col(Reading.id))).all())


def told(
    now: datetime, minutes: float, value_C: float = 9.0, kind: str = "air"
) -> dict[str, object]:
    return {"kind": kind, "value_C": value_C, "at": (now - minutes * MINUTE).isoformat()}


@pytest.mark.parametrize(
    ("text", "value_C"), [("8.5\n", 8.5), ("48 F", 8.889), ("-3,5", -3.5), ("8.5 °C", 8.5)]
)
@pytest.mark.usefixtures("pour_id")
def test_a_bare_number_is_the_air_now(
    send: Send, store: Store, now: datetime, text: str, value_C: float
) -> None:
    answer = send(text.encode(), "text/plain; charset=utf-8")
    assert (answer.status_code, answer.json()) == (
        201,
        {"kept": 1, "known": 0, "left_out": [], "set_aside": []},
    )
    (one,) = kept(store)
    assert (one.kind, one.at, one.instrument, one.logged_by) == ("air", now, "Yard", "Yard")
    assert one.value_C == pytest.approx(value_C, abs=1e-3)


@pytest.mark.usefixtures("pour_id")
def test_the_same_instant_of_the_same_instrument_is_the_same_reading(
    send: Send, store: Store, now: datetime
) -> None:
    many = [told(now, 40), told(now, 20), {**told(now, 20), "kind": "humidity"}]
    many[2] = {"kind": "humidity", "rh_pct": 81.0, "at": many[1]["at"]}
    assert send(many).json()["kept"] == 3
    again = send([*many, told(now, 5)]).json()
    assert (again["kept"], again["known"]) == (1, 3)
    assert len(kept(store)) == 4


@pytest.mark.parametrize(
    ("heading", "row", "value_C"),
    [
        ("at,kind,value", "{},air,8.5", 8.5),
        ("at;kind;value", "{};air;8,5", 8.5),
        ("at,value_C", "{},48 F", 8.889),
        ("kind\tvalue\tat", "air\t8.5 C\t{}", 8.5),
    ],
)
@pytest.mark.usefixtures("pour_id")
def test_csv_is_read_by_its_headings(
    send: Send, store: Store, now: datetime, heading: str, row: str, value_C: float
) -> None:
    at = (now - 10 * MINUTE).isoformat()
    answer = send(f"{heading}\n{row.format(at)}\n", "text/csv")
    assert answer.status_code == 201, answer.text
    (one,) = kept(store)
    assert one.at == now - 10 * MINUTE
    assert one.value_C == pytest.approx(value_C, abs=1e-3)


@pytest.mark.usefixtures("pour_id")
def test_csv_tells_humidity_beside_temperature(send: Send, store: Store, now: datetime) -> None:
    at = (now - 10 * MINUTE).isoformat()
    text = f"at,kind,value\n{at},air,8.5\n{at},humidity,81 %\n"
    assert send(text, "text/csv").json()["kept"] == 2
    assert {(one.kind, one.rh_pct) for one in kept(store)} == {("air", None), ("humidity", 81.0)}


def test_what_no_pour_was_under_way_for_is_left_out_and_says_why(
    send: Send, store: Store, now: datetime, pour_id: int
) -> None:
    answer = send([told(now, 90), told(now, 30), told(now, -30)]).json()
    assert answer["kept"] == 1
    early, ahead = answer["left_out"]
    assert datetime.fromisoformat(early["at"]) == now - 90 * MINUTE
    assert datetime.fromisoformat(ahead["at"]) == now + 30 * MINUTE
    assert early["why"] != ahead["why"]
    with store.unit_of_work() as session:
        pour = session.get(Pour, pour_id)
        assert pour is not None
        pour.closed_at = now - 15 * MINUTE
    gone = send([told(now, 5)]).json()
    assert (gone["kept"], [one["why"] for one in gone["left_out"]]) == (0, [early["why"]])
    own = send(
        [told(now, 20, 15.0, "concrete"), told(now, 5)], path=f"/api/v1/pours/{pour_id}/readings"
    )
    assert (own.json()["kept"], len(own.json()["left_out"])) == (1, 1)
    assert len(kept(store)) == 2


@pytest.mark.parametrize(
    ("body", "kind", "field"),
    [
        ("warm", "text/plain", "value_C"),
        ("", "text/plain", "value_C"),
        ("999", "text/plain", "value_C"),
        ("at,kind,warmth\n", "text/csv", "heading"),
        ("value\n1,2\n", "text/csv", "[0].row"),
        ("at,value\nyesterday,8\n", "text/csv", "[0].at"),
        ("at,value\n2026-10-14T22:50,8\n", "text/csv", "[0].at"),
        ('[{"kind": "air", "value_C": 8}, {"kind": "air"}]', "application/json", "[1].value_C"),
        ('[{"kind": "air", "value": 8}]', "application/json", "[0].value"),
        ('{"kind": "concrete", "value_C": 8}', "application/json", "kind"),
        ('{"kind": "heat", "value_C": 8}', "application/json", "kind"),
        ("8.5", "application/x-www-form-urlencoded", "Content-Type"),
        ("8", "application/json", "body"),
    ],
)
@pytest.mark.usefixtures("pour_id")
def test_bad_input_is_named_and_nothing_of_it_is_kept(
    send: Send, store: Store, body: str, kind: str, field: str
) -> None:
    answer = send(body, kind)
    assert answer.status_code == 422, answer.text
    assert answer.json()["errors"][0]["field"] == field
    assert kept(store) == []


@pytest.mark.usefixtures("pour_id")
def test_what_is_no_json_or_too_much_is_refused(send: Send, store: Store, now: datetime) -> None:
    assert send("[{", "application/json").status_code == 400
    assert send("[" * 100_000, "application/json").status_code == 400
    assert send([told(now, 1)] * 2001).status_code == 422
    assert send([]).json()["kept"] == 0
    assert kept(store) == []


def test_the_single_form_of_a_pour_answers_the_reading_and_a_list_counts(
    send: Send, store: Store, now: datetime, pour_id: int
) -> None:
    path = f"/api/v1/pours/{pour_id}/readings"
    one = send(told(now, 10, 15.0, "concrete"), path=path)
    assert (one.status_code, one.json()["instrument"], one.json()["spare"]) == (201, "Yard", False)
    again = send(told(now, 10, 15.0, "concrete"), path=path)  # the same reading
    assert (again.status_code, again.json()["id"]) == (201, one.json()["id"])
    assert send(told(now, 12, 15.0, "concrete"), path=path).json()["spare"] is True
    assert (
        send({"kind": "concrete", "value": 15}, path=path).json()["errors"][0]["field"] == "value"
    )
    many = [told(now, 9, 15.0, "concrete"), {"kind": "initial-set", "at": now.isoformat()}]
    assert send(many, path=path).json()["kept"] == 2
    assert send("9", "text/plain", path=path).json()["kept"] == 1
    with store.reading() as session:
        assert session.exec(select(Projection)).all() == []  # all of it is left to the clock


@pytest.mark.parametrize("minutes", [90, -30])
def test_a_single_one_of_no_time_of_the_pour_is_refused_as_a_persons(
    send: Send, store: Store, now: datetime, pour_id: int, minutes: float
) -> None:
    path = f"/api/v1/pours/{pour_id}/readings"
    answer = send(told(now, minutes, 15.0, "concrete"), path=path)
    assert (answer.status_code, answer.json()["errors"][0]["field"]) == (422, "at")
    with store.unit_of_work() as session:
        pour = session.get_one(Pour, pour_id)
        pour.closed_at = now - 15 * MINUTE
    late = send(told(now, 5, 15.0, "concrete"), path=path)
    assert (late.status_code, late.json()["errors"][0]["field"]) == (422, "at")
    assert kept(store) == []


def test_what_is_held_of_the_weather_is_another_once_new_weather_came(
    send: Send, store: Store, now: datetime, bench: Bench, sky: Sky, pour_id: int
) -> None:
    """Where 20 degC was foretold 22 is the air; where then frost is, it was degF."""
    assert pour_id
    sky.air_C = 20.0
    refresh_forecast(store, now, bench.place_id, sky)
    assert send([told(now, 40, 22.0)]).json()["set_aside"] == []
    sky.air_C = 0.0
    refresh_forecast(store, now, bench.place_id, sky)
    assert len(send([told(now, 5, 22.0)]).json()["set_aside"]) == 1


def test_the_projection_is_left_to_the_clock(
    send: Send, store: Store, now: datetime, pour_id: int
) -> None:
    with store.unit_of_work() as session:
        job = session.exec(select(Job).where(Job.pour_id == pour_id)).one()
        job.due_at, asked = now + 5 * HOUR, job.asked
    assert send([told(now, 30), told(now, 10)]).json()["kept"] == 2
    with store.reading() as session:
        assert session.exec(select(Projection)).all() == []
        job = session.exec(select(Job).where(Job.pour_id == pour_id)).one()
        assert (job.due_at, job.asked) == (now, asked + 1)


def test_a_flood_is_kept_and_shown_and_does_not_reach_the_model(
    send: Send, store: Store, now: datetime, pour_id: int
) -> None:
    minutes = [k / 6 for k in range(300)]  # every ten seconds for fifty minutes
    assert send([told(now, one) for one in minutes]).json()["kept"] == 300
    rows = kept(store)
    count = [row.at for row in rows if not row.spare]
    assert len(count) == 4  # of fifty minutes one in each quarter of an hour
    assert min(b - a for a, b in zip(count, count[1:], strict=False)) >= take_readings.QUARTER
    late = send([told(now, 4.05)]).json()  # between others, long after them
    assert (late["kept"], late["known"]) == (1, 0)
    with store.reading() as session:
        scenario = scenario_rows.gather(session, now, pour_id).scenario
        assert [one.at for one in scenario.observations] == count
    record = read_pour_record(store, now, pour_id)
    assert len(record.readings) == 301
    assert sum(one.spare for one in record.readings) == 297


def test_a_flood_of_what_is_spare_asks_nothing_of_the_clock(
    send: Send, store: Store, now: datetime, pour_id: int
) -> None:
    send([told(now, 10)])
    with store.unit_of_work() as session:
        job = session.exec(select(Job).where(Job.pour_id == pour_id)).one()
        job.due_at = now + 5 * HOUR
    assert send([told(now, 9), told(now, 8)]).json()["kept"] == 2
    with store.reading() as session:
        job = session.exec(select(Job).where(Job.pour_id == pour_id)).one()
        assert job.due_at == now + 5 * HOUR


def test_degrees_of_the_other_unit_warm_no_piece(
    send: Send, store: Store, now: datetime, pour_id: int
) -> None:
    """48 without a unit is 48 degC; in October it was 48 degF. Cold ones are never set aside."""
    answer = send([told(now, 40, 48.0), told(now, 20, 47.0), told(now, 0, -9.0)]).json()
    assert answer["kept"] == 3
    assert len(answer["set_aside"]) == 2
    assert [row.wrong for row in kept(store)] == [True, True, False]
    with store.reading() as session:
        believed = scenario_rows.gather(session, now, pour_id).scenario.without_wrong_readings()
        assert [one.value for one in believed.observations] == [-9.0]
    sure = {**told(now, 3, 48.0), "confirm": True}
    assert send([sure]).json()["set_aside"] == []


@pytest.mark.usefixtures("pour_id")
def test_an_instrument_of_one_piece_writes_nothing_to_the_place(
    app: FastAPI, store: Store, bench: Bench, now: datetime, pour_id: int, send: Send
) -> None:
    with store.unit_of_work() as session:
        made = machines.let_in(session, now, "Probe", "instrument", pour_id=pour_id)
        place = session.get(Place, bench.place_id)
        assert place is not None
        other = Place(**{**place.model_dump(exclude={"id", "name"}), "name": "Elsewhere"})
        session.add(other)
        session.flush()
        elsewhere = other.id
    client, bearer = TestClient(app), {"authorization": f"Bearer {made}"}
    path = f"/api/v1/places/{bench.place_id}/readings"
    assert client.post(path, json=told(now, 5), headers=bearer).status_code == 401
    assert send(told(now, 5), path=f"/api/v1/places/{elsewhere}/readings").status_code == 401
    mine = [told(now, 5, 15.0, "concrete")]
    answer = client.post(f"/api/v1/pours/{pour_id}/readings", json=mine, headers=bearer)
    assert answer.json()["kept"] == 1


@pytest.mark.usefixtures("pour_id")
def test_a_repeat_with_its_key_is_answered_as_before(send: Send) -> None:
    key = {"Idempotency-Key": "yard-1"}
    first = send("9", "text/plain", **key)
    again = send("9", "text/plain", **key)
    assert again.json() == first.json()
    assert again.headers["Idempotent-Replayed"] == "true"


def test_a_place_that_is_not_there(client: TestClient, now: datetime) -> None:
    answer = client.post("/api/v1/places/987654/readings", json=told(now, 1))
    assert answer.status_code == 404
    assert answer.json()["errors"][0]["field"] == "place_id"


def test_both_databases_keep_each_once(
    any_store: Store,
    now: datetime,
    tmp_path: object,
    hands: Hands,
    furnished: Callable[[Store, datetime], Bench],
) -> None:
    bench = furnished(any_store, now)
    app = create_app(Settings(data=str(tmp_path), hosts="testserver"), any_store, Sky(), hands)
    client = TestClient(app)
    made = client.post(
        "/api/v1/pours",
        json={
            "mix_id": bench.mix_id,
            "piece_id": bench.piece_id,
            "place_id": bench.place_id,
            "placed_at": (now - HOUR).isoformat(),
        },
    )
    assert made.status_code == 201, made.text
    path = f"/api/v1/places/{bench.place_id}/readings"
    for wanted in ((3, 0), (0, 3)):
        answer = client.post(path, json=[told(now, k) for k in (40, 20, 10)]).json()
        assert (answer["kept"], answer["known"]) == wanted
    assert [row.spare for row in kept(any_store)] == [False, False, True]


@pytest.mark.usefixtures("pour_id")
def test_a_logger_file_counts_in_full_and_knows_what_was_read(
    store: Store, bench: Bench, now: datetime
) -> None:
    def take(session: Session) -> list[Reading]:
        return take_logger(session, now, bench.place_id, logged)

    logged = [Logged(now - k * MINUTE, 9.0, 80.0) for k in (90, 20, 10)]
    with store.unit_of_work() as session:
        assert len(take(session)) == 4  # without the one of before the pour
    with store.unit_of_work() as session:
        assert take(session) == []
        given = [ReadingCreate(kind="air", value_C=9.0, at=now - 15 * MINUTE)]
        found = take_readings.of_place(session, now, bench.place_id, given, "Yard")
        assert [row.spare for row in found.kept] == [False]  # near a person's, of no instrument
    with store.unit_of_work() as session, pytest.raises(InputError, match="place_id"):
        take_readings.of_place(session, now, 987654, given, "Yard")
    assert not any(row.spare for row in kept(store))
