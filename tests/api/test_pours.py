"""A pour from log to step done, on the real science, through the API."""

from datetime import datetime, timedelta

import pytest
from starlette.testclient import TestClient

from models.message import Message
from scheduler.jobs import Rounds
from tests.support.raw import JsonDict
from tests.support.shop import Bench, Hands, Sky
from tests.support.words import said

API = "/api/v1"


@pytest.fixture
def logged(client: TestClient, bench: Bench) -> int:
    """A pour logged through the API, with a forecast at hand."""
    assert client.post(f"{API}/places/{bench.place_id}/weather/refresh").status_code == 201
    body = {
        "mix_id": bench.mix_id,
        "piece_id": bench.piece_id,
        "place_id": bench.place_id,
        "mould_id": bench.mould_id,
        "sealer_id": bench.sealer_id,
        "concrete_C": "59 F",
        "protections": [{"kind": "film"}],
    }
    response = client.post(f"{API}/pours", json=body)
    assert response.status_code == 201, response.text
    assert response.json()["concrete_C"] == 15.0
    return int(response.json()["id"])


def at(text: str) -> datetime:
    return datetime.fromisoformat(text)


def steps(client: TestClient, pour_id: int) -> dict[str, JsonDict]:
    told = client.get(f"{API}/pours/{pour_id}/projection").json()
    return {step["step"]: step for step in told["steps"]}


def test_a_logged_pour_has_windows_and_owes_a_notice(client: TestClient, logged: int) -> None:
    told = client.get(f"{API}/pours/{logged}/projection").json()
    assert len(told["concrete"]["time"]) == len(told["concrete"]["strength_MPa"]["p50"])
    strip = steps(client, logged)["strip"]
    assert strip["state"] == "not yet"
    owed = client.get(f"{API}/pours/{logged}/reminders").json()
    (opens,) = [row for row in owed if row["step"] == "strip" and row["kind"] == "opens"]
    assert at(opens["window_at"]) == at(strip["earliest"]["safe"])


def test_a_pour_without_weather_is_blocked_and_says_what_is_missing(
    client: TestClient, bench: Bench
) -> None:
    body = {"mix_id": bench.mix_id, "piece_id": bench.piece_id, "place_id": bench.place_id}
    pour_id = client.post(f"{API}/pours", json=body).json()["id"]
    assert {step["state"] for step in steps(client, pour_id).values()} == {"blocked"}
    assert "no forecast has been fetched yet" in steps(client, pour_id)["strip"]["because"]
    assert client.get(f"{API}/pours/{pour_id}/reminders").json() == []


def test_typed_temperatures_open_what_no_forecast_could__and_a_reading_moves_it(
    client: TestClient, bench: Bench, hands: Hands
) -> None:
    body = {"mix_id": bench.mix_id, "piece_id": bench.piece_id, "place_id": bench.place_id}
    pour_id = client.post(f"{API}/pours", json=body).json()["id"]
    typed = {"night_low_C": "41 F", "day_high_C": 14}
    assert (
        client.post(f"{API}/places/{bench.place_id}/weather/typed", json=typed).status_code == 201
    )
    client.patch(f"{API}/pours/{pour_id}", json={"note": "foggy"})
    before = steps(client, pour_id)["strip"]
    assert before["state"] == "not yet"
    hands.forward(14.0)
    reading = {"kind": "air-min-max", "value_C": -2, "value_max_C": 6}
    assert client.post(f"{API}/pours/{pour_id}/readings", json=reading).status_code == 201
    after = steps(client, pour_id)["strip"]["earliest"]["p90"]  # none: it may have frozen
    assert after is None or at(after) > at(before["earliest"]["p90"])


def test_a_tile_weighed_and_a_wet_film_are_kept_and_move_the_coat(
    client: TestClient, logged: int, hands: Hands
) -> None:
    def put(**body: object) -> JsonDict:
        response = client.post(f"{API}/pours/{logged}/readings", json=body)
        assert response.status_code == 201, response.text
        return dict(response.json())

    hands.forward(36.0)
    for step in ("strip", "end-wet-cure"):
        assert client.post(f"{API}/pours/{logged}/steps/{step}/done").status_code == 201
    first = put(kind="tile", mass_g="4 lb")
    assert first["mass_g"] == pytest.approx(1814.37, abs=0.01)
    hands.forward(8.0)
    put(kind="tile", mass_g=1810)
    assert "film was wet" not in steps(client, logged)["coat-1"]["because"]
    put(kind="film-wet")
    told = client.get(f"{API}/pours/{logged}/readings").json()
    assert [row["kind"] for row in told] == ["tile", "tile", "film-wet"]
    coat = steps(client, logged)["coat-1"]
    assert coat["state"] == "not yet"
    assert "A taped film was wet: wait" in coat["because"]
    assert client.delete(f"{API}/readings/{told[2]['id']}").status_code == 204
    assert "film was wet" not in steps(client, logged)["coat-1"]["because"]


def test_a_step_done_is_done__and_undone_again(
    client: TestClient, logged: int, hands: Hands
) -> None:
    hands.forward(60.0)
    assert client.post(f"{API}/pours/{logged}/steps/strip/done").status_code == 201
    assert steps(client, logged)["strip"]["state"] == "done"
    again = client.post(f"{API}/pours/{logged}/steps/strip/done")
    assert again.status_code == 409
    assert "already" in again.json()["errors"][0]["wrong"]
    assert client.post(f"{API}/pours/{logged}/steps/strip/undo").status_code == 200
    assert steps(client, logged)["strip"]["state"] != "done"
    assert client.post(f"{API}/pours/{logged}/steps/strip/undo").status_code == 404


def test_taking_the_cover_off_is_logged_by_the_step(
    client: TestClient, logged: int, hands: Hands
) -> None:
    hands.forward(30.0)
    client.post(f"{API}/pours/{logged}/steps/uncover/done")
    (film,) = client.get(f"{API}/pours/{logged}/protections").json()
    assert film["to_at"] == "2026-10-16T05:00:00Z"
    client.post(f"{API}/pours/{logged}/steps/uncover/undo")
    (film,) = client.get(f"{API}/pours/{logged}/protections").json()
    assert film["to_at"] is None


def test_a_cover_is_put_on_and_taken_off(client: TestClient, logged: int, hands: Hands) -> None:
    made = client.post(f"{API}/pours/{logged}/protections", json={"kind": "blanket"}).json()
    hands.forward(10.0)
    off = client.post(f"{API}/protections/{made['id']}/off", json={})
    assert off.json()["to_at"] == "2026-10-15T09:00:00Z"
    assert client.post(f"{API}/protections/{made['id']}/off", json={}).status_code == 409
    assert client.delete(f"{API}/protections/{made['id']}").status_code == 204


def test_due_tells_what_opens_within_a_day(client: TestClient, logged: int) -> None:
    due = client.get(f"{API}/due").json()
    assert {item["pour_id"] for item in due} == {logged}
    assert due[0]["piece"] == "North bench"
    assert {item["step"]["state"] for item in due} <= {"open", "closing", "not yet", "past"}


def test_a_closed_pour_is_left_alone_until_it_is_reopened(client: TestClient, logged: int) -> None:
    assert client.post(f"{API}/pours/{logged}/close", json={"why": "lost"}).status_code == 200
    assert client.post(f"{API}/pours/{logged}/close").status_code == 409
    assert client.get(f"{API}/pours", params={"active": True}).json() == []
    assert client.get(f"{API}/due").json() == []
    assert client.post(f"{API}/pours/{logged}/reopen").status_code == 200
    assert [row["id"] for row in client.get(f"{API}/pours?active=true").json()] == [logged]


def test_tonight_answers_on_the_forecast_and_on_two_typed_numbers(
    client: TestClient, bench: Bench
) -> None:
    plan = {"mix_id": bench.mix_id, "piece_id": bench.piece_id, "place_id": bench.place_id}
    blind = client.post(f"{API}/tonight", json=plan).json()
    assert blind["answer_code"]["code"] == "wait"
    assert "no forecast" in blind["because"]
    mild = client.post(f"{API}/tonight", json={**plan, "night_low_C": 12, "day_high_C": 20}).json()
    assert mild["answer_code"]["code"].startswith("pour")
    hard = client.post(f"{API}/tonight", json={**plan, "night_low_C": -12, "day_high_C": -6}).json()
    assert hard["answer_code"] != mild["answer_code"]
    assert hard["weather_source"] == "typed by hand: night -12 C, day -6 C"
    half = client.post(f"{API}/tonight", json={**plan, "night_low_C": -12})
    assert half.json()["errors"][0]["field"] == "day_high_C"


def test_a_service_that_is_down_is_told_and_shown(
    client: TestClient, bench: Bench, sky: Sky
) -> None:
    sky.down = "answered 503"
    response = client.post(f"{API}/places/{bench.place_id}/weather/refresh")
    assert response.status_code == 503
    assert response.headers["retry-after"] == "900"
    weather = client.get(f"{API}/places/{bench.place_id}/weather").json()
    assert weather["failure"] == "a sky of the tests: answered 503"
    assert weather["runs"] == []


def test_an_old_forecast_is_used_and_said_to_be_old(
    client: TestClient, logged: int, hands: Hands
) -> None:
    hands.forward(9.0)
    client.patch(f"{API}/pours/{logged}", json={"note": "morning"})
    told = client.get(f"{API}/pours/{logged}/projection").json()
    (old,) = (one for one in told["warning_codes"] if one["code"] == "forecast_is_old")
    assert old["values"]["age_h"] == pytest.approx(9.0, abs=0.5)
    assert old["values"]["source"] == "a sky of the tests"


def test_a_new_forecast_that_is_colder_moves_strip_and_says_why(
    client: TestClient, logged: int, bench: Bench, sky: Sky, rounds: Rounds, hands: Hands
) -> None:
    sky.air_C = 4.0
    client.post(f"{API}/places/{bench.place_id}/weather/refresh")
    rounds.project(hands.forward(0.1))
    told = client.get(f"{API}/pours/{logged}/projection").json()
    why = told["why_moved_code"]["values"]
    assert "strip" in [one["values"]["key"] for one in why["moves"]]
    assert "air_colder" in [one["code"] for one in why["reasons"]]
    assert told["why_moved"] == said("moved", **Message(**told["why_moved_code"]).values)


def test_readings_and_tests_can_be_taken_back(
    client: TestClient, logged: int, hands: Hands
) -> None:
    hands.forward(48.0)
    reading = client.post(
        f"{API}/pours/{logged}/readings", json={"kind": "concrete", "value_C": 14}
    )
    test = client.post(
        f"{API}/pours/{logged}/strength-tests", json={"kind": "cube", "MPa": "1200 psi"}
    )
    assert test.json()["MPa"] == pytest.approx(8.274, abs=0.001)
    assert client.delete(f"{API}/readings/{reading.json()['id']}").status_code == 204
    assert client.delete(f"{API}/strength-tests/{test.json()['id']}").status_code == 204
    assert client.get(f"{API}/pours/{logged}/readings").json() == []
    assert client.get(f"{API}/pours/{logged}/strength-tests").json() == []


def test_a_reading_of_a_wrong_instrument_is_kept_marked_and_counts_no_more(
    client: TestClient, logged: int, hands: Hands
) -> None:
    hands.forward(30.0)
    blind = steps(client, logged)["strip"]["earliest"]
    body = {"kind": "concrete", "value_C": 2}
    row = client.post(f"{API}/pours/{logged}/readings", json=body).json()
    assert row["wrong"] is False
    cold = steps(client, logged)["strip"]
    assert cold["earliest"] != blind
    assert cold["reason"]["code"] == "readings_disagree"
    marked = client.put(f"{API}/readings/{row['id']}/wrong", json={"wrong": True})
    assert marked.status_code == 200
    assert steps(client, logged)["strip"]["earliest"] == blind
    assert steps(client, logged)["strip"]["reason"] is None
    kept = client.get(f"{API}/pours/{logged}/readings").json()
    assert [(one["value_C"], one["wrong"]) for one in kept] == [(2.0, True)]
    record = client.get(f"{API}/pours/{logged}/record").json()
    assert [one["wrong"] for one in record["readings"]] == [True]
    client.put(f"{API}/readings/{row['id']}/wrong", json={"wrong": False})
    assert steps(client, logged)["strip"]["earliest"] == cold["earliest"]


def test_a_pour_ahead_is_planned(client: TestClient, bench: Bench, hands: Hands) -> None:
    client.post(f"{API}/places/{bench.place_id}/weather/refresh")
    body = {
        "mix_id": bench.mix_id,
        "piece_id": bench.piece_id,
        "place_id": bench.place_id,
        "placed_at": (hands.now + timedelta(days=2)).isoformat(),
    }
    pour_id = client.post(f"{API}/pours", json=body).json()["id"]
    assert steps(client, pour_id)["strip"]["state"] == "not yet"
