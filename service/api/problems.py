"""Every error of the application becomes a problem document; see service.problem."""

from collections.abc import Mapping, Sequence
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from starlette.exceptions import HTTPException
from starlette.routing import Match

from models.doubt import CODE
from models.errors import Conflict, Doubtful, InputError, WeatherUnavailable
from service.actions.pours.mould_room import RESOLVES, TwoInOne
from service.api.edition import OtherEdition
from service.middleware import HEADERS
from service.problem import AGAIN_IN_S, FieldError, problem, refusal, shown
from service.queries.rows import NoSuchRow
from service.store import TROUBLE, trouble
from service.words import say
from service.words.reader import PLAIN

METHODS = ("GET", "POST", "PUT", "PATCH", "DELETE")
ALLOWED = {
    "missing": "this field is required",
    "extra_forbidden": "leave it out: no such field",
    "int_type": "a whole number",
    "int_parsing": "a whole number",
    "int_from_float": "a whole number",
    "float_type": "a number",
    "string_type": "a text",
    "bool_type": "true or false",
    "list_type": "a list",
    "dict_type": "an object",
    "model_type": "an object",
    "model_attributes_type": "a JSON object, sent as application/json",
    "time_parsing": "a wall-clock time, as 07:00",
    "time_type": "a wall-clock time, as 07:00",
}


def install(app: FastAPI) -> None:
    """Let every error of the application become a problem."""
    app.add_exception_handler(InputError, _input_error)
    app.add_exception_handler(Conflict, _conflict)
    app.add_exception_handler(TwoInOne, _two_in_one)
    app.add_exception_handler(Doubtful, _doubtful)
    app.add_exception_handler(WeatherUnavailable, _weather_unavailable)
    app.add_exception_handler(RequestValidationError, _not_valid)
    app.add_exception_handler(HTTPException, _http)
    for kind in TROUBLE:
        app.add_exception_handler(kind, _store_trouble)
    app.add_exception_handler(500, _failed)


def field_error(error: InputError) -> FieldError:
    return FieldError(
        field=error.field, value=shown(error.value), wrong=error.wrong, allowed=error.allowed
    )


def _input_error(request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, InputError)
    status = 412 if isinstance(error, OtherEdition) else 422
    if isinstance(error, NoSuchRow) and error.field in request.path_params:
        status = 404
    return problem(status, [field_error(error)])


def _conflict(_request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, Conflict)
    return problem(
        409,
        [FieldError(field=error.what, value=None, wrong=error.by_whom, allowed="look again first")],
    )


def _two_in_one(_request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, TwoInOne)
    fault = FieldError(
        field="mould_id",
        value=error.mould_id,
        wrong=f"{error.mould} {error.by_whom}",
        allowed=RESOLVES,
        code="mould_held",
        other_pour_id=error.other.pour_id,
    )
    return problem(409, [fault], code="mould_held")


def _doubtful(_request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, Doubtful)
    faults = [
        FieldError(
            field=one.field,
            value=one.value,
            wrong=say(one.message, PLAIN),
            code=CODE,
            allowed="the value in the unit of the field, or the same with confirm: true",
            other_unit=one.other_unit,
            other_unit_value=one.other,
        )
        for one in error.doubts
    ]
    return problem(409, faults, code=CODE)


def _weather_unavailable(_request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, WeatherUnavailable)
    wait = error.retry_after_s
    again = "try again later" if wait is None else f"try again in {wait:.0f} s"
    fault = FieldError(
        field="weather",
        value=error.provider,
        wrong=error.reason,
        allowed=f"{again}, or type tonight's low and tomorrow's high",
    )
    return problem(503, [fault], {} if wait is None else {"Retry-After": f"{wait:.0f}"})


def _store_trouble(request: Request, error: Exception) -> Response:
    why = trouble(error)
    if not why:
        raise error
    fault = FieldError(
        field="database",
        value=None,
        wrong=f"{why}; nothing of this request was stored",
        allowed=f"the same request again in {AGAIN_IN_S} s, with the same Idempotency-Key",
    )
    return refusal(request.scope, 503, [fault], {"Retry-After": f"{AGAIN_IN_S}"})


def _not_valid(_request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, RequestValidationError)
    found = error.errors()
    if any(one["type"] == "json_invalid" for one in found):
        why = found[0].get("ctx", {}).get("error", "not JSON")
        body = FieldError(
            field="body", value=None, wrong=f"not JSON: {why}", allowed="one JSON object (RFC 8259)"
        )
        return problem(400, [body])
    return problem(422, [_field(one) for one in found])


def _field(one: Mapping[str, Any]) -> FieldError:
    path = dotted(one["loc"][1:])
    cause = one.get("ctx", {}).get("error")
    if isinstance(cause, InputError):
        head = path.rpartition(".")[0]
        inside = f"{head}.{cause.field}" if head else cause.field
        stated = one["loc"][0] != "body" or path.endswith(cause.field)
        field = path if stated else inside
        return FieldError(
            field=field, value=shown(cause.value), wrong=cause.wrong, allowed=cause.allowed
        )
    value = None if one["type"] == "missing" else shown(one.get("input"))
    wrong = "missing" if one["type"] == "missing" else str(one["msg"]).removeprefix("Value error, ")
    allowed = ALLOWED.get(one["type"]) or _limits(one.get("ctx", {})) or "see /api/v1/openapi.json"
    field = path or str(one["loc"][0])
    return FieldError(field=field, value=value, wrong=wrong, allowed=allowed)


def dotted(path: Sequence[str | int]) -> str:
    """openings, 0, length_mm -> openings[0].length_mm"""
    out = ""
    for part in path:
        if isinstance(part, int):
            out += f"[{part}]"
        else:
            out += f".{part}" if out else str(part)
    return out


def _limits(context: Mapping[str, Any]) -> str:
    words = {
        "ge": "at least",
        "gt": "more than",
        "le": "at most",
        "lt": "less than",
        "max_length": "at most",
        "min_length": "at least",
        "expected": "one of",
    }
    units = {"max_length": " characters or entries", "min_length": " characters or entries"}
    return ", ".join(
        f"{words[key]} {value}{units.get(key, '')}"
        for key, value in context.items()
        if key in words
    )


def _http(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    headers = dict(error.headers or {})
    if error.status_code == 404:
        what, value, wrong = "path", request.url.path, "nothing is there"
        allowed = "an address of /api/v1/openapi.json"
    elif error.status_code == 405:
        what, value, wrong = "method", request.method, "not allowed here"
        headers["Allow"] = allowed = ", ".join(_methods(request))
    else:
        what, value, wrong = "request", None, str(error.detail)
        allowed = "a request as in /api/v1/openapi.json"
    fault = FieldError(field=what, value=shown(value), wrong=wrong, allowed=allowed)
    return refusal(request.scope, error.status_code, [fault], headers)


def _methods(request: Request) -> list[str]:
    """All that an address takes, however many routes it has; where it is a GET also its HEAD."""
    routes, at = request.app.router.routes, dict.fromkeys(("path", "root_path"), "")
    at.update({name: request.scope[name] for name in at})
    found = [
        method
        for method in METHODS
        if any(
            one.matches({"type": "http", "method": method, **at})[0] is Match.FULL for one in routes
        )
    ]
    return [*found, "HEAD"] if "GET" in found else found


def _failed(request: Request, error: Exception) -> Response:
    fault = FieldError(
        field="castclock",
        value=type(error).__name__,
        wrong="a fault of the program; what was stored before stays stored",
        allowed="the same request again with the same Idempotency-Key",
    )
    return refusal(request.scope, 500, [fault], HEADERS)  # it stands outside of all middleware
