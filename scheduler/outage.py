"""A database that does not answer: asked again after pauses that grow; told of when it goes, once
in a while, and when it is back. A restart of its server fills no disk with lines."""

import logging
import threading
import time
from collections.abc import Callable
from datetime import timedelta

from service import backoff
from service.store import TROUBLE, trouble

log = logging.getLogger("castclock.clock")
FIRST_PAUSE, LONGEST_PAUSE = timedelta(seconds=1), timedelta(seconds=30)
TELL_EVERY_S = 300.0


class Outage:
    """Shared by all rounds of a clock: while one pauses for the database, so do the others."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._failures = 0
        self._again = self._told = 0.0  # of the monotonic clock

    def call(self, work: Callable[[], int]) -> int:
        """What comes of a round; 0 while a pause runs, which trouble of the database begins."""
        if time.monotonic() < self._again:
            return 0
        try:
            count = work()
        except TROUBLE as error:
            if not (why := trouble(error)):
                raise
            self._begin(why)
            return 0
        self._end()
        return count

    def _begin(self, why: str) -> None:
        with self._lock:
            at = time.monotonic()
            if at < self._again:  # a round that was under way when another one failed
                return
            self._failures += 1
            pause = backoff.pause(FIRST_PAUSE, self._failures, LONGEST_PAUSE)
            self._again = at + pause.total_seconds()
            if self._failures == 1 or at - self._told >= TELL_EVERY_S:
                self._told = at
                log.warning("the database is %s; it is tried again in growing pauses", why)

    def _end(self) -> None:
        with self._lock:
            if self._failures and time.monotonic() >= self._again:
                self._failures = 0
                log.warning("the database answers again")
