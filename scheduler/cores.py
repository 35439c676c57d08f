"""Projections in batches, one process for each core while many pours are due.

Each process claims its own batches, so that nothing waits for the slowest of them, and several
servers over one database share the work in the same way.
"""

import logging
import multiprocessing
import os
import signal
import threading
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from datetime import datetime, timedelta

from models.records import Job
from scheduler import due
from service.actions.shop import jobs
from service.actions.windows.project_pour import project_pours
from service.settings import Settings
from service.store import Store, is_trouble
from service.store.shops import ALL, within

log = logging.getLogger("castclock.clock")
AT_A_TIME = 50  # so many are due: it is worth to start the other processes
BATCH = 8  # pours of one commit: enough to share their reading, few enough to lock out nobody
ROUND = timedelta(seconds=30)  # then the clock looks at what else there is
JOB_LEASE = timedelta(minutes=5)


class Cores:
    """The processes; they are started when many pours are due, and let go when few are."""

    def __init__(self, settings: Settings) -> None:
        self._settings = settings
        self._count = settings.cores or len(os.sched_getaffinity(0))
        self._pool: ProcessPoolExecutor | None = None
        self.usable = True  # until one of them dies: then the clock's own process does it all

    def project(self, now: datetime) -> int:
        """Project what is due, at most for the length of a round; how many were claimed."""
        work = (self._settings.database_url, self._settings.project_min, now)
        try:
            if self._pool is None:
                spawn = multiprocessing.get_context("spawn")
                self._pool = ProcessPoolExecutor(self._count, spawn, initializer=_leave_with_parent)
            return sum([*self._pool.map(_project, *([one] * self._count for one in work))])
        except (BrokenProcessPool, OSError) as error:
            self._pool, was, self.usable = None, self.usable, False
            if was:  # what it had claimed is free again when its lease ends
                log.error("pours are projected in one process from now on: %s", error)
            return 0

    def rest(self) -> None:
        """Give their memory back."""
        if self._pool is not None:
            self._pool.shutdown()
            self._pool = None

    def stop(self) -> None:
        """End them at once; what they had claimed is free again when its lease ends."""
        self.usable = False
        if self._pool is not None:
            for process in multiprocessing.active_children():
                process.terminate()


def in_batches(
    store: Store, every: timedelta, now: Callable[[], datetime], at_most: int | None = None
) -> int:
    """Claim, project and keep one batch after the other, at most for the length of a round or so
    many pours; how many were claimed."""
    begin, count = now(), 0
    while (at := now()) < begin + ROUND and (left := _least(BATCH, at_most, count)) > 0:
        with within(ALL), store.unit_of_work() as session:
            claimed = due.claim_pours(session, at, JOB_LEASE, every, left)
        if not claimed:
            break
        for shop_id, pours in claimed.items():
            count += len(pours)
            with within(shop_id):
                wrong = project_pours(store, at, list(pours), every)
            for pour_id, error in wrong.items():
                if is_trouble(error):
                    raise error  # nothing is written now; the lease ends, and it is taken up again
                log.error("projection:%s failed", pour_id, exc_info=error)
                write_failure(store, pours[pour_id], at, error)
    return count


def write_failure(store: Store, job_id: int, now: datetime, error: Exception) -> None:
    """Written into the row, which is pushed ahead."""
    with within(ALL), store.unit_of_work() as session:
        job = session.get(Job, job_id)
        if job is not None:
            jobs.failed(job, now, f"{type(error).__name__}: {error}")
            session.add(job)


def _least(batch: int, at_most: int | None, count: int) -> int:
    return batch if at_most is None else min(batch, at_most - count)


def _project(database_url: str, project_min: float, now: datetime) -> int:
    """The work of one process; its clock goes on from what it was told."""
    began, store = time.monotonic(), Store(database_url)
    try:
        return in_batches(
            store,
            timedelta(minutes=project_min),
            lambda: now + timedelta(seconds=time.monotonic() - began),
        )
    finally:
        store.close()


def _leave_with_parent() -> None:
    """Its process alone hears the keyboard, and when that is gone nobody asks for this one."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    assert parent is not None

    def leave() -> None:
        parent.join()
        os._exit(1)

    threading.Thread(target=leave, daemon=True).start()
