"""The calendar feed, behind its secret address."""

import hashlib
from typing import Annotated

from fastapi import APIRouter, Path, Request, Response

from service.actions.notices.calendar_feed import show_plan
from service.api.edition import LookDep
from service.request_context import ContextDep

router = APIRouter(tags=["calendar"])


@router.get(
    "/calendar/{token}.ics",
    response_class=Response,
    responses={200: {"content": {"text/calendar": {"schema": {"type": "string"}}}}},
)
def read_calendar(
    token: Annotated[str, Path(max_length=100)],
    request: Request,
    context: ContextDep,
    _: LookDep,
) -> Response:
    """iCalendar (RFC 5545), in UTC."""
    address = (context.settings.public_address or str(request.base_url)).rstrip("/")
    with context.store.reading() as session:
        text = show_plan(session, context.now, token, address)
    tag = f'"{hashlib.sha256(text).hexdigest()[:32]}"'
    headers = {"ETag": tag, "Cache-Control": "private, max-age=300"}
    return Response(text, media_type="text/calendar; charset=utf-8", headers=headers)
