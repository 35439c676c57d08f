"""What a client made from the OpenAPI document knows of an answer."""

import pytest
from fastapi import FastAPI

from tests.support.raw import JsonDict


@pytest.fixture
def schemas(app: FastAPI) -> JsonDict:
    found: JsonDict = app.openapi()["components"]["schemas"]
    return found


def test_a_step_has_its_hours_as_instants(schemas: JsonDict) -> None:
    hours = schemas["EarliestResponse"]["properties"]
    for share in ("p50", "p90"):
        assert {"type": "string", "format": "date-time"} in hours[share]["anyOf"]
    step = schemas["StepWindowResponse"]["properties"]
    assert step["earliest"] == {"$ref": "#/components/schemas/EarliestResponse"}


def test_a_projection_tells_alerts_frost_watch_and_coat_plan(schemas: JsonDict) -> None:
    names = [name for name in schemas if name.startswith("Projection")]
    told = schemas[names[0]]["properties"]
    assert told["alerts"]["items"] == {"$ref": "#/components/schemas/AlertResponse"}
    assert told["steps"]["items"] == {"$ref": "#/components/schemas/StepWindowResponse"}
    for name, of in (("frost_watch", "FrostWatch"), ("coat_plan", "CoatPlan")):
        assert {"$ref": f"#/components/schemas/{of}Response"} in told[name]["anyOf"]


def test_nothing_of_an_answer_is_an_untyped_object(schemas: JsonDict) -> None:
    answers = {name: one for name, one in schemas.items() if name.endswith("Response")}
    loose = [
        f"{name}.{field}"
        for name, one in answers.items()
        for field, told in one.get("properties", {}).items()
        if "$ref" not in told and told.get("type") == "object" and field != "values"
    ]
    assert answers
    assert loose == []
