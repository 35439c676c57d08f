"""Two phones change one thing: the second is told, and what the first wrote stays."""

from collections.abc import Callable

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from tests.api.test_document import operations
from tests.api.test_error_shape import is_problem
from tests.support.raw import JsonDict
from tests.support.shop import Bench

API = "/api/v1"
STRIP = {"step": "strip", "at": "2026-10-16T12:00:00Z"}
PANEL = {"shape": "panel", "length_mm": 900, "width_mm": 400, "thickness_mm": 40}
CHANGES: list[tuple[str, str, JsonDict]] = [
    ("PATCH", "/pours/1", {"note": "from the other phone"}),
    ("PUT", "/pours/1/plan", {"plan": [STRIP]}),
    ("PUT", "/places/1", {"name": "Lean-to", "kind": "covered"}),
    ("PUT", "/mixes/1", {"name": "Grey", "class": "high-early"}),
    ("PUT", "/pieces/1", {"name": "Long bench", **PANEL}),
    ("PUT", "/moulds/1", {"name": "Other mould", "material": "plywood"}),
    ("PUT", "/sealers/1", {"name": "Wax", "chemistry": "wax"}),
    ("PATCH", "/shop", {"name": "The shed"}),
]


@pytest.mark.parametrize(("method", "path", "body"), CHANGES)
def test_the_second_of_two_phones_changes_nothing(
    client: TestClient, pour_id: int, method: str, path: str, body: JsonDict
) -> None:
    assert pour_id == 1
    seen = client.get(API + path)
    mine = {"If-Match": seen.headers["etag"]}
    first = client.request(method, API + path, json=body, headers=mine)
    assert first.status_code == 200, first.text
    now = client.get(API + path)
    assert now.headers["etag"] == first.headers["etag"] != seen.headers["etag"]
    assert now.json() == first.json() != seen.json()

    second = client.request(method, API + path, json=body | _other(body), headers=mine)
    told = is_problem(second, 412)
    assert told["errors"][0]["field"] == "If-Match"
    assert told["errors"][0]["value"] == seen.headers["etag"]
    assert client.get(API + path).json() == now.json()

    again = {"If-Match": f'"other", {now.headers["etag"]}'}
    assert client.request(method, API + path, json=body, headers=again).status_code == 200
    assert client.request(method, API + path, json=body, headers={"If-Match": "*"}).is_success
    assert client.request(method, API + path, json=body).status_code == 200  # as ever


def _other(body: JsonDict) -> JsonDict:
    return {"plan": []} if "plan" in body else {"name": "Third"} if "name" in body else {"note": ""}


def test_what_is_known_already_is_not_told_again(client: TestClient, bench: Bench) -> None:
    path = f"{API}/places/{bench.place_id}"
    first = client.get(path)
    same = client.get(path, headers={"If-None-Match": f'"x", W/{first.headers["etag"]}'})
    assert (same.status_code, same.content) == (304, b"")
    assert same.headers["etag"] == first.headers["etag"]
    assert "content-type" not in same.headers
    head = client.head(path, headers={"If-None-Match": first.headers["etag"]})
    assert head.status_code == 304
    client.put(path, json={"name": "Lean-to", "kind": "covered"})
    other = client.get(path, headers={"If-None-Match": first.headers["etag"]})
    assert other.json()["name"] == "Lean-to"


def test_whatever_can_be_changed_whole_has_editions(app: FastAPI) -> None:
    document = app.openapi()
    named: Callable[[JsonDict], set[str]] = lambda of: {  # noqa: E731
        one["name"] for one in of.get("parameters", ())
    }
    for method, path, operation in operations(document):
        if method in ("PUT", "PATCH") and not path.endswith("/wrong"):
            assert "If-Match" in named(operation), path
            assert "412" in operation["responses"], path
            looked = document["paths"][path]["get"]
            assert "If-None-Match" in named(looked), path
            assert {"200", "304"} <= set(looked["responses"])
            assert "ETag" in looked["responses"]["200"]["headers"]
