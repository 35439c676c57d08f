"""Answers of weather services kept as long as their headers allow, to be asked for less often.

A copy answers until its time is up; then the service is asked whether it still holds, with the
validators it sent itself; and every six hours it is asked without conditions, whatever it said.
"""

import re
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime
from threading import Lock

from service.weather.choose import CLOCKS_APART

LONGEST = timedelta(hours=6)  # a service's mistake in its own dates lasts no longer than this
MOST_COPIES = 64
MOST_BYTES = 32_000_000
SECONDS = re.compile(r"\d{1,9}", re.ASCII)
Key = tuple[str, str, str]  # provider, address with its query, form of the answer


@dataclass(frozen=True)
class Copy:
    """A body, when it came (not when it was last confirmed), until when it need not be asked for.

    etag, last_modified : validators byte for byte as they came; empty when there is none of use
    """

    body: bytes
    came_at: datetime
    fresh_until: datetime
    etag: str = ""
    last_modified: str = ""

    @property
    def of_use(self) -> bool:
        return bool(self.etag or self.last_modified) or self.fresh_until > self.came_at

    def is_fresh(self, now: datetime) -> bool:
        """Whether it answers without the service being asked."""
        return self._counts(now) and now < self.fresh_until

    def conditions(self, now: datetime) -> dict[str, str]:
        """Request headers that ask only for something newer; none when all is to be sent anew."""
        validators = {"If-None-Match": self.etag, "If-Modified-Since": self.last_modified}
        if not self._counts(now):
            return {}
        return {name: value for name, value in validators.items() if value}

    def confirmed(self, headers: Mapping[str, str], now: datetime) -> "Copy":
        """The same body after `not modified`, with what the new headers say about it."""
        newer = copy_of(self.body, headers, now)
        return replace(
            self,
            fresh_until=newer.fresh_until,
            etag=newer.etag or self.etag,
            last_modified=newer.last_modified or self.last_modified,
        )

    def _counts(self, now: datetime) -> bool:
        """Not when it is old, and not when it comes from the future: then a clock was moved."""
        return self.came_at - CLOCKS_APART <= now < self.came_at + LONGEST


def copy_of(body: bytes, headers: Mapping[str, str], now: datetime) -> Copy:
    """What may be kept of an answer that came at `now`; `of_use` tells whether anything may."""
    directives = _directives(headers.get("Cache-Control", ""))
    if "no-store" in directives:
        return Copy(body, now, now)
    modified = headers.get("Last-Modified", "")
    modified_at = http_date(modified)
    believable = modified_at is not None and modified_at <= now + CLOCKS_APART
    return Copy(
        body,
        came_at=now,
        fresh_until=now + _lifetime(headers, directives, now),
        etag=headers.get("ETag", ""),
        last_modified=modified if believable else "",
    )


class Copies:
    """The copies of one process: those used last, within a bound. Safe between threads."""

    def __init__(self, most: int = MOST_COPIES, most_bytes: int = MOST_BYTES) -> None:
        self._most, self._most_bytes = most, most_bytes
        self._copies: OrderedDict[Key, Copy] = OrderedDict()
        self._bytes = 0
        self._lock = Lock()

    def get(self, key: Key) -> Copy | None:
        with self._lock:
            if key in self._copies:
                self._copies.move_to_end(key)
            return self._copies.get(key)

    def keep(self, key: Key, copy: Copy) -> None:
        """Put it in the place of the earlier one; one of no use only takes the earlier one away."""
        with self._lock:
            self._drop(key)
            if not copy.of_use:
                return
            self._copies[key] = copy
            self._bytes += len(copy.body)
            while len(self._copies) > self._most or self._bytes > self._most_bytes:
                self._drop(next(iter(self._copies)))

    def forget(self, provider: str) -> None:
        """Nothing of a service is kept: what could not be used must not come from here again."""
        with self._lock:
            for key in [key for key in self._copies if key[0] == provider]:
                self._drop(key)

    def _drop(self, key: Key) -> None:
        earlier = self._copies.pop(key, None)
        self._bytes -= len(earlier.body) if earlier else 0


def http_date(text: str) -> datetime | None:
    """An instant of an HTTP header; None for what is none, as ISO 8601."""
    try:
        at = parsedate_to_datetime(text)
    except (ValueError, OverflowError):
        return None
    return at.replace(tzinfo=UTC) if at.tzinfo is None else at


def _directives(header: str) -> dict[str, str]:
    parts = (part.strip().lower().partition("=") for part in header.split(","))
    return {name: value.strip('"') for name, _, value in parts if name}


def _lifetime(
    headers: Mapping[str, str], directives: Mapping[str, str], now: datetime
) -> timedelta:
    """How long an answer may be used unasked; by the service's own clock where it tells it.

    Source: RFC 9111 4.2, for a private cache.
    """
    if "no-cache" in directives:
        return timedelta(0)
    age = headers.get("Age", "")
    spent = timedelta(seconds=int(age)) if SECONDS.fullmatch(age) else timedelta(0)
    until = http_date(headers.get("Expires", ""))
    if SECONDS.fullmatch(directives.get("max-age", "")):
        life = timedelta(seconds=int(directives["max-age"]))
    elif until is not None and "max-age" not in directives:
        life = until - (http_date(headers.get("Date", "")) or now)
    else:
        return timedelta(0)
    return min(max(life - spent, timedelta(0)), LONGEST)
