"""Every request is counted, and told in one line of the log under an id that its answer carries."""

import logging
import re
import secrets
import time

from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service import logs, metrics
from service.who_may import API

log = logging.getLogger("castclock.request")
POUR_PATH = re.compile(r"(?:/api/v1)?/pours/([0-9]{1,10})(?:/|$)")
QUIET = ("/static/", "/healthz", "/readyz", "/metrics", "/worker.js")  # told at `debug` alone
UNKNOWN, OTHER = "(no route)", "(other)"
METHODS = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS")
ID_HEADER = "X-Request-Id"


class WatchedRequests:
    """The outermost: what is refused before any door is counted too, as of no route."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        began, status, key = time.perf_counter(), 500, secrets.token_hex(6)
        pour = POUR_PATH.match(scope["path"])
        tokens = logs.REQUEST.set(key), logs.POUR.set(pour[1] if pour else "")

        async def seen(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
                MutableHeaders(scope=message)[ID_HEADER] = key
            await send(message)

        try:
            await self._app(scope, receive, seen)
        finally:
            _told(scope, status, time.perf_counter() - began)
            logs.REQUEST.reset(tokens[0])
            logs.POUR.reset(tokens[1])


def _told(scope: Scope, status: int, took_s: float) -> None:
    route = getattr(scope.get("route"), "path", UNKNOWN)
    if route != UNKNOWN and scope["path"].startswith(API) and not route.startswith(API):
        route = API + route  # a route knows its own part alone
    method = scope["method"] if scope["method"] in METHODS else OTHER
    metrics.REQUESTS.labels(method, route, str(status)).inc()
    metrics.REQUEST_SECONDS.labels(route).observe(took_s)
    level = logging.DEBUG if scope["path"].startswith(QUIET) else logging.INFO
    more = {"method": method, "route": route, "status": status, "ms": round(1e3 * took_s, 1)}
    log.log(level, "%s %s %d in %.1f ms", method, route, status, 1e3 * took_s, extra=more)
