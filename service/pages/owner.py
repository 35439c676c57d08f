"""The page of a piece for whoever owns it: no sign-in, nothing of the shop."""

import hashlib
from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Path, Request, Response
from sqlmodel import Session

from models.message import Message
from models.records import OwnerLink
from service.actions.people.sign_in import TooMany
from service.actions.record import owner_links
from service.actions.record.care_sheet import CareSheet, care_sheet
from service.actions.record.owner_dates import OwnerDate, owner_dates
from service.notify import calendar
from service.nouns.form import Form
from service.pages import care_words, render
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute
from service.queries.owner_links import of_owner
from service.request_context import ContextDep, Key, RequestContext
from service.words import Reader, say
from service.words.instants import instant

router = APIRouter(route_class=PageRoute, include_in_schema=False)
Code = Annotated[str, Path(max_length=60)]
HEADERS = {"X-Robots-Tag": "noindex, nofollow", "Referrer-Policy": "no-referrer"}


class _Away(Exception):
    """Why a code opens nothing."""

    def __init__(self, status: int, why: Message, wait_s: int = 0) -> None:
        super().__init__(why.code)
        self.status, self.why, self.wait_s = status, why, wait_s


@router.get("/c/{code}")
def owner_page(code: Code, request: Request, context: ContextDep) -> Response:
    """Care, from when it bears what, and dates, as last reckoned: a stranger starts none."""
    try:
        sheet = _opened(code, request, context)
    except _Away as away:
        return _closed(context, away)
    reader = context.reader(sheet.timezone, sheet.placed_at)
    listed = [
        (say(one.what, reader), _day(one, sheet, reader), say(one.note, reader))
        for one in owner_dates(sheet, context.now)
    ]
    shown = care_words.shown(sheet, reader) | {"maker": say(Message("owner_its_maker"), reader)}
    return _page(sheet.piece, reader, shown, sheet=sheet, dates=listed, calendar=f"/c/{code}/dates")


@router.get("/c/{code}/dates")
def owner_calendar(code: Code, request: Request, context: ContextDep) -> Response:
    """The same dates as a file for a calendar (RFC 5545)."""
    try:
        sheet = _opened(code, request, context)
    except _Away as away:
        return _closed(context, away)
    reader = context.reader(sheet.timezone, sheet.placed_at)
    own = hashlib.sha256(code.encode()).hexdigest()[:24]  # a calendar is shared: it holds no code
    events = [
        calendar.DayEvent(
            f"{one.key}-{own}@castclock",
            one.day,
            f"{sheet.piece}: {say(one.what, reader)}",
            say(one.note, reader),
            one.every_year,
        )
        for one in owner_dates(sheet, context.now)
    ]
    headers = {**HEADERS, "Cache-Control": "no-store"}
    headers["Content-Disposition"] = 'attachment; filename="dates.ics"'
    text = calendar.days(sheet.piece, context.now, events)
    return Response(text, media_type="text/calendar; charset=utf-8", headers=headers)


@router.post("/pours/{pour_id}/care/revoke")
def revoke(pour_id: Key, post: FormPostDep) -> Response:
    """The square got into wrong hands: it opens nothing any more, and the sheet has a new one."""

    def store(session: Session) -> Landing:
        key = owner_links.revoke(session, post.context.now, pour_id)
        return Landing(
            f"/pours/{pour_id}/care",
            "saved_owner_link",
            undo=f"/pours/{pour_id}/care/restore",
            fields={"link": str(key)},
        )

    return post.write(Form.of([]), store)


@router.post("/pours/{pour_id}/care/restore")
def restore(pour_id: Key, post: FormPostDep) -> Response:
    def store(session: Session) -> Landing:
        told = post.text("link")
        key = int(told) if told.isascii() and told.isdigit() and len(told) < 10 else 0
        owner_links.bring_back(session, post.context.now, key, pour_id)
        return Landing(f"/pours/{pour_id}/care", "saved_back")

    return post.write(Form.of([]), store)


def _opened(code: str, request: Request, context: RequestContext) -> CareSheet:
    """The sheet that a code opens. Raises _Away."""
    with context.store.reading() as session:
        row: OwnerLink | None = of_owner(session, code)
        if row is None:
            raise _unknown(request, context)
        if row.revoked_at is not None:
            raise _Away(410, Message("owner_revoked"))
        sheet = care_sheet(session, row.pour_id)
    if sheet.closed_why and sheet.closed_why != "finished":
        raise _Away(410, Message("owner_revoked"))
    return sheet


def _unknown(request: Request, context: RequestContext) -> _Away:
    """Who tries codes has to wait longer each time; who has one, at the same address, never."""
    attempts = request.app.state.castclock.attempts
    key = f"owner page {request.client.host if request.client else ''}"
    try:
        attempts.check(context.now, key)
    except TooMany as error:
        wait_s = int(error.wait.total_seconds()) + 1
        return _Away(429, Message("owner_too_many"), wait_s)
    attempts.failed(context.now, key)
    return _Away(404, Message("owner_unknown"))


def _day(one: OwnerDate, sheet: CareSheet, reader: Reader) -> str:
    at = sheet.placed_at.replace(year=one.day.year, month=one.day.month, day=one.day.day, hour=12)
    return instant(at, "date", reader)


def _closed(context: RequestContext, away: _Away) -> Response:
    reader = context.reader()
    title = say(Message("owner_no_page"), reader)
    why = say(away.why, reader)
    answer = _page(title, reader, {}, away.status, sheet=None, why=why)
    if away.wait_s:
        answer.headers["Retry-After"] = str(away.wait_s)
    return answer


def _page(
    title: str, reader: Reader, words: Mapping[str, Any], status: int = 200, **more: Any
) -> Response:
    answer = render.page("owner.html", status, title=title, reader=reader, **words, **more)
    answer.headers.update(HEADERS)
    return answer
