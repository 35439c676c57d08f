"""Notices held while they are told, so that no other clock takes them up as long as this one lives:
a lease counts from its own claim, and is renewed until all is settled, however slow a sink is."""

import threading
import time
from collections.abc import Sequence
from datetime import datetime, timedelta
from types import TracebackType

from sqlmodel import Session

from scheduler import due
from service.queries import reminders
from service.store import TROUBLE, Store, shops

RENEWALS = 3  # a lease: one that is missed leaves time for the next


class Held:
    """What this round has claimed: one that was frozen for longer than a lease finds it taken, and
    lets go.

    now : of the round; later instants are told by how long it has run
    """

    def __init__(self, store: Store, now: datetime, lease: timedelta) -> None:
        self._store, self._now, self._lease = store, now, lease
        self._shop = shops.now_within()  # a thread begins in none
        self._began, self._ended = time.monotonic(), threading.Event()
        # Read and written in a writer's turn only: no lock of its own.
        self._until: dict[int, datetime] = {}
        self._renewer = threading.Thread(target=self._renew, daemon=True, name="lease")

    def claim(self, waiting: Sequence[int]) -> None:
        """Take each that nobody holds, one at a time, so that a rival is held up by none."""
        for key in waiting:
            with self._store.unit_of_work() as session:
                session.connection()  # waits for the writer's turn, and no lease runs meanwhile
                at = self._moment()
                if due.claim_reminder(session, key, at, self._lease):
                    self._until[key] = at + self._lease

    def renewed(self, session: Session) -> list[int]:
        """What is still ours, from now on for another lease."""
        session.connection()  # waits for the writer's turn: what is read below is as it left it
        until = self._moment() + self._lease
        for key, before in self._until.copy().items():
            if due.renew_reminder(session, key, before, until):
                self._until[key] = until
            else:
                del self._until[key]
        return self.keys

    def is_ours(self, session: Session, reminder_id: int) -> bool:
        """Whether nobody has claimed it since; in the writer's turn nobody can meanwhile."""
        session.connection()
        until = self._until.get(reminder_id)
        return until is not None and reminders.is_held(session, reminder_id, until)

    @property
    def keys(self) -> list[int]:
        """Ours as far as was seen."""
        return list(self._until.copy())

    def __enter__(self) -> "Held":
        if self._until:
            self._renewer.start()
        return self

    def __exit__(
        self,
        _kind: type[BaseException] | None,
        _error: BaseException | None,
        _trace: TracebackType | None,
    ) -> None:
        self._ended.set()

    def _moment(self) -> datetime:
        return self._now + timedelta(seconds=time.monotonic() - self._began)

    def _renew(self) -> None:
        while not self._ended.wait(self._lease.total_seconds() / RENEWALS):
            try:
                with shops.within(self._shop), self._store.unit_of_work() as session:
                    if not self._ended.is_set():
                        self.renewed(session)
            except TROUBLE:  # the next try may reach it; else the lease ends and a rival goes on
                continue
