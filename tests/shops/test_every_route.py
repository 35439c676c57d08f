"""Every route of the program, asked by the owner of one shop with the ids of another shop's rows:
in the address, in what is sent, in what is asked. Nothing of the other shop is shown or changed,
and every statement on the way asks whose the rows are; on both databases.
"""

import re
from collections.abc import Callable, Iterator
from datetime import datetime
from typing import Any

from fastapi import FastAPI
from sqlalchemy import text
from starlette.testclient import TestClient

from models.records.base import Row
from service.signed_in import COOKIE
from service.store import Store
from tests.api.test_who_may import routes
from tests.shops.test_narrowed import FROM, watch
from tests.support.raw import Json
from tests.support.two_shops import MARKS, Shops

OWN, OTHER = 2, 1
# who asks is looked up over all shops, by a secret that nobody guesses, or by name and password
ANYWHERE = {"sign_in", "person", "token", "invitation", "sticker", "owner_link", "passkey"}
SERVER = {"/readyz", "/metrics"}  # tells of the whole server, in numbers alone
ROW_OF = {
    "batches": "batch",
    "faults": "pour_fault",
    "covers": "protection_period",
    "photos": "photo",
    "readings": "reading",
    "tests": "strength_test",
}
TABLE_OF = {"fault_id": "mould_fault", "order_id": "client_order", "pin_id": "pinned_pour"} | {
    "protection_id": "protection_period",
    "run_id": "weather_run",
    "wanted": "push_subscription",
}
WORDS = {"step": "strip", "noun": "piece", "kind": "reading", "action": "remove", "name": "no.css"}
BACK = re.compile(r"^(UPDATE|DELETE FROM) (\w+) .*WHERE \2\.id = \S+$")
LEAVES = {"/sign-out", "/me/everywhere"}  # and its browser is in no more
NAMED = ("piece_id", "mix_id", "place_id", "mould_id", "sealer_id", "pour_id", "alike_id")
KEYS = {"alike_id": "mould", "other_id": "pour", "like": "pour", "series_id": "pour"}
TYPED = {"name": "Hexe", "role": "helper", "kind": "reading", "note": "x", "value_C": "12"}


def stored(store: Store, shop_id: int) -> dict[str, list[tuple[str, ...]]]:
    """All rows of a shop, and its own."""
    found = {}
    with store.engine.connect() as connection:
        for table in Row.metadata.sorted_tables:
            if table.name == "challenge":
                continue
            own = "id" if table.name == "shop" else "shop_id"
            asked = f'SELECT * FROM "{table.name}" WHERE {own} = {shop_id} ORDER BY id'
            found[table.name] = [tuple(map(str, row)) for row in connection.execute(text(asked))]
    return found


def table_of(name: str, route: str) -> str:
    if name == "row_id":
        return next((one for part, one in ROW_OF.items() if f"/{part}/" in route), "piece")
    if name == "fault_id" and "/pours/" in route:
        return "pour_fault"
    return KEYS.get(name) or TABLE_OF.get(name) or name.removesuffix("_id")


def addresses(route: str, shops: Shops) -> Iterator[str]:
    """With all ids of the other shop; and those below an own one."""
    names = re.findall(r"\{(\w+)\}", route)
    ids = [one for one in names if one.endswith("_id") or one == "wanted"]
    for own in range(max(len(ids), 1)):
        out = route
        for name in names:
            key: Any = WORDS.get(name, "nothing")
            if name in ids:
                shop_id = OWN if ids.index(name) < own else OTHER
                key = shops.keys[shop_id][table_of(name, route)]
            out = out.replace("{" + name + "}", str(key))
        yield out


def least(schema: Json, document: Json, shops: Shops, now: datetime, name: str = "") -> Json:
    """The least that a schema takes, of the own shop."""
    if "$ref" in schema:
        found = document
        for part in schema["$ref"].removeprefix("#/").split("/"):
            found = found[part]
        return least(found, document, shops, now, name)
    for one in ("anyOf", "oneOf", "allOf"):
        if one in schema:
            return least(schema[one][0], document, shops, now, name)
    if name.endswith("_id"):
        return shops.keys[OWN][table_of(name, "")]
    if "enum" in schema or "const" in schema:
        return schema.get("const", schema.get("enum", [None])[0])
    if "examples" in schema:
        return schema["examples"][0]
    kind = schema.get("type")
    if kind == "object":
        inner = schema.get("properties", {})
        return {
            key: least(inner[key], document, shops, now, key) for key in schema.get("required", [])
        }
    if kind == "array":
        return [least(schema["items"], document, shops, now)] if schema.get("minItems") else []
    if kind == "string":
        return now.isoformat() if schema.get("format") == "date-time" else "Hexe"
    return {"integer": 1, "number": 1.0, "boolean": True}.get(str(kind))


def bodies(
    method: str, route: str, document: Json, shops: Shops, now: datetime
) -> Iterator[tuple[Json, bool]]:
    """What is sent, and whether it names another shop's row."""
    told = document["paths"].get(route, {}).get(method.lower(), {})
    schema = told.get("requestBody", {}).get("content", {}).get("application/json", {})
    if not schema:
        yield None, False
        return
    schema = schema["schema"]
    body = least(schema, document, shops, now)
    yield body, False
    ref = schema.get("$ref", "").rpartition("/")[2]
    known = document["components"]["schemas"].get(ref, {}).get("properties", {})
    for name in known:
        if name in NAMED:
            yield {**body, name: shops.keys[OTHER][table_of(name, "")]}, True
    for k, part in enumerate(body.get("parts", []) if isinstance(body, dict) else []):
        for name in ("piece_id", "mix_id", "place_id", "sealer_id"):
            other = {**part, name: shops.keys[OTHER][table_of(name, "")]}
            yield {**body, "parts": [*body["parts"][:k], other]}, True


def faults(statements: list[str]) -> list[str]:
    """Those that look at or change rows without asking whose; a row that was found is written back
    by its key."""
    statements = [one for one in statements if not BACK.search(one)]
    return [one for one in statements if {name for name, _ in FROM.findall(one)} - ANYWHERE]


def test_no_route_shows_or_changes_what_is_another_shop_s(
    any_store: Store,
    any_shops: Shops,
    opened: Callable[[Store], FastAPI],
    now: datetime,
) -> None:
    shops, doors = any_shops, opened(any_store)
    document = doors.openapi()
    before = stored(any_store, OTHER)
    client = TestClient(doors, raise_server_exceptions=False, follow_redirects=False)
    client.cookies.set(COOKIE, shops.browsers[OWN])
    assert all(before.values()), "the other shop has a row in every table"
    statements, wrong, asked = watch(any_store), [], 0
    there = sorted({(m, p) for m, p in routes(doors) if m != "HEAD" and p not in LEAVES | SERVER})
    ids = {name: str(shops.keys[OTHER][table_of(name, "")]) for name in (*NAMED, *KEYS)}
    ids |= {"mould": ids["mould_id"], "pour": ids["pour_id"], "asked": "1", "mode": "1"}
    for method, route in there:
        api = route.startswith("/api/")
        for address in addresses(route, shops):
            for body, names_other in bodies(method, route, document, shops, now):
                asked += 1
                more: dict[str, Any] = {"json": body} if body is not None else {}
                if not api and method == "GET":
                    more = {"params": ids}
                elif not api:
                    more = {"data": {**TYPED, **ids, "at": now.isoformat()}}
                answer = client.request(method, address, **more)
                what = (method, address, body, answer.status_code)
                if MARKS[OTHER] in answer.text or answer.status_code >= 500:
                    wrong.append((*what, answer.text[:300]))
                in_path = "_id}" in route
                if api and (in_path or names_other) and answer.status_code not in (404, 422):
                    wrong.append((*what, answer.text[:300]))
                if faults(statements):
                    wrong.append((*what, faults(statements)[0]))
                statements.clear()
    told = client.get("/metrics")
    assert (told.status_code, MARKS[OTHER] in told.text) == (200, False)
    assert not wrong, "\n".join(map(str, wrong))
    assert asked > 300
    assert stored(any_store, OTHER) == before
    assert client.get("/api/v1/shop").json()["name"], "and the browser is still in"
