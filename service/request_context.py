"""What an endpoint or a page is handed: the store, the settings, one instant, and once-only."""

import logging
import os
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from functools import cached_property
from threading import BoundedSemaphore
from typing import Annotated, Any

from fastapi import Depends, Path, Request
from sqlmodel import Session

from models.errors import InputError, WeatherUnavailable
from models.records import IdempotencyKey
from models.records.fields import LARGEST_KEY
from service import preference
from service.actions.people.sign_in import Attempts
from service.actions.shop import jobs
from service.actions.weather.refresh_forecasts import refresh_forecast
from service.actions.windows.project_pour import project_pour
from service.actions.windows.try_plan import Bases
from service.queries.rows import find_shop, stored_answer
from service.settings import Settings
from service.store import TROUBLE, Store, trouble
from service.weather.provider import Provider
from service.who_may import ASKER, TROUBLED, Asker
from service.words import Reader

log = logging.getLogger("castclock.request")
LONGEST_KEY = 200
# One for each core: more at once would only be slower, and each holds some 50 MB.
PROJECTING = BoundedSemaphore(os.cpu_count() or 1)
TURN_S = 1.0


class KeyReused(InputError):
    """The key of one request came with another."""


@dataclass(frozen=True)
class Answer:
    """What was answered; `repeated` when it was given before."""

    status: int
    body: Any
    repeated: bool = False


@dataclass(frozen=True)
class RequestKey:
    """The idempotency key of a request, None where it has none, and what was asked with it."""

    key: str | None
    request_hash: str

    def stored(self, session: Session) -> Answer | None:
        """The answer that was given before; InputError where it was to another request."""
        if self.key is None:
            return None
        if (
            not 0 < len(self.key) <= LONGEST_KEY
            or not self.key.isprintable()
            or not self.key.isascii()
        ):
            allowed = f"1 to {LONGEST_KEY} printable characters"
            raise InputError("Idempotency-Key", self.key, "empty or unfit", allowed)
        stored = stored_answer(session, self.key)
        if stored is None:
            return None
        if stored.request_hash != self.request_hash:
            wrong = "was used for another request"
            raise KeyReused("Idempotency-Key", self.key, wrong, "a new key for a new request")
        return Answer(stored.status, stored.answer, repeated=True)


def utc_now() -> datetime:
    return datetime.now(UTC)


@dataclass(frozen=True)
class AppState:
    """What the root puts together once; kept in `app.state.castclock`."""

    settings: Settings
    store: Store
    weather: Provider
    clock: Callable[[], datetime] = utc_now
    bases: Bases = field(default_factory=Bases)
    attempts: Attempts = field(default_factory=Attempts)


@dataclass(frozen=True)
class RequestContext:
    """One request. `now` is read once and handed to every action.

    with context.store.reading() as session: ...        to look
    with context.store.unit_of_work() as session: ...   to write; commits at the end
    context.recompute(pour_id)                       after a write that moves a pour's windows
    """

    settings: Settings
    store: Store
    weather: Provider
    now: datetime
    cookie: str | None = None  # the choice of this browser
    accepted: str = ""  # its Accept-Language
    bases: Bases = field(default_factory=Bases)  # of the what-ifs, kept between requests
    asker: Asker = field(default_factory=Asker)

    def reader(self, timezone: str = "", placed_at: datetime | None = None) -> Reader:
        """Who reads this answer: what this browser chose, else the shop's setting, else its region.

        timezone : of the place that is spoken of; hours are the shop's, and where the place has
            another clock its own stand beside them
        placed_at : of the pour that is spoken of, whose hours are told as fine as its age deserves
        """
        found = self._reader
        elsewhere = timezone if timezone != found.timezone else ""
        return replace(found, elsewhere=elsewhere, placed_at=placed_at)

    @cached_property
    def _reader(self) -> Reader:
        with self.store.reading() as session:
            shop = find_shop(session)
        told = preference.of_shop(shop, self.now)
        return preference.of_browser(told, self.cookie, self.accepted, shop.feed_token)

    def once(self, request_key: RequestKey, status: int, work: Callable[[Session], Any]) -> Answer:
        """Do `work` and keep its answer in one transaction, or give the kept answer again."""
        with self.store.unit_of_work() as session:
            stored = request_key.stored(session)
            if stored is not None:
                return stored
            body = work(session)
            if request_key.key is not None:
                values = {"status": status, "answer": body, "created_at": self.now}
                session.add(IdempotencyKey(**vars(request_key), **values))
            return Answer(status, body)

    def recompute(self, pour_id: int) -> None:
        """What cannot be projected stays stored; why is written into the clock's row. Where the
        database has trouble meanwhile, or others are projecting as much as this machine can, the
        clock projects it later: it is due already."""
        if not PROJECTING.acquire(timeout=TURN_S):
            return
        try:
            project_pour(self.store, self.now, pour_id)
        except TROUBLE as error:
            if not trouble(error):
                raise
        except InputError as error:
            self._write_failure(pour_id, str(error))
        except Exception as error:  # what was written stays written, and its answer is given
            log.exception("pour %s was not projected", pour_id)
            self._write_failure(pour_id, f"{type(error).__name__}: {error}")
        finally:
            PROJECTING.release()

    def fetch_weather(self, place_id: int) -> None:
        """The forecast of a place that has just been made; the clock tries again when it fails."""
        try:
            refresh_forecast(self.store, self.now, place_id, self.weather)
        except WeatherUnavailable:
            return  # written down with its reason, which the page shows
        except TROUBLE as error:
            if not trouble(error):
                raise  # else what was sent is stored, and the forecast is due

    def _write_failure(self, pour_id: int, why: str) -> None:
        with self.store.unit_of_work() as session:
            job = jobs.projection_due(session, self.now, pour_id)
            jobs.failed(job, self.now, why)
            session.add(job)


def request_context(request: Request) -> RequestContext:
    """The dependency: `context: ContextDep`. Raises the trouble that hid who asks."""
    if TROUBLED in request.scope:
        raise request.scope[TROUBLED]
    castclock: AppState = request.app.state.castclock
    return RequestContext(
        castclock.settings,
        castclock.store,
        castclock.weather,
        castclock.clock(),
        request.cookies.get(preference.COOKIE),
        request.headers.get("accept-language", ""),
        castclock.bases,
        request.scope.get(ASKER, Asker()),
    )


ContextDep = Annotated[RequestContext, Depends(request_context)]
Key = Annotated[int, Path(ge=1, le=LARGEST_KEY)]
