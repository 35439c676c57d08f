"""Lists are answered in parts: a limit, and a Link to what follows."""

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime, timedelta

import pytest
from fastapi import FastAPI
from sqlmodel import Session
from starlette.testclient import TestClient

from models.records import Mix, Reading, Row
from service.actions.pours.log_pour import log_pour
from service.actions.shop.set_up_shop import save_mix
from service.nouns.pour import PourCreate
from service.queries.part import WHOLE, Part
from service.queries.rows import by_name, of_pour
from service.store import Store
from tests.api.test_document import operations
from tests.support.raw import JsonDict
from tests.support.shop import Bench

API = "/api/v1"


def parts(client: TestClient, path: str, limit: int) -> Iterator[list[JsonDict]]:
    """Every part of a list, by following its links."""
    answer = client.get(path, params={"limit": limit})
    while True:
        assert answer.status_code == 200, answer.text
        yield answer.json()
        if "next" not in answer.links:
            return
        answer = client.get(str(answer.url.join(answer.links["next"]["url"])))


def add_readings(store: Store, pour_id: int, place_id: int, now: datetime, count: int) -> None:
    with store.unit_of_work() as session:
        for k in range(count):
            session.add(
                Reading(
                    created_at=now,
                    pour_id=pour_id,
                    place_id=place_id,
                    at=now - timedelta(minutes=30 * (k // 2)),  # two of each instant
                    kind="concrete",
                    value_C=10.0 + k,
                )
            )


@pytest.mark.parametrize("limit", [1, 2, 3, 7, 500])
def test_the_parts_of_a_list_are_the_list(
    client: TestClient, store: Store, pour_id: int, now: datetime, limit: int
) -> None:
    add_readings(store, pour_id, 1, now, 7)
    whole = client.get(f"{API}/pours/{pour_id}/readings")
    assert len(whole.json()) == 7
    assert "link" not in whole.headers
    got = list(parts(client, f"{API}/pours/{pour_id}/readings", limit))
    assert [row for part in got for row in part] == whole.json()
    assert all(len(part) == limit for part in got[:-1])
    assert 0 < len(got[-1]) <= limit


def test_the_parts_are_the_list_on_every_database(
    any_store: Store, furnished: Callable[[Store, datetime], Bench], now: datetime
) -> None:
    bench = furnished(any_store, now)
    keys = {"mix_id": bench.mix_id, "piece_id": bench.piece_id, "place_id": bench.place_id}
    wanted = PourCreate.model_validate({**keys, "placed_at": now})
    with any_store.unit_of_work() as session:
        pour_id = log_pour(session, now, wanted).id
        for name in ("b", "a", "C", "é"):
            save_mix(session, now, {"name": name, "kind": "high-early"})
    add_readings(any_store, pour_id, bench.place_id, now, 5)
    lists: tuple[Callable[[Session, Part], Sequence[Row]], ...] = (
        lambda session, part: of_pour(session, Reading, pour_id, part=part),
        lambda session, part: by_name(session, Mix, part=part),
    )
    for taken in lists:
        with any_store.reading() as session:
            part = Part(2)
            got = [row.id for row in taken(session, part)]
            while part.more:
                part = Part(2, part.more)
                got += [row.id for row in taken(session, part)]
            assert got == [row.id for row in taken(session, WHOLE)]
            assert len(got) == 5


def test_a_list_of_names_goes_on_where_it_ended(client: TestClient) -> None:
    names = ["Åsa's bench", "bench 2", "Bench 10", "a,b&c=d", "z"]
    for name in names:
        sides = {"length_mm": 900, "width_mm": 400, "thickness_mm": 40}
        made = client.post(f"{API}/pieces", json={"name": name, "shape": "panel", **sides})
        assert made.status_code == 201, made.text
    whole = client.get(f"{API}/pieces").json()
    got = [row for part in parts(client, f"{API}/pieces?q=", 2) for row in part]
    assert got == whole
    assert {row["name"] for row in got} == set(names)


def test_the_next_part_keeps_what_was_asked(client: TestClient, pour_id: int) -> None:
    client.post(f"{API}/pours/{pour_id}/close", json={})
    first = client.get(f"{API}/pours", params={"active": "false", "limit": 1, "q": "bench"})
    assert [row["id"] for row in first.json()] == [pour_id]
    assert "link" not in first.headers


def test_every_list_has_a_limit_and_a_cursor(app: FastAPI) -> None:
    lists = 0
    for method, path, operation in operations(app.openapi()):
        told = operation["responses"].get("200", {}).get("content", {})
        if method == "GET" and told.get("application/json", {}).get("schema", {}).get("type") == (
            "array"
        ):
            names = {one["name"] for one in operation["parameters"]}
            assert {"limit", "cursor"} <= names, path
            assert "Link" in operation["responses"]["200"]["headers"]
            lists += 1
    assert lists >= 15


@pytest.mark.parametrize(
    "cursor", ["x", "W10=", "WzFd", "WyJ4IiwgMV0=", "bnVsbA==", "é", "WyIyMDI2LTEwLTE0IiwxXQ=="]
)
def test_a_cursor_of_nobody_is_refused(client: TestClient, pour_id: int, cursor: str) -> None:
    answer = client.get(f"{API}/pours/{pour_id}/readings", params={"cursor": cursor})
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["field"] == "cursor"


def test_what_is_due_goes_on_after_what_was_told(client: TestClient, pour_id: int) -> None:
    client.get(f"{API}/pours/{pour_id}/projection")
    whole = client.get(f"{API}/due", params={"within_h": 1000}).json()
    assert whole
    got = [row for part in parts(client, f"{API}/due?within_h=1000", 1) for row in part]
    assert got == whole
    gone = client.get(f"{API}/due", params={"cursor": "WzEsIm5vIl0="})
    assert gone.status_code == 422
    assert gone.json()["errors"][0]["wrong"] == "no longer in the list"


@pytest.mark.parametrize("state", ["", "not-one"])
def test_a_state_that_no_reminder_has_is_refused(client: TestClient, state: str) -> None:
    answer = client.get("/api/v1/reminders", params={"state": state})
    assert answer.status_code == 422
    assert "state" in answer.text
