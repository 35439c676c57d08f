"""The one place that speaks HTTP to weather services: time limits, size limit, retries, manners.

What a service lets us keep is kept in `copies.py` and not asked for before its time.

What goes wrong within one attempt, and what leaves here:

    Exception
      x _Failed                 no further attempt: refused, moved, a flood
          + _FailedForNow       another attempt: too slow, cut off, busy, not JSON
      x WeatherUnavailable      all that others ever see (models.errors)
          retry_after_s         seconds until asking again is of use; None: never
          kind                  the service's own code of the problem, as in `Refusal`
"""

import json
import logging
import math
import random
import re
import time
import zlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property
from importlib.metadata import version
from typing import Any

import httpx

from models.errors import InputError, WeatherUnavailable
from service.weather.copies import Copies, Copy, copy_of, http_date
from service.weather.deadline import Line, cut_off_after

WAITS_S = (1.0, 3.0, 9.0)  # before the second, third and fourth attempt
LONGEST_WAIT_S = 30.0  # a longer wait asked for is the clock's business, not ours
WAITING_BUDGET_S = 45.0  # of one refresh
LATER_S = 900.0  # when a service stayed down through all attempts
LONGEST_LATER_S = 86400.0
REDIRECTS = 3
NOT_MODIFIED = 304
NOT_THEIR_LATEST = 203  # a version that will be withdrawn, or changed by a proxy on the way
WORTH_ANOTHER_TRY = frozenset({408, 429})  # and every 5xx


@dataclass(frozen=True)
class Refusal:
    """An error answer as its service means it.

    retry_after_s : when to come back [s]; None: never
    kind : the service's own code of the problem, where it has such codes
    """

    reason: str
    retry_after_s: float | None
    kind: str = ""

    def by(self, provider: str) -> WeatherUnavailable:
        return WeatherUnavailable(provider, self.reason, self.retry_after_s, self.kind)


Explain = Callable[[int, bytes, datetime], Refusal]
log = logging.getLogger("castclock.weather")


@dataclass
class Patience:
    """What is left of the time and of the pauses of one errand, be it one question or several.

    ends : on the clock of time.monotonic [s]; pauses_s : before the further attempts, in order
    """

    ends: float
    pauses_s: list[float]

    @property
    def left_s(self) -> float:
        return self.ends - time.monotonic()

    def anew(self) -> "Patience":
        """The same end, and every pause again."""
        return Patience(self.ends, list(WAITS_S))


class _Failed(Exception):
    """An attempt without a good answer that is not made again.

    refusal : its retry_after_s is when the clock may ask again; None: asking again is no use
    """

    def __init__(self, reason: str, later_s: float | None = None, kind: str = "") -> None:
        self.refusal = Refusal(reason, later_s, kind)
        super().__init__(reason)


class _FailedForNow(_Failed):
    """One that is made again after a pause; `retry_after_s` is the one the service asks for."""


@dataclass(frozen=True)
class Caller:
    """How we call: who we are, how long we wait, how much we read.

    contact : e-mail or address of whoever runs this shop, for the services' operators
    """

    contact: str = ""
    connect_s: float = 5.0
    read_s: float = 10.0
    whole_s: float = 60.0  # one question, from its first connection to the end of its last retry
    body_limit: int = 10_000_000
    sleep: Callable[[float], None] = time.sleep
    jitter: Callable[[], float] = lambda: random.uniform(0.7, 1.3)
    copies: Copies = field(default_factory=Copies, compare=False)

    def __post_init__(self) -> None:
        if not re.fullmatch(r"[\x20-\x7e]{0,200}", self.contact):
            allowed = "an e-mail or web address, up to 200 plain characters"
            raise InputError("contact", self.contact, "cannot stand in a header line", allowed)

    @cached_property
    def user_agent(self) -> str:
        name = f"castclock/{version('castclock')}"
        return f"{name} ({self.contact})" if self.contact else name

    def patience(
        self, whole_s: float | None = None, pauses_s: Sequence[float] = WAITS_S
    ) -> Patience:
        """For an errand that begins now."""
        whole_s = self.whole_s if whole_s is None else whole_s
        return Patience(time.monotonic() + whole_s, list(pauses_s))

    def get_copy(
        self,
        provider: str,
        url: str,
        parameters: Mapping[str, str],
        now: datetime,
        explain: Explain,
        accept: str = "application/json",
        patience: Patience | None = None,
    ) -> Copy:
        """A good answer, known to be JSON, and when it came; WeatherUnavailable in the end."""
        address = httpx.URL(url, params=parameters)
        key = (provider, str(address), accept)
        cached = self.copies.get(key)
        if cached is not None and cached.is_fresh(now):
            return cached
        limits = httpx.Timeout(self.read_s, connect=self.connect_s)
        # what we did not ask for need not be unpacked, and nothing is packed twice
        headers = {"User-Agent": self.user_agent, "Accept": accept, "Accept-Encoding": "gzip"}
        if cached is not None:
            headers |= cached.conditions(now)

        def attempt(line: Line) -> Copy:
            with httpx.Client(timeout=limits, headers=headers, follow_redirects=False) as client:
                return self._attempt(client, address, now, explain, cached, line)

        copy = self._insisted(provider, attempt, patience or self.patience())
        self.copies.keep(key, copy)
        return copy

    def _insisted(self, provider: str, attempt: Callable[[Line], Copy], patience: Patience) -> Copy:
        """The first good answer of several attempts, with pauses between them."""
        waited_s = 0.0
        while True:
            left_s = patience.left_s
            try:
                copy = cut_off_after(left_s, attempt)
                if copy is not None:
                    return copy
                raise _FailedForNow(f"answer not complete after {max(left_s, 0.0):.2g} s")
            except _FailedForNow as error:
                refusal = error.refusal
            except _Failed as error:
                raise error.refusal.by(provider) from None
            own_s = patience.pauses_s.pop(0) * self.jitter() if patience.pauses_s else math.inf
            pause_s = max(own_s, refusal.retry_after_s or 0.0)
            longest_s = min(LONGEST_WAIT_S, WAITING_BUDGET_S - waited_s)
            if pause_s > longest_s or pause_s >= patience.left_s:
                later_s = LATER_S if refusal.retry_after_s is None else refusal.retry_after_s
                raise replace(refusal, retry_after_s=later_s).by(provider)
            waited_s += pause_s
            self.sleep(pause_s)

    def _attempt(
        self,
        client: httpx.Client,
        url: httpx.URL,
        now: datetime,
        explain: Explain,
        cached: Copy | None,
        line: Line,
    ) -> Copy:
        try:
            for _ in range(REDIRECTS + 1):
                with client.stream("GET", url, extensions={"trace": line.note}) as response:
                    if response.has_redirect_location:
                        target = url.join(response.headers["Location"])
                        if not _same_service(url, target):
                            raise _Failed(f"sent us on to another host ({target.host})")
                        url = target
                        continue
                    body = self._body(response)
                    if response.status_code == NOT_THEIR_LATEST:
                        log.warning("%s: status 203: a version that will be withdrawn", url.host)
                    return _judged(response, body, now, explain, cached)
            raise _Failed(f"sent us on more than {REDIRECTS} times", LATER_S)
        except httpx.TimeoutException:
            raise _FailedForNow("no answer in time") from None
        except (httpx.TransportError, httpx.DecodingError) as error:
            log.info("%s: %s: %s", url.host, type(error).__name__, _plain(str(error)))
            raise _FailedForNow(_in_words(error)) from None
        except httpx.InvalidURL as error:
            raise _Failed(f"sent us on to an address that is none ({error})") from None

    def _body(self, response: httpx.Response) -> bytes:
        """Read and unpacked in pieces, so that no flood is ever held whole."""
        packed = response.headers.get("Content-Encoding", "").strip().lower()
        if "," in packed:
            raise _Failed(f"answer packed more than once ({_plain(packed)})", LATER_S)
        pieces = response.iter_raw()  # as they come: a chunk size would wait for whole chunks
        read = bytearray()
        try:
            for piece in _unpacked(pieces, self.body_limit) if packed == "gzip" else pieces:
                read += piece
                if len(read) > self.body_limit:
                    raise _Failed(f"answer longer than {self.body_limit} bytes", LATER_S)
        except (zlib.error, EOFError) as error:
            wrong = f"answer cannot be unpacked ({_plain(str(error))})"
            raise _FailedForNow(wrong) from None
        return bytes(read)


def _unpacked(pieces: Iterator[bytes], most: int) -> Iterator[bytes]:
    """The content of gzip, never more than a little over `most` bytes at once."""
    unpack = zlib.decompressobj(zlib.MAX_WBITS | 16)
    for piece in pieces:
        yield unpack.decompress(piece, most + 1)
        while unpack.unconsumed_tail:
            yield unpack.decompress(unpack.unconsumed_tail, most + 1)
    if not unpack.eof:
        raise EOFError("it is cut short")


def checked_address(field: str, address: str) -> str:
    """A base address from the settings, without its closing slash."""
    allowed = "an http or https address, as https://weather.example"
    try:
        url = httpx.URL(address)
    except httpx.InvalidURL as error:
        raise InputError(field, address, f"not an address ({error})", allowed) from None
    named = re.fullmatch(r"[\w.:-]+", url.host)
    if url.query:
        wrong = (
            "a base address has no query; a key has a setting of its own (CASTCLOCK_OPEN_METEO_KEY)"
        )
        raise InputError(field, address.partition("?")[0] + "?...", wrong, allowed)
    if url.scheme not in ("http", "https") or not named or url.fragment:
        raise InputError(field, address, "not the base address of a service", allowed)
    return address.rstrip("/")


def _same_service(url: httpx.URL, target: httpx.URL) -> bool:
    if target.host != url.host:
        return False
    secured = target.scheme == "https" and target.port is None
    return secured or (target.scheme, target.port) == (url.scheme, url.port)


def _judged(
    response: httpx.Response, body: bytes, now: datetime, explain: Explain, cached: Copy | None
) -> Copy:
    status = response.status_code
    if status == NOT_MODIFIED:
        if cached is not None and cached.conditions(now):
            return cached.confirmed(response.headers, now)
        raise _FailedForNow("said that nothing is new, which was not asked")
    if response.is_success:
        try:
            read_json(body)
        except ValueError:
            raise _FailedForNow(f"status {status} with a body that is not JSON") from None
        return copy_of(body, response.headers, now)
    meant = explain(status, body, now)
    reason = f"status {status}: {_plain(meant.reason)}" if meant.reason else f"status {status}"
    if status not in WORTH_ANOTHER_TRY and status < 500:
        raise _Failed(reason, meant.retry_after_s, meant.kind)
    wait_s = retry_after(response.headers.get("Retry-After", ""), now)
    raise _FailedForNow(reason, meant.retry_after_s if wait_s is None else wait_s, meant.kind)


def read_json(body: bytes) -> Any:
    """What a body holds; ValueError for what is no JSON, or is nested without end."""
    try:
        return json.loads(body)
    except RecursionError:
        raise ValueError("nested too deep") from None


def retry_after(header: str, now: datetime) -> float | None:
    """Seconds that a Retry-After header asks for, as a number or as a date; None: no use."""
    text = header.strip()
    if re.fullmatch(r"\d{1,9}", text, re.ASCII):
        return min(float(text), LONGEST_LATER_S)
    until = http_date(text)
    if until is None:
        return None
    return min(max((until - now).total_seconds(), 0.0), LONGEST_LATER_S)


def _in_words(error: httpx.TransportError | httpx.DecodingError) -> str:
    """For whoever reads a page; what the library calls it is logged."""
    if isinstance(error, httpx.ConnectError):
        return "it could not be reached"
    if isinstance(error, httpx.DecodingError):
        return "its answer could not be unpacked"
    return "the connection broke off"


def _plain(text: str) -> str:
    """Words of a stranger made fit for a line of ours."""
    return " ".join(re.sub(r"[^\x20-\x7e]+", " ", text).split())[:200]
