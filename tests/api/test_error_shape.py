"""Every error of every endpoint is a problem document that names field, value, what is allowed."""

import json
import re
from collections.abc import Iterator
from datetime import timedelta

import pytest
from fastapi import FastAPI
from httpx2 import Response
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from service.api import routes
from tests.support.raw import JsonDict
from tests.support.shop import Hands
from tests.support.thorough import some

PREFIX = routes.PREFIX
WRITES = ("POST", "PUT", "PATCH")
json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=12), inner, max_size=4)
    ),
    max_leaves=8,
)


def operations(app: FastAPI) -> Iterator[tuple[str, str, bool]]:
    """Method, path, and whether a JSON body is taken."""
    for path, methods in app.openapi()["paths"].items():
        for method, operation in methods.items():
            yield method.upper(), path, takes_json(operation)


def takes_json(operation: JsonDict) -> bool:
    return "application/json" in operation.get("requestBody", {}).get("content", {})


def filled(path: str, key: object = 2_000_000) -> str:
    return re.sub(r"\{step\}", "strip", re.sub(r"\{\w+_id\}", str(key), path))


def is_problem(response: Response, *statuses: int) -> JsonDict:
    assert response.status_code in statuses, (response.status_code, response.text)
    assert response.headers["content-type"] == "application/problem+json"
    body: JsonDict = response.json()
    assert set(body) - {"code"} == {"type", "title", "status", "detail", "errors"}
    assert body["status"] == response.status_code
    assert body["errors"], body
    for error in body["errors"]:
        more = (
            {"code", "other_unit", "other_unit_value", "other_pour_id"} if "code" in body else set()
        )
        assert set(error) - more == {"field", "value", "wrong", "allowed"}
        assert error["field"], body
        assert error["wrong"], body
        assert error["allowed"], body
    return body


def test_the_api_has_the_nouns_of_the_trade(app: FastAPI) -> None:
    nouns = {path.split("/")[3] for _, path, _ in operations(app) if path.startswith(PREFIX)}
    assert nouns >= {
        "shop",
        "places",
        "mixes",
        "pieces",
        "moulds",
        "sealers",
        "pours",
        "protections",
        "readings",
        "strength-tests",
        "weather-runs",
        "tonight",
        "due",
        "reminders",
    }


def test_broken_json_is_named_everywhere(app: FastAPI, client: TestClient) -> None:
    tried = 0
    for method, path, takes_body in operations(app):
        if method in WRITES and takes_body:
            body = is_problem(
                client.request(
                    method,
                    filled(path),
                    content=b'{"a": ',
                    headers={"Content-Type": "application/json"},
                ),
                400,
            )
            assert body["errors"][0]["field"] == "body"
            tried += 1
    assert tried >= 12


def test_an_unknown_field_is_named_everywhere(app: FastAPI, client: TestClient) -> None:
    for method, path, takes_body in operations(app):
        if method in WRITES and takes_body:
            body = is_problem(client.request(method, filled(path), json={"colour": 1}), 422)
            assert "colour" in {error["field"] for error in body["errors"]}, path


def test_a_key_that_is_not_there_is_named_everywhere(app: FastAPI, client: TestClient) -> None:
    tried = 0
    for method, path, _ in operations(app):
        if "_id}" in path and method in ("GET", "DELETE"):
            body = is_problem(client.request(method, filled(path)), 404)
            assert body["errors"][0]["value"] == 2_000_000
            tried += 1
    assert tried >= 12


@pytest.mark.parametrize("key", ["0", "-1", "x", "99999999999999999999", "1.5"])
def test_a_key_that_cannot_be_is_named_everywhere(
    app: FastAPI, client: TestClient, key: str
) -> None:
    for method, path, _ in operations(app):
        if "_id}" in path and method == "GET":
            is_problem(client.get(filled(path, key)), 422)


def test_a_wrong_method_says_which_are_right(app: FastAPI, client: TestClient) -> None:
    for _, path, _ in operations(app):
        body = is_problem(client.request("PROPFIND", filled(path)), 405)
        assert body["errors"][0]["value"] == "PROPFIND"


def test_an_address_that_is_not_there_is_named(client: TestClient) -> None:
    body = is_problem(client.get(f"{PREFIX}/moulds-and-more"), 404)
    assert body["errors"][0]["value"] == f"{PREFIX}/moulds-and-more"


def test_ten_megabytes_are_refused_by_their_stated_length(client: TestClient) -> None:
    body = is_problem(client.post(f"{PREFIX}/places", content=b" " * 10_000_000), 413)
    assert body["errors"][0]["allowed"] == "at most 1000000 bytes"


def test_a_stream_that_grows_too_large_is_cut_off(client: TestClient) -> None:
    read = 0

    def endless() -> Iterator[bytes]:
        nonlocal read
        for _ in range(100):
            read += 1
            yield b" " * 100_000

    is_problem(client.post(f"{PREFIX}/places", content=endless()), 413)


def test_a_fault_of_the_program_is_a_problem_too(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def falls(*_: object) -> None:
        raise ZeroDivisionError("a secret")

    monkeypatch.setattr("service.api.due.due_list", falls)
    body = is_problem(client.get(f"{PREFIX}/due"), 500)
    assert "secret" not in json.dumps(body)


@settings(
    max_examples=some(20, 600),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(body=json_values, pick=st.integers(0, 10_000), key=st.text(max_size=8))
def test_no_body_makes_the_program_fail(
    app: FastAPI, client: TestClient, body: object, pick: int, key: str
) -> None:
    """Any JSON to any write: an answer or a problem, never a fault."""
    writes = [(m, p) for m, p, takes_body in operations(app) if m in WRITES and takes_body]
    method, path = writes[pick % len(writes)]
    content = json.dumps(body).encode()
    response = client.request(
        method,
        filled(path, 1 + pick % 3),
        content=content,
        headers={b"Content-Type": b"application/json", b"Idempotency-Key": key.encode() or b"k"},
    )
    if response.status_code >= 400:
        is_problem(response, 400, 404, 409, 422)


@settings(
    max_examples=some(20, 600),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(data=st.data())
def test_no_value_of_a_known_field_makes_the_program_fail(
    app: FastAPI, client: TestClient, data: st.DataObject
) -> None:
    """Known fields with any value reach deeper than unknown ones."""
    method, path, names = data.draw(st.sampled_from(list(known_fields(app))))
    body = {name: data.draw(json_values) for name in names if data.draw(st.booleans())}
    response = client.request(
        method,
        filled(path, 1),
        content=json.dumps(body).encode(),
        headers={"Content-Type": "application/json"},
    )
    if response.status_code >= 400:
        is_problem(response, 400, 404, 409, 422)


def known_fields(app: FastAPI) -> Iterator[tuple[str, str, list[str]]]:
    """Every write that takes a body, with the names of its fields."""
    document = app.openapi()
    for path, methods in document["paths"].items():
        for method, operation in methods.items():
            if takes_json(operation):
                shape = operation["requestBody"]["content"]["application/json"]["schema"]
                name = re.findall(r"schemas/(\w+)", json.dumps(shape))[0]
                yield (
                    method.upper(),
                    path,
                    list(document["components"]["schemas"][name]["properties"]),
                )


def test_what_is_wrong_leaves_nothing_behind(client: TestClient, hands: Hands) -> None:
    ahead = (hands.now + timedelta(days=1)).isoformat()
    is_problem(client.post(f"{PREFIX}/places", json={"name": "p", "kind": ahead}), 422)
    assert client.get(f"{PREFIX}/places").json() == []
