"""Who sends a request, and whether they may: asked once, before any door."""

import re
from datetime import datetime, timedelta
from urllib.parse import quote

from fastapi.responses import RedirectResponse
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers
from starlette.requests import cookie_parser
from starlette.responses import Response
from starlette.types import ASGIApp, Receive, Scope, Send

from models.records import Pour, SignIn, Token
from service import secret, under_path
from service.middleware import host_name, is_loopback
from service.problem import FieldError, refusal
from service.queries import people, shops
from service.request_context import AppState
from service.store import TROUBLE, Store, trouble
from service.store.shops import ALL, FIRST, NOBODYS, within
from service.store.writer import writer
from service.who_may import (
    ASKER,
    HELPER,
    NOBODY,
    OWNER,
    RANKS,
    READINGS,
    TROUBLED,
    VIEWER,
    Asker,
    least,
    may,
)

COOKIE = "castclock_in"
SECURE_COOKIE = f"__Host-{COOKIE}"  # a browser takes it over https alone, from this very name
SHARED_COOKIE = f"__Secure-{COOKIE}"  # the same below a path, which a host that others share needs
COOKIE_AGE_S = int(people.SIGN_IN_LASTS.total_seconds())
METRICS = "/metrics"  # the machine itself may ask, as what watches it does
SEEN_EVERY = timedelta(hours=1)  # a look is written down no more often
CODED = re.compile(r"/(s|c|join|calendar)/([^/]+?)(?:\.ics|/dates)?")  # open without a sign-in
PROXIED = ("forwarded", "x-forwarded-for", "x-forwarded-host", "x-real-ip", "via")


class OnlyWhoMay:
    """Refuse who may not; else the request goes on with its asker.

    Before anybody has joined, this very machine asks as the owner and no other is answered.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http" or scope["path"].startswith("/static/"):
            await self._app(scope, receive, send)
            return
        try:
            asker = await run_in_threadpool(_asker, scope)
        except TROUBLE as error:
            if not trouble(error):
                raise
            # the door that is asked tells of it and keeps what was typed; handed the trouble, it
            # shows nothing that is stored
            asker = Asker()
            if least(scope["method"], scope["path"]) != NOBODY:
                scope[TROUBLED] = error
        if TROUBLED not in scope and not may(asker, scope["method"], scope["path"]):
            await _refused(scope, asker)(scope, receive, send)
            return
        scope[ASKER] = asker
        token = writer.set(asker.name)
        try:
            with within(asker.shop_id):
                await self._app(scope, receive, send)
        finally:
            writer.reset(token)


def _asker(scope: Scope) -> Asker:
    """Who it is, and of which shop. What is open to whoever holds its code is of the code's shop,
    and who belongs to another one is nobody there."""
    state: AppState = scope["app"].state.castclock
    with within(ALL):
        found = _known(state, scope)
        coded = CODED.fullmatch(scope["path"])
        if coded is None:
            return found
        with state.store.reading() as session:
            shop_id = shops.of_code(session, coded[1], coded[2])
    return found if shop_id in (None, found.shop_id) else Asker(shop_id=shop_id or NOBODYS)


def _known(state: AppState, scope: Scope) -> Asker:
    headers, now = Headers(scope=scope), state.clock()
    scheme, _, given = headers.get("authorization", "").partition(" ")
    with state.store.reading() as session:
        if scheme.lower() == "bearer":  # a proxy's own password is no concern of ours
            return _machine(session, state.store, given.strip(), scope["path"], now)
        held = held_secret(scope)
        found = people.signed_in(session, secret.digest(held), now) if held else None
        if found is None:
            if people.anybody(session):
                ours = scope["path"] == METRICS and from_this_machine(scope)
                shop_id = shops.alone(session) or NOBODYS
                return Asker(VIEWER if ours else NOBODY, shop_id=shop_id)
            rank = OWNER if from_this_machine(scope) else NOBODY
            return Asker(rank, alone=True, shop_id=FIRST)
    sign_in, person = found
    if now - sign_in.seen_at > SEEN_EVERY:
        _seen(state.store, SignIn, sign_in.id, now)
    rank = RANKS[person.role]
    return Asker(rank, person.name, person.id, sign_in.id, shop_id=person.shop_id)


def _machine(session: Session, store: Store, given: str, path: str, now: datetime) -> Asker:
    row = people.token(session, secret.digest(given))
    nobody = Asker(shop_id=shops.alone(session) or NOBODYS)
    if row is None:
        return nobody
    if row.used_at is None or now - row.used_at > SEEN_EVERY:
        _seen(store, Token, row.id, now)
    if row.kind == "screen":
        return Asker(VIEWER, row.name, machine="screen", shop_id=row.shop_id)
    into = READINGS.fullmatch(path)
    if into is None or not _is_its_own(session, row, into[1], int(into[2])):
        return nobody
    return Asker(HELPER, row.name, machine=row.kind, shop_id=row.shop_id)


def _is_its_own(session: Session, row: Token, noun: str, key: int) -> bool:
    """Whether an instrument reads there: at its place, at its piece, at a piece of its place."""
    if noun == "places":
        return row.place_id == key
    pour = session.get(Pour, key)
    return pour is not None and (row.pour_id == pour.id or row.place_id == pour.place_id)


def _seen(store: Store, table: type[SignIn] | type[Token], row_id: int, now: datetime) -> None:
    with store.unit_of_work() as session:
        row = session.get(table, row_id)
        if isinstance(row, SignIn):
            row.seen_at = now
        elif isinstance(row, Token):
            row.used_at = now


def held_secret(scope: Scope) -> str:
    """What the cookie of this browser holds; of both names the one its scheme asks for."""
    cookies = cookie_parser("; ".join(Headers(scope=scope).getlist("cookie")))
    return cookies.get(_cookie(scope)[0], "")[:200]


def keep_in(response: Response, scope: Scope, made: str) -> None:
    """Give this browser its secret."""
    name, secure = _cookie(scope)
    response.set_cookie(
        name,
        made,
        max_age=COOKIE_AGE_S,
        path="/",
        httponly=True,
        samesite="lax",
        secure=secure,
    )


def forget(response: Response, scope: Scope) -> None:
    name, secure = _cookie(scope)
    response.delete_cookie(name, path="/", httponly=True, samesite="lax", secure=secure)


def _cookie(scope: Scope) -> tuple[str, bool]:
    """Its name over this scheme, and whether it is for https alone."""
    if scope["scheme"] != "https":
        return COOKIE, False
    return SHARED_COOKIE if under_path.path() else SECURE_COOKIE, True


def from_this_machine(scope: Scope) -> bool:
    """Sent from here to a name of here, and by no proxy, which would lend its own address."""
    headers = Headers(scope=scope)
    sender = (scope.get("client") or ("", 0))[0]
    return (
        is_loopback(sender)
        and is_loopback(host_name(headers.get("host", "")))
        and not any(name in headers for name in PROXIED)
    )


def _refused(scope: Scope, asker: Asker) -> Response:
    """Nobody is asked to sign in, a page at once; who is in is told that it is not theirs."""
    method, path = scope["method"], scope["path"]
    stranger = asker.rank == NOBODY and not asker.alone
    a_page = not path.startswith("/api/") and path != METRICS
    if asker.rank == NOBODY and method == "GET" and a_page:
        accepted = Headers(scope=scope).get("accept", "*/*")
        if "text/html" in accepted or "*/*" in accepted:
            query = scope["query_string"].decode("latin-1")
            to = quote(f"{path}?{query}" if query else path, safe="")
            return RedirectResponse(f"/sign-in?then={to}", 303)
    known = {VIEWER: "a viewer", HELPER: "a helper"}
    wanted = {VIEWER: "viewer", HELPER: "helper", OWNER: "owner"}[max(least(method, path), VIEWER)]
    if asker.alone:
        wrong, allowed = (
            "another machine, and the shop has no owner yet",
            ("the link of the terminal in which castclock was started: it makes you the owner"),
        )
    elif stranger:
        wrong, allowed = "nobody is signed in", f"a sign-in or a token of a {wanted}"
    else:
        wrong, allowed = (
            f"{asker.machine or known[asker.rank]} may not",
            f"somebody who is {wanted}",
        )
    error = FieldError(
        field="Authorization", value=asker.name or None, wrong=wrong, allowed=allowed
    )
    headers = {"WWW-Authenticate": 'Bearer realm="castclock"'} if stranger else {}
    status, code = (401, None) if stranger else (403, "no_owner" if asker.alone else "not_yours")
    return refusal(scope, status, [error], headers, code)
