"""A path of a host that others share, as /cast: every address of ours is found below it.

Doors know nothing of it: the path is taken off what comes in, where it stands (the machine itself
and a proxy that takes it off ask without), and put before every address of ours that goes out."""

import re
from contextvars import ContextVar

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

# what people typed has its quotation marks escaped, so that it never looks like one of these
ADDRESS = re.compile(r'\b((?:href|src|action|formaction|data-answer)="|content="\d+;url=)/(?!/)')
COOKIE_PATH = re.compile(r"(;\s*path=/)(?=;|$)", re.IGNORECASE)
_path: ContextVar[str] = ContextVar("path", default="")


def path() -> str:
    """What stands before every address of ours; nothing where the host is all ours."""
    return _path.get()


def addressed(html: str) -> str:
    """A page whose addresses, written as if the host were all ours, lead below the path."""
    return ADDRESS.sub(rf"\g<1>{path()}/", html) if path() else html


def own(address: str) -> str:
    """An address that came back from a browser, as our doors know it."""
    below = address.startswith(f"{path()}/")
    return address.removeprefix(path()) if below else address


class UnderPath:
    """Serve an app below a path."""

    def __init__(self, app: ASGIApp, path: str) -> None:
        self._app, self._path = app, path

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        asked = scope["path"]
        if asked == self._path:  # a worker minds the pages below the stroke alone
            await RedirectResponse(f"{self._path}/", 308)(scope, receive, send)
            return
        if asked.startswith(f"{self._path}/"):
            asked = asked.removeprefix(self._path)
        inner = {**scope, "path": asked, "root_path": "", "app_root_path": self._path}
        inner.pop("raw_path", None)
        ours = f"{scope['scheme']}://{Headers(scope=scope).get('host', '')}/"

        async def below(message: Message) -> None:
            if message["type"] == "http.response.start":
                self._put_before(MutableHeaders(scope=message), ours)
            await send(message)

        token = _path.set(self._path)
        try:
            await self._app(inner, receive, below)
        finally:
            _path.reset(token)

    def _put_before(self, headers: MutableHeaders, ours: str) -> None:
        to = headers.get("location", "")
        if to.startswith("/") and not to.startswith("//"):
            headers["location"] = self._path + to
        elif to.startswith(ours):
            headers["location"] = f"{ours[:-1]}{self._path}/{to.removeprefix(ours)}"
        cookies = headers.getlist("set-cookie")
        if cookies:
            del headers["set-cookie"]
        for cookie in cookies:
            headers.append("set-cookie", COOKIE_PATH.sub(rf"\g<1>{self._path[1:]}", cookie))
