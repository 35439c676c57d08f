"""The shape of every error (RFC 9457): which field, which value, what is wrong and allowed."""

import math
import re
from collections.abc import Mapping, Sequence
from string import Template
from typing import Any

from fastapi.responses import HTMLResponse, JSONResponse, Response
from pydantic import BaseModel
from starlette.datastructures import Headers
from starlette.types import Scope

from service import under_path

MEDIA_TYPE = "application/problem+json"
LONGEST_SHOWN = 120
AGAIN_IN_S = 10  # when to come again to a database that has trouble
ADDRESS = re.compile(r"://\S*")
TITLES: dict[int | str, str] = {
    "unit_doubtful": "Is this the unit that was meant?",
    "mould_held": "The mould holds another pour",
    400: "The request cannot be read",
    401: "Sign in first",
    403: "Refused",
    404: "Not found",
    405: "Method not allowed",
    409: "Changed meanwhile",
    412: "Changed meanwhile",
    408: "Came too slowly",
    413: "Too large",
    421: "Another server's name",
    422: "A value cannot be used",
    431: "Too large",
    500: "castclock failed",
    503: "Not ready",
}
PAGES: dict[int | str, tuple[str, str]] = {
    400: ("That did not work", "The page that sent this does not fit. Open it anew and try again."),
    401: ("Sign in first", "Open castclock, sign in, and send it again."),
    "no_owner": (
        "The shop has no owner yet",
        "Until it has one, no other machine is answered. Open the link that stands in"
        " the terminal where castclock was started: it makes you the owner.",
    ),
    "not_yours": (
        "That is for others in the shop",
        "Your role does not allow it. Ask an owner to do it, or to change what you may do.",
    ),
    429: ("Tried too often", "Wait a little, then try once more."),
    403: (
        "Not from here",
        "A page of another site sent this. Open castclock itself and try again.",
    ),
    404: ("Nothing is here", "The address is old, or a letter of it is wrong."),
    405: ("Nothing is here", "This address only takes what a form sends. Go back to the form."),
    408: (
        "That took too long",
        "It did not arrive whole. Send it again where the signal is better.",
    ),
    "too_many": (
        "Busy just now",
        "Several photos are on their way already. Wait a few seconds and send it again.",
    ),
    431: ("That is too large", "The address is too long. Open castclock itself and try again."),
    413: (
        "That is too large",
        "A photo may have 8 MB. Take it at a smaller size, or cut it, and send it again.",
    ),
    421: (
        "This address is not ours",
        "castclock runs here under another name: open it at the address it named when it started."
        " Whoever runs it can add this name with CASTCLOCK_HOSTS.",
    ),
    500: (
        "Something broke in castclock",
        "It is our fault, not yours. Try once more; a note for whoever runs castclock is written.",
    ),
    503: ("Busy just now", "castclock cannot reach its data. Wait a few seconds and try again."),
}
# below the pages' own templates: it must come even where nothing else does
PAGE = Template(
    '<!doctype html><html lang="en"><head><meta charset="utf-8">'
    '<meta name="viewport" content="width=device-width, initial-scale=1">'
    "<title>$title · castclock</title>"
    '<link rel="stylesheet" href="/static/castclock.css"></head>'
    "<body><main><h1>$title</h1><p>$what</p><p>Nothing that was stored before is lost.</p>"
    '<p><a class="button" href="/">Today</a></p></main></body></html>'
)


class FieldError(BaseModel):
    """One thing that is wrong."""

    field: str
    value: Any
    wrong: str
    allowed: str
    code: str | None = None
    other_unit: str | None = None
    other_unit_value: float | None = None
    other_pour_id: int | None = None


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
    code: str | None = None,
) -> Response:
    """The same before any door: a page for a browser that asked for one, else the problem."""
    asks_page = "text/html" in Headers(scope=scope).get("accept", "")
    if scope["path"].startswith("/api/") or not asks_page:
        return problem(status, errors, headers)
    return trouble_page(status, headers, code)


def trouble_page(
    status: int, headers: Mapping[str, str] | None = None, code: str | None = None
) -> HTMLResponse:
    """The same for a person: what happened and what to do, without names of the program's parts."""
    title, what = PAGES.get(code or status) or PAGES[400 if status < 500 else 500]
    text = under_path.addressed(PAGE.substitute(title=title, what=what))
    return HTMLResponse(text, status, {**dict(headers or {}), "Cache-Control": "no-store"})


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
