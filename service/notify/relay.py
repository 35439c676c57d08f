"""Mail, messengers and the rest through Apprise: one channel for each address of the shop."""

import logging
from collections.abc import Callable, Sequence
from concurrent.futures import Future
from contextvars import copy_context
from threading import Thread
from typing import Any

import apprise

from models.errors import DeliveryFailed, InputError
from service.notify import address as addresses
from service.notify.channel import Notice
from service.notify.networks import INSIDE, Network, watched

LONGEST_BODY = 3000
PATIENCE_S = 25.0
KINDS = {
    "news": apprise.NotifyType.INFO,
    "warning": apprise.NotifyType.WARNING,
    "alarm": apprise.NotifyType.FAILURE,
}
# What it writes may hold an address; what went wrong is told by DeliveryFailed.
logging.getLogger("apprise").setLevel(logging.CRITICAL + 1)

_left: dict[str, Thread] = {}  # by the name of a channel the send that nobody waits for any more


class Relay:
    """One address. Its name tells the kind and a digest, never the address itself."""

    def __init__(self, address: str, allowed: Sequence[Network] = (), base: str = "") -> None:
        """base : where the pages are, for the link in each message; empty: nobody finds them"""
        self._address, self._allowed, self._base = address, allowed, base
        kind = addresses.scheme(address) or "unknown"
        self.name = f"{kind}:{addresses.digest(address)}"

    def send(self, notice: Notice) -> None:
        wrong = addresses.unfit(self._address, self._allowed)
        if wrong:
            raise DeliveryFailed(self.name, f"the address: {wrong}", permanent=True)
        with watched(self._allowed) as watch:
            relay = _relay(self._address)
            if relay is None:
                raise DeliveryFailed(self.name, "the address is not understood", permanent=True)
            told = {
                "title": " ".join(notice.title.split()),
                "body": self._body(notice),
                "notify_type": KINDS[notice.severity],
                "body_format": apprise.NotifyFormat.TEXT,  # where it is sent as HTML it is escaped
            }
            result = self._patiently(lambda: relay.notify(**told))
        if result:
            return
        why = "the service did not take it"
        if watch.refused:  # not for good: in an outage a name may lead inside for an hour
            why = INSIDE
        raise DeliveryFailed(self.name, why, permanent=False)

    def _patiently(self, send: Callable[[], Any]) -> Any:
        """What comes of a send, on a thread of its own that is left alone when it takes too long: a
        server that never ends holds up no other address, and one thread of ours at most."""
        if (left := _left.get(self.name)) is not None and left.is_alive():
            raise DeliveryFailed(self.name, "the last try has not ended", permanent=False)
        ended: Future[Any] = Future()

        def work() -> None:
            try:
                ended.set_result(send())
            except Exception as error:  # noqa: BLE001 - it is raised where it was asked for
                ended.set_exception(error)

        thread = Thread(target=copy_context().run, args=(work,), daemon=True)
        thread.start()
        try:
            return ended.result(PATIENCE_S)
        except TimeoutError:
            for name in [name for name, one in _left.copy().items() if not one.is_alive()]:
                _left.pop(name, None)
            _left[self.name] = thread
            why = f"no answer within {PATIENCE_S:.0f} s"
            raise DeliveryFailed(self.name, why, permanent=False) from None

    def _body(self, notice: Notice) -> str:
        body = notice.body[:LONGEST_BODY]
        return f"{body}\n{self._base}{notice.path}" if self._base and notice.path else body


def checked(field: str, given: str, stored: Sequence[str], allowed: Sequence[Network] = ()) -> str:
    """The address to store: the stored one where it comes back masked, else a new one that can be
    sent to. The value is not repeated."""
    address = addresses.stored_address(field, given, stored)
    if address is not None:
        return address
    wrong = addresses.unfit(given, allowed)
    if not wrong:
        with watched(()):  # nothing is sent yet
            if _relay(given) is None:
                wrong = "not an address Apprise understands"
    if wrong:
        raise InputError(field, "(not shown)", wrong, addresses.EXAMPLE)
    return given


def _relay(address: str) -> Any:
    """Apprise with this one address; None where it does not understand it."""
    asset = apprise.AppriseAsset(
        async_mode=False,
        http_redirects=False,
        pem_autogen=False,
        pgp_autogen=False,
        service_timeout=0,  # ours: Apprise's own waits in one pool, which a few servers can fill
    )
    service = apprise.Apprise.instantiate(address, asset=asset, suppress_exceptions=True)
    if service is None:
        return None
    relay = apprise.Apprise(asset=asset)
    relay.add(service)
    return relay
