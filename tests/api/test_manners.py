"""HEAD, Allow and the names of a query: what HTTP expects of every address."""

import re
from collections.abc import Iterator
from datetime import datetime, timedelta

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from tests.api.test_document import operations
from tests.api.test_error_shape import filled, is_problem
from tests.api.test_who_may import address, told

API = "/api/v1"


def test_head_is_answered_wherever_get_is(client: TestClient, pour_id: int) -> None:
    tried = 0
    for method, route in told():
        if method != "GET":
            continue
        path = address(route)
        path = path.replace("987654", str(pour_id)) if route.startswith(API) else path
        get, head = (client.request(one, path, follow_redirects=False) for one in ("GET", "HEAD"))
        assert (head.status_code, head.content) == (get.status_code, b""), path
        assert head.headers.get("content-type") == get.headers.get("content-type"), path
        tried += 1
    assert tried > 60


def test_a_wrong_method_is_told_all_that_are_right(client: TestClient) -> None:
    right: dict[str, set[str]] = {}
    for method, route in told():
        right.setdefault(route, set()).add(method)
    for route, methods in right.items():
        answer = client.request("PROPFIND", address(route), headers={"Accept": "*/*"})
        allowed = set(answer.headers["allow"].split(", "))
        wanted = methods | ({"HEAD"} if "GET" in methods else set())
        assert answer.status_code == 405
        assert wanted <= allowed, route
        if route.startswith(API):  # a page may lie below the same shape of address
            assert allowed == wanted, route


def test_a_name_that_no_address_reads_is_refused(app: FastAPI, client: TestClient) -> None:
    for method, path, _ in operations(app.openapi()):
        if path.startswith(API):
            answer = client.request(method, filled(path, 1), params={"actve": "true"}, json={})
            error = is_problem(answer, 422)["errors"][0]
            assert (error["field"], error["value"]) == ("actve", "true"), path


def test_the_names_that_are_read_are_told(client: TestClient) -> None:
    answer = client.get(f"{API}/pours", params={"archived": "true"})
    error = is_problem(answer, 422)["errors"][0]
    assert error["allowed"] == "active | before_id | cursor | limit | q"


@pytest.mark.parametrize("body", [b"1.5", b"at,value\n", b"[]"])
def test_readings_in_other_forms_refuse_it_too(
    client: TestClient, pour_id: int, body: bytes
) -> None:
    kind = {"Content-Type": "application/json" if body == b"[]" else "text/csv"}
    path = f"{API}/pours/{pour_id}/readings?unit=F"
    assert is_problem(client.post(path, content=body, headers=kind), 422)["errors"][0]["field"] == (
        "unit"
    )


def test_a_state_of_no_notice_is_refused(client: TestClient) -> None:
    answer = client.get(f"{API}/reminders", params={"state": "snet"})
    error = is_problem(answer, 422)["errors"][0]
    assert error["field"] == "state"
    assert "sent" in error["allowed"]


@pytest.mark.parametrize("field", ["at", "placed_at"])
def test_a_time_without_offset_is_refused(client: TestClient, pour_id: int, field: str) -> None:
    naive = "2026-10-14T17:30:00"
    if field == "at":
        path = f"{API}/pours/{pour_id}/photos?at={naive}"
        answer = client.post(path, content=b"x", headers={"Content-Type": "image/jpeg"})
    else:
        answer = client.patch(f"{API}/pours/{pour_id}", json={field: naive})
    error = is_problem(answer, 422)["errors"][0]
    assert (error["field"], error["wrong"]) == (field, "has no offset from UTC")


def instants(told: object, name: str = "") -> Iterator[tuple[str, str]]:
    """Every text of an answer that is a time, under its name."""
    if isinstance(told, dict):
        for key, one in told.items():
            yield from instants(one, key)
    elif isinstance(told, list):
        for one in told:
            yield from instants(one, name)
    elif isinstance(told, str) and re.match(r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d", told):
        yield name, told


def test_every_time_that_is_answered_carries_its_offset(
    app: FastAPI, client: TestClient, pour_id: int, now: datetime
) -> None:
    client.post(f"{API}/places/1/weather/refresh")
    plan = {"plan": [{"step": "strip", "at": (now + timedelta(days=1)).isoformat()}]}
    assert client.put(f"{API}/pours/{pour_id}/plan", json=plan).is_success
    found: list[tuple[str, str]] = []
    for method, path, _ in operations(app.openapi()):
        if method == "GET" and path.startswith(API):
            answer = client.get(filled(path, 1))
            if "json" in answer.headers["content-type"] and answer.is_success:
                found += instants(answer.json())
    assert {"at", "placed_at", "p50", "time", "made_at", "due_at", "checked_at"} <= {
        name for name, _ in found
    }
    naive = [one for one in found if datetime.fromisoformat(one[1]).tzinfo is None]
    assert naive == []
