"""A repeated POST is done once; the same key for something else is refused."""

from starlette.testclient import TestClient

from tests.support.shop import Bench, Sky, Windows

API = "/api/v1"
PLACE = {"name": "Yard", "kind": "open yard"}


def test_a_repeat_gets_the_same_answer_and_makes_nothing_new(client: TestClient) -> None:
    key = {"Idempotency-Key": "phone-1"}
    first = client.post(f"{API}/places", json=PLACE, headers=key)
    second = client.post(f"{API}/places", json=PLACE, headers=key)
    assert first.status_code == second.status_code == 201
    assert first.json() == second.json()
    assert (first.headers.get("idempotent-replayed"), second.headers["idempotent-replayed"]) == (
        None,
        "true",
    )
    assert len(client.get(f"{API}/places").json()) == 1


def test_a_key_used_for_something_else_is_refused(client: TestClient) -> None:
    key = {"Idempotency-Key": "phone-1"}
    client.post(f"{API}/places", json=PLACE, headers=key)
    for path, body in (("places", {**PLACE, "name": "Other"}), ("moulds", {"name": "M"})):
        response = client.post(f"{API}/{path}", json=body, headers=key)
        assert response.status_code == 422
        assert response.json()["errors"][0]["field"] == "Idempotency-Key"
    assert len(client.get(f"{API}/places").json()) == 1


def test_a_refused_request_may_come_again_under_its_key(client: TestClient) -> None:
    key = {"Idempotency-Key": "phone-2"}
    bad = client.post(f"{API}/places", json={"name": "Yard", "kind": "moon"}, headers=key)
    assert bad.status_code == 422
    assert client.post(f"{API}/places", json=PLACE, headers=key).status_code == 201


def test_without_a_key_two_are_made_where_the_noun_allows_it(
    client: TestClient, pour_id: int, windows: Windows
) -> None:
    windows.steps.clear()
    for _ in range(2):
        client.post(f"{API}/pours/{pour_id}/readings", json={"kind": "air", "value_C": 4})
    assert len(client.get(f"{API}/pours/{pour_id}/readings").json()) == 2


def test_a_repeated_question_is_answered_as_before(
    client: TestClient, bench: Bench, sky: Sky
) -> None:
    key = {"Idempotency-Key": "ask"}
    path = f"{API}/places/{bench.place_id}/weather/refresh"
    first, second = client.post(path, headers=key), client.post(path, headers=key)
    assert first.json() == second.json()
    assert len(sky.asked) == 1


def test_an_unfit_key_is_refused(client: TestClient) -> None:
    for key in ("", "x" * 201):
        response = client.post(f"{API}/places", json=PLACE, headers={"Idempotency-Key": key})
        assert response.status_code == 422
