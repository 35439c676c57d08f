"""Readings that come by themselves: one or many, as JSON, as CSV or as a bare number."""

import json
from collections.abc import Callable, Coroutine, Sequence
from dataclasses import dataclass
from email.message import Message as Headers
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from fastapi.routing import APIRoute
from pydantic import TypeAdapter, ValidationError
from sqlmodel import Session

from models import quantity
from models.errors import InputError, renamed
from models.facts.conversions import DIMENSIONS
from service.actions.pours import take_readings
from service.actions.pours.take_readings import Taken
from service.api.idempotency import IdempotentPost, IdempotentPostDep
from service.api.known_query import only_known
from service.csv_rows import rows_of
from service.nouns.base import kind_of
from service.nouns.reading import NotCounted, ReadingCreate, ReadingsTaken
from service.request_context import Key
from service.words import say
from service.words.reader import PLAIN

router = APIRouter(tags=["readings"])
MOST = 2000  # readings in one request: a week of one every five minutes
TYPES = "application/json | text/csv | text/plain"
COLUMNS = (
    *("at", "kind", "value", "value_C", "value_max_C"),
    *("span_h", "rh_pct", "mass_g", "note"),
)
HEADER = "a row of headings, as at,kind,value"
VALUE_OF = {"humidity": "rh_pct", "tile": "mass_g"}  # the field of a value by kind, else value_C
_ONE, _MANY = TypeAdapter(ReadingCreate), TypeAdapter(list[ReadingCreate])


@dataclass(frozen=True)
class Sent:
    """A body as it came, and what it says it is."""

    media_type: str
    body: bytes


async def _sent(request: Request) -> Sent:
    return Sent(_media_type(request), await request.body())


SentDep = Annotated[Sent, Depends(_sent)]
_OF_ONE = {"$ref": "#/components/schemas/ReadingCreate"}
ACCEPTS: dict[str, Any] = {
    "requestBody": {
        "required": True,
        "content": {
            "application/json": {
                "schema": {
                    "anyOf": [_OF_ONE, {"type": "array", "items": _OF_ONE, "maxItems": MOST}]
                }
            },
            "text/csv": {"schema": {"type": "string"}, "example": "at,kind,value\n"},
            "text/plain": {"schema": {"type": "string"}, "example": "8.5"},
        },
    }
}


@router.post(
    "/places/{place_id}/readings",
    status_code=201,
    response_model=ReadingsTaken,
    openapi_extra=ACCEPTS,
)
def add_place_readings(place_id: Key, sent: SentDep, post: IdempotentPostDep) -> JSONResponse:
    """Readings of the air of a place, by an instrument or a helper; they count for every pour
    there. A bare number is the air now [degC], or carries its unit. The clock projects later."""
    return _taken(post, sent, place_id, take_readings.of_place)


def _of_pour(pour_id: Key, sent: SentDep, post: IdempotentPostDep) -> JSONResponse:
    return _taken(post, sent, pour_id, take_readings.of_pour)


class OneOrMany(APIRoute):
    """The POST of one reading, which takes many as well and then answers as a place does."""

    def get_route_handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        one = super().get_route_handler()
        if "POST" not in (self.methods or ()):
            return one
        alike: dict[str, Any] = {"methods": ["POST"], "dependencies": [Depends(only_known)]}
        many = APIRoute(self.path, _of_pour, **alike).get_route_handler()

        async def handler(request: Request) -> Response:
            listed = (await request.body()).lstrip().startswith(b"[")
            textual = _media_type(request) in ("text/csv", "text/plain")
            return await (many if textual or (listed and _is_json(request)) else one)(request)

        return handler


def _taken(
    post: IdempotentPost,
    sent: Sent,
    key: int,
    take: Callable[[Session, Any, int, Sequence[ReadingCreate], str], Taken],
) -> JSONResponse:
    told = understood(sent)

    def work(session: Session) -> ReadingsTaken:
        found = take(session, post.now, key, told, post.context.asker.name)
        return ReadingsTaken(
            kept=len(found.kept),
            known=found.known,
            left_out=_said(found.left_out),
            set_aside=_said(found.set_aside),
        )

    return post.write(ReadingsTaken, work)


def _said(rows: Sequence[take_readings.NotCounted]) -> list[NotCounted]:
    return [NotCounted(at=at, kind=kind, why=say(why, PLAIN)) for at, kind, why in rows]


def understood(sent: Sent) -> list[ReadingCreate]:
    """The readings of a body; RequestValidationError or InputError name the field."""
    if sent.media_type == "text/plain":
        value = quantity.read("value_C", _text(sent).strip(), "temperature_C", bare_unit="c")
        return [ReadingCreate(kind="air", value_C=value)]
    if sent.media_type == "text/csv":
        told: Any = _rows(_text(sent))
    elif _says_json(sent.media_type):
        told = _json(sent.body)
    else:
        wrong = "readings are not read from that"
        raise InputError("Content-Type", sent.media_type, wrong, TYPES)
    if isinstance(told, list) and len(told) > MOST:
        raise InputError("body", len(told), "too many readings at once", f"at most {MOST}")
    try:
        return (
            _MANY.validate_python(told) if isinstance(told, list) else [_ONE.validate_python(told)]
        )
    except ValidationError as error:
        faults = [{**one, "loc": ("body", *one["loc"])} for one in error.errors()]
        raise RequestValidationError(faults) from None


def _json(body: bytes) -> Any:
    try:
        return json.loads(body)
    except (ValueError, RecursionError) as error:
        why = {"error": getattr(error, "msg", "not to be read")}
        fault = {"type": "json_invalid", "loc": ("body",), "msg": "", "input": {}, "ctx": why}
        raise RequestValidationError([fault]) from None


def _rows(text: str) -> list[dict[str, Any]]:
    """Rows under their headings; an empty cell says nothing, a bare number is in its own unit."""
    delimiter = max(",;\t", key=text.partition("\n")[0].count)
    rows = [cells for _, cells in rows_of(text, delimiter, "body", HEADER)]
    names = rows[0] if rows else []
    for name in names:
        if name not in COLUMNS or names.count(name) > 1:
            raise InputError("heading", name, "not a column", " | ".join(COLUMNS))
    if len(names) < 2 and names != ["value"] and names != ["value_C"]:
        raise InputError("heading", delimiter.join(names), "not enough columns", HEADER)
    told = []
    for k, cells in enumerate(rows[1:]):
        with renamed(prefix=f"[{k}]."):
            told.append(_row(names, cells))
    return told


def _row(names: Sequence[str], cells: Sequence[str]) -> dict[str, Any]:
    if len(cells) != len(names):
        raise InputError("row", ",".join(cells)[:60], "not a cell for each heading", HEADER)
    row: dict[str, Any] = {"kind": "air"} | {n: c for n, c in zip(names, cells, strict=True) if c}
    if "value" in row:
        row[VALUE_OF.get(row["kind"], "value_C")] = row.pop("value")
    for name, cell in row.items():
        dimension = kind_of(ReadingCreate, name).dimension
        if dimension:
            row[name] = quantity.read(name, cell, dimension, bare_unit=_own(dimension))
    return row


def _own(dimension: str) -> str:
    return DIMENSIONS[dimension].shown[0][0].lower()


def _text(sent: Sent) -> str:
    try:
        return sent.body.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError("body", None, "not UTF-8", "text in UTF-8") from None


def _media_type(request: Request) -> str:
    stated = Headers()
    stated["content-type"] = request.headers.get("content-type", "")
    return stated.get_content_type() if stated["content-type"] else ""


def _is_json(request: Request) -> bool:
    return _says_json(_media_type(request))


def _says_json(media_type: str) -> bool:
    return media_type == "application/json" or media_type.endswith("+json")
