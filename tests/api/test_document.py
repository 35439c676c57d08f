"""The OpenAPI document: its names, its errors, its words; a client can be made from it."""

import json
import re
from collections.abc import Iterator
from copy import deepcopy

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient
from typer.testing import CliRunner

from models.air.place import KINDS
from models.facts.cements import CLASSES
from models.records.shop import PRICED
from models.results import STATES
from models.simulation.scenario import READING_KINDS
from service.cli import app as command_line
from tests.support.raw import JsonDict


@pytest.fixture
def document(app: FastAPI) -> JsonDict:
    return app.openapi()


def operations(document: JsonDict) -> Iterator[tuple[str, str, JsonDict]]:
    for path, item in document["paths"].items():
        for method, operation in item.items():
            yield method.upper(), path, operation


def schemas_in(told: object) -> Iterator[JsonDict]:
    """Every object of the document, however deep."""
    if isinstance(told, dict):
        yield told
    if isinstance(told, dict | list):
        for one in told.values() if isinstance(told, dict) else told:
            yield from schemas_in(one)


def test_no_name_of_a_schema_is_a_path_or_a_number(document: JsonDict) -> None:
    names = list(document["components"]["schemas"])
    assert len(names) > 90
    assert [name for name in names if not re.fullmatch(r"[A-Z][A-Za-z]+", name)] == []


def test_every_operation_has_a_name_of_its_own(document: JsonDict) -> None:
    names = [operation["operationId"] for _, _, operation in operations(document)]
    assert len(set(names)) == len(names)
    assert [name for name in names if not re.fullmatch(r"[a-z]+(_[a-z]+)*", name)] == []


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("StepState", STATES),
        ("MixClass", CLASSES),
        ("PlaceKind", KINDS),
        ("ReadingKind", READING_KINDS),
    ],
)
def test_a_vocabulary_is_named_once_and_holds_what_is_checked(
    document: JsonDict, name: str, words: tuple[str, ...]
) -> None:
    assert document["components"]["schemas"][name]["enum"] == list(words)


def test_no_vocabulary_stands_anywhere_without_its_name(document: JsonDict) -> None:
    """What a client has as an enumeration has one type, wherever it is told."""
    named = document["components"]["schemas"].values()
    loose = [one["enum"] for one in schemas_in(document) if "enum" in one and one not in named]
    assert loose == [list(PRICED)]  # keys of the prices


def test_kinds_classes_and_states_are_enumerations(document: JsonDict) -> None:
    free = [
        f"{name}.{field}"
        for name, one in document["components"]["schemas"].items()
        for field, told in one.get("properties", {}).items()
        if re.search(r"(^|_)(kind|class|state|faces|heater|outcome|set_by|chemistry)s?$", field)
        and "$ref" not in json.dumps(told)
    ]
    assert free == ["Sealed.chemistry", "SealedWith.chemistry"]  # in words, as the record prints it


def test_every_error_is_a_problem_document(document: JsonDict) -> None:
    problem = {"application/problem+json": {"schema": {"$ref": "#/components/schemas/Problem"}}}
    for method, path, operation in operations(deepcopy(document)):
        errors = {code: one for code, one in operation["responses"].items() if int(code) >= 400}
        if path == "/readyz":  # says by its checks why not, where it can
            told = errors["503"]["content"].pop("application/json")["schema"]
            assert told == {"$ref": "#/components/schemas/Health"}
        assert all(one["content"] == problem for one in errors.values()), (method, path)
        assert {"421", "422", "500", "503"} <= set(errors), (method, path)
        assert ("404" in errors) == ("{" in path)
        if path.startswith("/api/"):
            assert {"401", "403"} <= set(errors), (method, path)
        if "requestBody" in operation:
            assert {"400", "413"} <= set(errors), (method, path)


def test_a_time_of_day_is_none_of_an_instant(document: JsonDict) -> None:
    """`time` of JSON Schema has an offset (RFC 3339); hours of the shop have none."""
    formats = {one["format"] for one in schemas_in(document) if isinstance(one.get("format"), str)}
    assert formats == {"date-time", "date", "binary"}


def test_the_command_line_prints_what_the_server_tells(client: TestClient) -> None:
    printed = CliRunner().invoke(command_line, ["openapi"])
    assert printed.exit_code == 0
    assert json.loads(printed.output) == client.get("/api/v1/openapi.json").json()
