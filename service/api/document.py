"""The OpenAPI document, completed by what holds for every endpoint and is written nowhere else."""

from collections.abc import Iterator
from http import HTTPStatus
from typing import Any

from service.problem import MEDIA_TYPE
from service.signed_in import COOKIE, SECURE_COOKIE, SHARED_COOKIE
from service.who_may import NOBODY, least

Json = dict[str, Any]
PROBLEM: Json = {MEDIA_TYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}}
OF_THE_FRAMEWORK = ("HTTPValidationError", "ValidationError")  # never answered here
LINK = 'the next part of the list, as `<?cursor=...>; rel="next"` (RFC 8288); none: it ends here'
WAYS_IN: Json = {
    "session": {
        "type": "apiKey",
        "in": "cookie",
        "name": COOKIE,
        "description": f"of a person who signed in; over https {SECURE_COOKIE}, or below a path"
        f" {SHARED_COOKIE}",
    },
    "token": {
        "type": "http",
        "scheme": "bearer",
        "description": "of an instrument, which writes readings, or of a screen, which only looks",
    },
}


def completed(document: Json) -> Json:
    """The same with every error that an operation answers, its headers, and the ways in."""
    for path, item in document["paths"].items():
        for method, operation in item.items():
            _complete(method.upper(), path, operation)
    for name in OF_THE_FRAMEWORK:
        document["components"]["schemas"].pop(name, None)
    document["components"]["securitySchemes"] = WAYS_IN
    # nobody has to sign in before somebody has joined
    document["security"] = [{}, *({name: []} for name in WAYS_IN)]
    return document


def _complete(method: str, path: str, operation: Json) -> None:
    for one in operation.get("requestBody", {}).get("content", {}).values():
        if "anyOf" in one["schema"]:  # told by the route, beside what its function takes
            one["schema"].pop("$ref", None)
    answers: Json = operation["responses"]
    asked = {one["name"] for one in operation.get("parameters", ())}
    told = {str(status): answer for status, answer in answers.items() if int(status) < 400}
    own = {int(status) for status in answers if int(status) >= 400}
    headers: Json = {}
    if "cursor" in asked:
        headers["Link"] = _header(LINK)
    if asked & {"If-Match", "If-None-Match"}:
        headers["ETag"] = _header("of this edition; send it back as If-Match to change no other")
    if "Idempotency-Key" in asked:
        headers["Idempotent-Replayed"] = _header("true where the answer was given before")
    if headers:
        for good in told.values():
            good["headers"] = headers
    if "If-None-Match" in asked:
        told["304"] = {
            "description": "Not modified: the edition of If-None-Match",
            "headers": headers,
        }
    for status in sorted({*own, *_errors(method, path, operation, asked)}):
        # of the framework's own 422 nothing is kept
        kept = answers.get(str(status), {}).get("content", {}) if status != 422 else {}
        told[str(status)] = {
            "description": HTTPStatus(status).phrase,
            "content": {**kept, **PROBLEM},
        }
    operation["responses"] = told


def _errors(method: str, path: str, operation: Json, asked: set[str]) -> Iterator[int]:
    """What any operation of this kind may answer; what is its own it says itself."""
    yield from (421, 422, 431, 500, 503)
    if least(method, path) > NOBODY:
        yield from (401, 403)
    if "{" in path:
        yield 404
    if method != "GET":
        yield from (403, 408, 409, 413)
    if "requestBody" in operation:
        yield 400
    if "If-Match" in asked:
        yield 412


def _header(description: str) -> Json:
    return {"description": description, "schema": {"type": "string"}}
