"""Signing in and out: a new secret each time, and no more tries than a person needs."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from threading import Lock

from sqlmodel import Session, col, delete

from models.errors import InputError
from models.records import Person, SignIn
from service import secret
from service.queries import people
from service.queries.rows import find

FREE_TRIES = 5
FIRST_PAUSE = timedelta(seconds=15)  # then twice as long after each further failure
LONGEST_PAUSE = timedelta(minutes=15)
MOST_KEPT = 10_000


class TooMany(InputError):
    """Tried too often; `wait` says how long to wait."""

    def __init__(self, wait: timedelta) -> None:
        self.wait = wait
        minutes = -(-wait // timedelta(minutes=1))
        words = "a minute" if minutes == 1 else f"{minutes} minutes"
        super().__init__("password", "(hidden)", "tried too often", f"it again in {words}")


@dataclass
class Attempts:
    """Failures by account and by address, in this process alone: a restart forgives."""

    _failed: dict[str, tuple[int, datetime]] = field(default_factory=dict)
    _lock: Lock = field(default_factory=Lock)

    def check(self, now: datetime, *keys: str) -> None:
        """Raises TooMany while one of them has to wait."""
        with self._lock:
            waits = [self._wait(key, now) for key in keys]
        if max(waits, default=timedelta(0)) > timedelta(0):
            raise TooMany(max(waits))

    def failed(self, now: datetime, *keys: str) -> None:
        with self._lock:
            if len(self._failed) > MOST_KEPT:
                oldest = sorted(self._failed, key=lambda key: self._failed[key][1])
                for key in oldest[: MOST_KEPT // 2]:
                    del self._failed[key]
            for key in keys:
                count, last = self._failed.get(key, (0, now))
                forgiven = now - last > 4 * LONGEST_PAUSE
                self._failed[key] = (1 if forgiven else count + 1, now)

    def succeeded(self, *keys: str) -> None:
        with self._lock:
            for key in keys:
                self._failed.pop(key, None)

    def _wait(self, key: str, now: datetime) -> timedelta:
        count, last = self._failed.get(key, (0, now))
        if count < FREE_TRIES:
            return timedelta(0)
        pause: timedelta = min(FIRST_PAUSE * int(2 ** min(count - FREE_TRIES, 10)), LONGEST_PAUSE)
        return last + pause - now


def by_password(
    session: Session, now: datetime, attempts: Attempts, name: str, password: str, address: str
) -> Person:
    """Who it is. One sentence for a wrong name and a wrong password, in the same time."""
    keys = (f"name {name.strip().lower()[:60]}", f"address {address}")
    attempts.check(now, *keys)
    called = people.all_named(session, name)
    hashes: list[str | None] = [one.password_hash for one in called]
    # each is tried, and nobody's where nobody is called so: it takes as long whoever it is
    fitting = [secret.fits(password, one) for one in hashes or [None]]
    if not any(fitting):
        attempts.failed(now, *keys)
        raise InputError("password", "(hidden)", "name and password do not fit", "both anew")
    attempts.succeeded(keys[0])
    return called[fitting.index(True)]


def prove(
    session: Session, now: datetime, attempts: Attempts, person_id: int, password: str
) -> None:
    """Raises InputError where who is in does not know the password."""
    person = find(session, Person, person_id)
    key = f"name {person.name.lower()}"
    attempts.check(now, key)
    if not secret.fits(password, person.password_hash):
        attempts.failed(now, key)
        raise InputError("password", "(hidden)", "not your password", "the one you sign in with")
    attempts.succeeded(key)


def begin(session: Session, now: datetime, person_id: int, browser: str) -> str:
    """A new secret for this browser, whatever it held before (no session is ever taken over)."""
    made = secret.new()
    session.execute(delete(SignIn).where(col(SignIn.seen_at) <= now - people.SIGN_IN_LASTS))
    session.add(
        SignIn(
            created_at=now,
            person_id=person_id,
            shop_id=find(session, Person, person_id).shop_id,
            digest=secret.digest(made),
            seen_at=now,
            browser=browser[:60],
        )
    )
    return made


def end(session: Session, sign_in_id: int) -> None:
    session.execute(delete(SignIn).where(col(SignIn.id) == sign_in_id))
