"""https in the workshop's own network: an authority of our own, told of by plain http beside it."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from ipaddress import ip_address
from socket import gethostname
from urllib.parse import urlsplit

import uvicorn
from starlette.responses import RedirectResponse
from starlette.types import ASGIApp, Receive, Scope, Send

from models.errors import InputError
from service import authority, machine
from service.cli import connections
from service.settings import Settings

ENDS_WITHIN_S = 3.0
FEW = connections.FEWEST  # phones that are told at once
TOLD_PLAINLY = ("/authority/", "/static/")


def check(settings: Settings) -> None:
    """Raises InputError where no authority of ours may vouch for the address."""
    parts = urlsplit(settings.address)
    if parts.scheme != "https":
        allowed = "one that begins with https, or none"
        raise InputError("public_address", settings.address, "not by https", allowed)
    if not authority.vouched([parts.hostname or ""]):
        raise InputError(
            "--https",
            parts.hostname,
            "not an address of a home network",
            "a name that ends with .local, or one of your own with a certificate (deploy/phone.md)",
        )
    if settings.port >= 65535:
        raise InputError("port", settings.port, "no port after it", "1 to 65534")


def keeper(settings: Settings) -> authority.Keeper:
    """Of the certificates of this server; its authority is made where there is none."""
    now = datetime.now(UTC)
    name = gethostname().partition(".")[0] or "this machine"
    host, of_name = urlsplit(settings.address).hostname or "", machine.Lately()
    return authority.Keeper(
        settings.data,
        authority.own(settings.data, name, now),
        lambda: {host, *machine.own_addresses(settings, of_name)},
        lambda: datetime.now(UTC),
    )


def greeting(settings: Settings) -> str:
    """How a phone is told whom to trust: the address, its square, what to compare."""
    from service.pages import qr

    found, plain = authority.held(settings.data), authority.plain_address(settings)
    assert found is not None
    return "\n".join(
        filter(
            None,
            (
                f"Each phone is told once whom it may trust. Open this on it: {plain}",
                qr.printed("" if _only_here(plain) else plain),
                "and compare the fingerprint there with this one:",
                authority.fingerprint(found),
            ),
        )
    )


class ToldPlainly:
    """What a phone sees before it trusts: the page of the authority; all else leads to https."""

    def __init__(self, app: ASGIApp, to: str) -> None:
        self._app, self._to = app, to

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        below = scope["path"].removeprefix(urlsplit(self._to).path)
        if scope["method"] in ("GET", "HEAD") and f"{below}/".startswith(TOLD_PLAINLY):
            await self._app(scope, receive, send)
        elif below in ("", "/"):
            await RedirectResponse(f"{urlsplit(self._to).path}/authority", 303)(
                scope, receive, send
            )
        else:
            await RedirectResponse(f"{self._to}{below}", 303)(scope, receive, send)


@contextmanager
def told_plainly(app: ASGIApp, settings: Settings) -> Iterator[None]:
    """The page of the authority on the next port, as long as the server runs."""
    port = settings.port + 1
    try:
        made = machine.listening(settings.host, port)
    except OSError as error:
        wrong = error.strerror or "taken"
        allowed = "--port and a free one, with a free one after it"
        raise InputError("port", f"{settings.host}:{port}", wrong, allowed) from None
    listening = connections.Door(made, FEW)
    plain = connections.config(listening, ToldPlainly(app, settings.address), lifespan="off")
    server = uvicorn.Server(plain)
    thread = threading.Thread(target=server.run, args=([listening],), daemon=True)
    thread.start()
    try:
        yield
    finally:
        server.should_exit = True
        thread.join(ENDS_WITHIN_S)
        listening.close()


def _only_here(address: str) -> bool:
    try:
        return ip_address(urlsplit(address).hostname or "").is_loopback
    except ValueError:
        return False
