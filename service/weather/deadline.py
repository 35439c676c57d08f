"""An end to whatever an attempt at a service takes, however it holds out: a drip of header bytes
renews every time limit of a socket, and looking up a name has none.
"""

import socket
from collections.abc import Callable
from concurrent.futures import Future
from contextlib import suppress
from threading import Lock, Thread
from typing import Any, TypeVar

T = TypeVar("T")


class Line:
    """The connections of one attempt; `note` is told of each by the HTTP client (its "trace")."""

    def __init__(self) -> None:
        self._sockets: list[socket.socket] = []
        self._cut = False
        self._lock = Lock()

    def note(self, event: str, details: dict[str, Any]) -> None:
        done = event.endswith(("tcp.complete", "tls.complete"))
        stream = details.get("return_value") if done else None
        found = stream.get_extra_info("socket") if stream is not None else None
        if isinstance(found, socket.socket):
            with self._lock:
                self._sockets.append(found)
                if self._cut:
                    _shut(found)

    def cut(self) -> None:
        """Whoever reads from it finds its end, now or as soon as it is connected."""
        with self._lock:
            self._cut = True
            for one in self._sockets:
                _shut(one)


def cut_off_after(left_s: float, attempt: Callable[[Line], T]) -> T | None:
    """What the attempt gives or raises; None when it takes longer, and then its line is cut.

    The attempt has a thread of its own, which ends with its line or with the name server's answer.
    """
    line, outcome = Line(), Future[T]()

    def work() -> None:
        try:
            outcome.set_result(attempt(line))
        except BaseException as error:  # noqa: BLE001  raised again where somebody waits for it
            outcome.set_exception(error)

    Thread(target=work, name="weather attempt", daemon=True).start()
    try:
        return outcome.result(timeout=max(left_s, 0.0))
    except TimeoutError:
        if outcome.done():
            raise
        line.cut()
        return None


def _shut(one: socket.socket) -> None:
    with suppress(OSError):
        socket.socket.shutdown(one, socket.SHUT_RDWR)  # of the plain socket, also under TLS
