"""The shape of every error (RFC 9457): which field, which value, what is wrong and allowed."""

import math
import re
from collections.abc import Mapping, Sequence
from html import escape
from typing import Any

from fastapi.responses import HTMLResponse, JSONResponse, Response
from pydantic import BaseModel
from starlette.datastructures import Headers
from starlette.types import Scope

MEDIA_TYPE = "application/problem+json"
LONGEST_SHOWN = 120
AGAIN_IN_S = 10  # when to come again to a database that has trouble
ADDRESS = re.compile(r"://\S*")
TITLES: dict[int | str, str] = {
    "unit_doubtful": "Is this the unit that was meant?",
    400: "The request cannot be read",
    403: "Refused",
    404: "Not found",
    405: "Method not allowed",
    409: "Changed meanwhile",
    413: "Too large",
    421: "Another server's name",
    422: "A value cannot be used",
    500: "castclock failed",
    503: "Not ready",
}


class FieldError(BaseModel):
    """One thing that is wrong."""

    field: str
    value: Any
    wrong: str
    allowed: str
    code: str | None = None
    other_unit: str | None = None
    other_unit_value: float | None = None


class Problem(BaseModel):
    """The body of every answer from 400 on."""

    type: str = "about:blank"
    title: str
    status: int
    detail: str
    errors: list[FieldError]
    code: str | None = None


def problem(
    status: int,
    errors: Sequence[FieldError],
    headers: Mapping[str, str] | None = None,
    code: str | None = None,
) -> JSONResponse:
    """The response of one problem."""
    detail = "; ".join(f"{e.field} = {e.value}: {e.wrong}; give {e.allowed}" for e in errors)
    title = TITLES.get(code or status, "Refused")
    body = Problem(title=title, status=status, detail=detail, errors=list(errors), code=code)
    content = body.model_dump(mode="json", exclude_none=True)
    for error in content["errors"]:
        error.setdefault("value", None)
    return JSONResponse(
        content,
        status,
        dict(headers or {}),
        media_type=MEDIA_TYPE,
    )


def refusal(
    scope: Scope,
    status: int,
    errors: Sequence[FieldError],
    headers: Mapping[str, str] | None = None,
) -> Response:
    """The same before any door: a page for a browser that asked for one, else the problem."""
    asks_page = "text/html" in Headers(scope=scope).get("accept", "")
    if scope["path"].startswith("/api/") or not asks_page:
        return problem(status, errors, headers)
    title = TITLES.get(status, "Refused")
    items = "".join(
        f"<p>{escape(f'{e.field} {e.value}: {e.wrong}. Allowed: {e.allowed}.')}</p>" for e in errors
    )
    text = (
        '<!doctype html><html lang="en-GB"><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{title} · castclock</title><main><h1>{title}</h1>{items}"
        "<p>Nothing was stored, and nothing that was stored is lost.</p></main></html>"
    )
    return HTMLResponse(text, status, dict(headers or {}))


def shown(value: Any) -> Any:
    """A value safe to repeat: short, finite, encodable."""
    if value is None or isinstance(value, bool | int):
        return value if abs(value or 0) < 10**15 else f"{float(min(abs(value or 0), 10**300)):.3g}"
    if isinstance(value, float):
        return value if math.isfinite(value) else str(value)
    text = value if isinstance(value, str) else repr(value)
    text = text.encode("utf-8", "backslashreplace").decode()
    text = ADDRESS.sub("://****", text)  # the address of a notice may hold a password
    return text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 3] + "..."
