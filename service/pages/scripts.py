"""For whoever writes a script: every address of the interface, its fields and its answers, told of
the OpenAPI document without a file from elsewhere."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response

from models.errors import InputError
from models.records.fields import LARGEST_KEY
from service.pages import render
from service.pages.form_post import PageRoute
from service.request_context import ContextDep

router = APIRouter(route_class=PageRoute, include_in_schema=False)
SHAPES = "#/components/schemas/"
SAID = {
    "integer": "whole number",
    "boolean": "true or false",
    "string": "text",
    "date-time": "instant",
    "date": "day",
    "binary": "bytes",
}
LIMITS = {
    "minimum": "at least {}",
    "exclusiveMinimum": "more than {}",
    "maximum": "at most {}",
    "exclusiveMaximum": "less than {}",
    "maxLength": "up to {} characters",
    "maxItems": "up to {}",
}
Json = Mapping[str, Any]


@dataclass(frozen=True)
class Kind:
    """What a value is: texts, each with the shape that it names, and its limits."""

    parts: tuple[tuple[str, bool], ...]
    limits: str = ""


@dataclass(frozen=True)
class Field:
    name: str
    kind: Kind
    where: str
    needed: bool
    words: str


@dataclass(frozen=True)
class Operation:
    """One method of one address."""

    key: str
    method: str
    path: str
    words: str
    fields: tuple[Field, ...]
    bodies: tuple[tuple[str, Kind], ...]
    answers: tuple[tuple[str, str, Kind], ...]
    errors: tuple[str, ...]


@dataclass(frozen=True)
class Shape:
    """An object by its fields, or a vocabulary by its words."""

    name: str
    words: str
    fields: tuple[Field, ...]
    options: tuple[str, ...]


@router.get("/scripts")
def scripts(
    request: Request, context: ContextDep, about: Annotated[str, Query(max_length=40)] = ""
) -> Response:
    """All addresses, or those about one noun with all that they take and answer."""
    document = request.app.openapi()
    told = list(_operations(document))
    nouns = list(dict.fromkeys(noun for noun, _ in told))
    if about and about not in nouns:
        raise InputError("about", about, "nothing is called so", ", ".join(nouns))
    chosen = [(noun, one) for noun, one in told if not about or noun == about]
    used = [kind for _, one in chosen for kind in _kinds(one)] if about else []
    return render.page(
        "scripts.html",
        title=f"For scripts: {about}" if about else "For scripts",
        tab="shop",
        reader=context.reader(),
        about=about,
        nouns=[(noun, [one for at, one in chosen if at == noun]) for noun in nouns],
        shapes=sorted(_shapes(document["components"]["schemas"], used), key=lambda one: one.name),
        document=request.app.openapi_url,
    )


def _operations(document: Json) -> Iterator[tuple[str, Operation]]:
    for path, item in document["paths"].items():
        for method, told in item.items():
            answers = told["responses"].items()
            yield (
                told["tags"][0],
                Operation(
                    told["operationId"],
                    method.upper(),
                    path,
                    told.get("description", ""),
                    tuple(_parameter(one) for one in told.get("parameters", ())),
                    tuple(_contents(told.get("requestBody", {}))),
                    tuple(
                        (status, media, kind)
                        for status, one in answers
                        if int(status) < 400
                        for media, kind in [*_contents(one)] or [("", Kind(()))]
                    ),
                    tuple(status for status, _ in answers if int(status) >= 400),
                ),
            )


def _contents(told: Json) -> Iterator[tuple[str, Kind]]:
    for media, one in told.get("content", {}).items():
        yield media, _kind(one.get("schema", {}))


def _parameter(told: Json) -> Field:
    schema = told["schema"]
    words = told.get("description", "") or schema.get("description", "")
    return Field(told["name"], _kind(schema), told["in"], told.get("required", False), words)


def _kinds(of: Operation | Shape) -> Iterator[Kind]:
    yield from (one.kind for one in of.fields)
    if isinstance(of, Operation):
        yield from (kind for _, kind in of.bodies)
        yield from (kind for _, _, kind in of.answers)


def _shapes(schemas: Json, used: list[Kind]) -> Iterator[Shape]:
    """Every shape that is named, and what those name in turn."""
    waiting, seen = list(used), set[str]()
    while waiting:
        for name, is_shape in waiting.pop().parts:
            if is_shape and name not in seen:
                seen.add(name)
                shape = _shape(name, schemas[name])
                waiting += _kinds(shape)
                yield shape


def _shape(name: str, told: Json) -> Shape:
    needed = told.get("required", ())
    fields = tuple(
        Field(key, _kind(one), "", key in needed, one.get("description", ""))
        for key, one in told.get("properties", {}).items()
    )
    return Shape(name, told.get("description", ""), fields, tuple(told.get("enum", ())))


def _kind(schema: Json) -> Kind:
    limits = [
        text.format(one[key])
        for one in (schema, *schema.get("anyOf", ()))
        for key, text in LIMITS.items()
        if key in one and one[key] != LARGEST_KEY
    ]
    if schema.get("default") not in (None, "", []):
        limits.append(f"{json.dumps(schema['default'])} where it is left out")
    return Kind(tuple(_parts(schema)), ", ".join(limits))


def _parts(schema: Json) -> Iterator[tuple[str, bool]]:
    """What a schema says, in words; a shape by its name."""
    if "$ref" in schema:
        yield schema["$ref"].removeprefix(SHAPES), True
    elif "anyOf" in schema:
        for k, one in enumerate(schema["anyOf"]):
            yield from [(" or ", False)] * (k > 0)
            yield from _parts(one)
    elif schema.get("type") == "array":
        yield "list of ", False
        yield from _parts(schema.get("items", {}))
    elif schema.get("type") == "object" and isinstance(schema.get("additionalProperties"), dict):
        yield "object whose values are ", False
        yield from _parts(schema["additionalProperties"])
    elif "enum" in schema:
        yield " | ".join(map(str, schema["enum"])), False
    else:
        kind = str(schema.get("type", "anything"))
        yield SAID.get(str(schema.get("format")), SAID.get(kind, kind)), False
