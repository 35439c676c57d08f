"""What stands before every door: own names, size of a head, foreign writes, headers, HEAD."""

import re
from collections.abc import Set
from ipaddress import IPv4Address, IPv6Address, ip_address
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.problem import FieldError, refusal

LARGEST_HEAD = 32_000  # bytes of all header lines and the address together
SAFE_METHODS = ("GET", "HEAD", "OPTIONS")
HOST = re.compile(r"(?:\[([0-9a-f:.]+)\]|([^\s:/?#@\[\]]+))(?::[0-9]{1,5})?", re.IGNORECASE)
HEADERS = {
    # nothing but what the pages load: one script file, one style, pictures of our own
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:;"
        " connect-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none';"
        " frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(self), microphone=(), payment=(), usb=()",
}


class OwnHosts:
    """Refuse whoever asks for another name than ours: somebody may let their own name lead here,
    and their page in the maker's browser would then count as ours (DNS rebinding)."""

    def __init__(self, app: ASGIApp, names: Set[str]) -> None:
        self._app, self._names = app, names

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        hosts = Headers(scope=scope).getlist("host")
        if len(hosts) == 1 and self._is_ours(host_name(hosts[0]), scope):
            await self._app(scope, receive, send)
            return
        error = FieldError(
            field="Host",
            value=", ".join(hosts)[:100],
            wrong="not a name of this server",
            allowed="the address castclock is served at; CASTCLOCK_HOSTS adds further names",
        )
        await refusal(scope, 421, [error])(scope, receive, send)

    def _is_ours(self, name: str, scope: Scope) -> bool:
        if name in self._names or is_loopback(name):
            return True
        address, own = _address(name), _address(str((scope.get("server") or ("",))[0]))
        return address is not None and address == own


def host_name(header: str) -> str:
    """The name or address of a Host header, in small letters; "" when it is none."""
    found = HOST.fullmatch(header.strip())
    return "" if found is None else (found[1] or found[2]).lower().removesuffix(".")


def is_loopback(name: str) -> bool:
    """Whether a name or an address leads to the machine that asks."""
    address = _address(name)
    return name == "localhost" or (address is not None and address.is_loopback)


def _address(name: str) -> IPv4Address | IPv6Address | None:
    try:
        address = ip_address(name.partition("%")[0])
    except ValueError:
        return None
    return getattr(address, "ipv4_mapped", None) or address


class HeadLimit:
    """Refuse a request whose headers or address are longer than any of ours would be."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        address = len(scope.get("path", "")) + len(scope.get("query_string", b""))
        size = address + sum(len(name) + len(value) for name, value in scope.get("headers", ()))
        if scope["type"] != "http" or size <= LARGEST_HEAD:
            await self._app(scope, receive, send)
            return
        error = FieldError(
            field="headers",
            value=f"{size} bytes",
            wrong="longer than is taken",
            allowed=f"at most {LARGEST_HEAD} bytes with the address",
        )
        await refusal(scope, 431, [error], {"Connection": "close"})(scope, receive, send)


class SameSite:
    """Refuse a write that another site's page sends through the maker's browser."""

    def __init__(self, app: ASGIApp, public_address: str) -> None:
        self._app, self._public = app, urlsplit(public_address).netloc.lower()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http" or scope["method"] in SAFE_METHODS:
            await self._app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        sender = self._foreign(headers)
        if sender is None:
            await self._app(scope, receive, send)
            return
        error = FieldError(
            field="Origin",
            value=sender[:100],
            wrong="a write from another site",
            allowed=f"a page of {self._public or headers.get('host', 'this server')}",
        )
        await refusal(scope, 403, [error])(scope, receive, send)

    def _foreign(self, headers: Headers) -> str | None:
        """Who sent it, when that is another site; a program without a browser tells neither."""
        site, origins = headers.get("sec-fetch-site"), headers.getlist("origin")
        if site not in (None, "same-origin", "none"):
            return f"Sec-Fetch-Site {site}"
        own = {self._public, headers.get("host", "").lower()} - {""}
        return next((one for one in origins if one.lower().partition("://")[2] not in own), None)


class SafeHeaders:
    """Headers that keep a page from being framed, sniffed or scripted by others."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        await self._app(scope, receive, with_headers if scope["type"] == "http" else send)


class NotModified:
    """Say that what its asker has already is still so (RFC 9110, 13.1.2), without telling it."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        known = Headers(scope=scope).get("if-none-match") if scope["type"] == "http" else None
        if known is None or scope["method"] not in ("GET", "HEAD"):
            await self._app(scope, receive, send)
            return
        tags = {one.strip().removeprefix("W/") for one in known.split(",")}
        silent = False

        async def unless_known(message: Message) -> None:
            nonlocal silent
            if message["type"] == "http.response.start" and message["status"] == 200:
                headers = MutableHeaders(scope=message)
                tag = headers.get("etag", "").removeprefix("W/")
                silent = tag != "" and (tag in tags or "*" in tags)
                if silent:
                    message["status"] = 304
                    del headers["content-length"], headers["content-type"]
            elif silent and message["type"] == "http.response.body":
                message = {**message, "body": b""}
            await send(message)

        await self._app(scope, receive, unless_known)


class HeadIsGet:
    """Answer HEAD as GET without its body: who only asks whether a page is there is told so."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http" or scope["method"] != "HEAD":
            await self._app(scope, receive, send)
            return

        async def without_body(message: Message) -> None:
            if message["type"] == "http.response.body":
                message = {**message, "body": b""}
            await send(message)

        await self._app({**scope, "method": "GET"}, receive, without_body)
