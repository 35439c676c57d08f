"""Connections from outside: how many at once, and how long one may hold its place without asking.

Each connection is a file of the process, and a machine may give it no more than 256 of them; who
opens many and asks nothing must not keep out who asks. So a place is lost to a newcomer by whoever
has waited longest with no request under way, and after a while without any newcomer too.
"""

import logging
import resource
import socket
import time
from asyncio import AbstractEventLoop, TimerHandle, Transport
from contextlib import suppress
from dataclasses import dataclass
from math import inf
from typing import Any

from uvicorn import Config
from uvicorn.protocols.http.h11_impl import H11Protocol

from service.middleware import LARGEST_HEAD

HEAD_S = 15.0  # for all of a request before its body; a phone at the end of the yard needs some
ANSWER_S = 300.0  # for all of an answer once it waits for its reader; 8 MB over a slow line
MOST_LEAVING = 16  # cut a moment ago and not closed yet
LEAVING_S = 1.0
MOST = 1000
FEWEST = 16
# files that are no connections from outside: database and its log for each thread, weather, notices
SPARE = 128
WANTED_FILES = 4096  # of those the system allows; some give 256 to who does not ask
LIKE_IT = 5  # lines of one kind a minute
MINUTE_S = 60.0


def room() -> int:
    """Connections there is room for, after as many files as allowed are asked for."""
    files, allowed = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = WANTED_FILES if allowed == resource.RLIM_INFINITY else min(WANTED_FILES, allowed)
    if files != resource.RLIM_INFINITY and files < wanted:
        with suppress(ValueError, OSError):  # a system may hold it below what it tells
            resource.setrlimit(resource.RLIMIT_NOFILE, (wanted, allowed))
            files = wanted
    if files == resource.RLIM_INFINITY:
        return MOST
    return max(FEWEST, min(MOST, files - SPARE))


@dataclass
class Place:
    """One connection; waits_since : with no request under way; cut_at : it is about to be free"""

    line: socket.socket
    waits_since: float | None
    cut_at: float = -inf


class Door(socket.socket):
    """A listening socket that keeps within its room. asyncio takes connections by `accept`, many
    before the first of them is seen by anyone else, so that it is here that they are counted."""

    def __init__(self, listening: socket.socket, most: int) -> None:
        super().__init__(fileno=listening.detach())
        self._most = most
        self._places: dict[int, Place] = {}

    def accept(self) -> tuple[socket.socket, Any]:
        """As of any socket; BlockingIOError, on which asyncio comes again, for want of room."""
        now = time.monotonic()
        self._places = {fd: one for fd, one in self._places.items() if one.line.fileno() == fd}
        leaving = sum(now - one.cut_at < LEAVING_S for one in self._places.values())
        if leaving >= MOST_LEAVING:
            raise BlockingIOError
        line, address = super().accept()
        if len(self._places) - leaving >= self._most and not self._made_room(now):
            line.close()  # all are served: whoever comes may come again
            raise BlockingIOError
        self._places[line.fileno()] = Place(line, now)
        return line, address

    def served(self, fd: int) -> None:
        if fd in self._places:
            self._places[fd].waits_since = None

    def waits(self, fd: int) -> None:
        if fd in self._places:
            self._places[fd].waits_since = time.monotonic()

    def _made_room(self, now: float) -> bool:
        waiting = [
            one
            for one in self._places.values()
            if one.waits_since is not None and one.cut_at == -inf
        ]
        if not waiting:
            return False
        longest = min(waiting, key=lambda one: one.waits_since or now)
        longest.cut_at = now
        with suppress(OSError):
            longest.line.shutdown(socket.SHUT_RDWR)  # its reader finds the end, also under TLS
        return True

    def protocol(self, **given: Any) -> "Patient":
        """What uvicorn makes for each connection."""
        return Patient(self, **given)


class Patient(H11Protocol):
    """A connection that waits so long for the head of a request, and for its answer to be read, and
    no longer, however either drips."""

    def __init__(self, door: Door, **given: Any) -> None:
        super().__init__(**given)
        self._door, self._fd = door, -1
        self._patience: TimerHandle | None = None
        self._unread: TimerHandle | None = None

    def connection_made(self, transport: Transport) -> None:  # type: ignore[override]
        super().connection_made(transport)
        self._fd = transport.get_extra_info("socket").fileno()
        self._look()

    def data_received(self, data: bytes) -> None:
        super().data_received(data)
        self._look()

    def on_response_complete(self) -> None:
        super().on_response_complete()
        self._look()

    def pause_writing(self) -> None:
        """More is written than the other side has read."""
        super().pause_writing()
        self._look()

    def resume_writing(self) -> None:
        super().resume_writing()
        self._look()

    def connection_lost(self, exc: Exception | None) -> None:
        self._patience = self._calmed(self._patience)
        self._unread = self._calmed(self._unread)
        super().connection_lost(exc)

    def _look(self) -> None:
        """Whether a request or its answer is under way, after what may have begun or ended one."""
        loop: AbstractEventLoop = self.loop
        unread = self.flow is not None and self.flow.write_paused
        if unread or (self.cycle is not None and not self.cycle.response_complete):
            self._patience = self._calmed(self._patience)
            self._door.served(self._fd)
            if unread and self._unread is None:
                self._unread = loop.call_later(ANSWER_S, self.transport.abort)
        elif self._patience is None:
            self._unread = self._calmed(self._unread)
            self._door.waits(self._fd)
            self._patience = loop.call_later(HEAD_S, self.transport.abort)

    @staticmethod
    def _calmed(timer: TimerHandle | None) -> None:
        if timer is not None:
            timer.cancel()


class Seldom(logging.Filter):
    """Lets a few lines of one kind through each minute, and says how many it kept back."""

    def __init__(self) -> None:
        super().__init__()
        self._seen: dict[tuple[str, str], tuple[float, int]] = {}

    def filter(self, record: logging.LogRecord) -> bool:
        kind, now = (record.name, str(record.msg)), time.monotonic()
        began, count = self._seen.get(kind, (now, 0))
        if now - began >= MINUTE_S:
            if count > LIKE_IT:
                record.msg = f"{record.msg} ({count - LIKE_IT} more like it before)"
            began, count = now, 0
        self._seen[kind] = (began, count + 1)
        return count < LIKE_IT


def config(door: Door, app: Any, **told: Any) -> Config:
    """Of a server behind this door."""
    made = Config(
        app,
        http=door.protocol,  # type: ignore[arg-type]  # called as the class it asks for
        loop="asyncio",  # another takes connections without asking the door
        ws="none",
        log_level="warning",
        server_header=False,
        h11_max_incomplete_event_size=LARGEST_HEAD,
        **told,
    )
    for name in ("uvicorn.error", "asyncio"):
        logger = logging.getLogger(name)
        if not any(isinstance(one, Seldom) for one in logger.filters):
            logger.addFilter(Seldom())
    return made
