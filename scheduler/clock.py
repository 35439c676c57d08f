"""APScheduler as a timer only: it wakes, calls, sleeps, and remembers nothing."""

import sys
import threading
import time
from collections.abc import Callable
from datetime import datetime
from typing import Any

from apscheduler.executors.base import BaseExecutor, run_job
from apscheduler.schedulers.background import BackgroundScheduler

from scheduler.cores import AT_A_TIME
from scheduler.jobs import Rounds
from scheduler.outage import Outage
from service import machine, metrics
from service.request_context import utc_now

REFRESH_INTERVAL_S = 60.0
PROJECT_INTERVAL_S = 30.0
PLAN_INTERVAL_S = 2.0  # somebody waits before its page
TIDY_INTERVAL_S = 3600.0
CLOCK_CHECK_INTERVAL_S = 10.0  # how often it is seen whether the machine's clock was set back
STOP_S = 3.0  # how long rounds under way are waited for


class Clock:
    """Started and stopped by the root; several may run over one store."""

    def __init__(self, rounds: Rounds, now: Callable[[], datetime] = utc_now) -> None:
        self._now = now
        self._executor = _ThreadExecutor()
        self._stopped = threading.Event()
        self._outage = Outage()
        self._timer = BackgroundScheduler(
            timezone="UTC",
            executors={"default": self._executor},
            job_defaults={
                "misfire_grace_time": None,  # late is better than never
                "coalesce": True,
                "max_instances": 1,
            },
        )
        for work, every_s in (
            (rounds.deliver, rounds.settings.tick_s),
            (rounds.project, PROJECT_INTERVAL_S),
            (rounds.refresh, REFRESH_INTERVAL_S),
            (rounds.plan, PLAN_INTERVAL_S),
            (rounds.tidy, TIDY_INTERVAL_S),
        ):
            self._timer.add_job(
                self._call,
                "interval",
                args=(work,),
                seconds=every_s,
                id=work.__name__,
                next_run_time=utc_now(),  # the timer's own time, not the shop's
            )

    def start(self) -> None:
        self._timer.start()
        threading.Thread(target=self._watch, daemon=True).start()

    def stop(self) -> None:
        """Let the rounds that run finish, but not for long: what hangs ends with the process, and
        what it had claimed is free again when its lease ends."""
        self._stopped.set()
        self._timer.shutdown(wait=False)
        self._executor.wait(STOP_S)

    def _call(self, work: Callable[[datetime], int]) -> None:
        while self._outage.call(lambda: _counted(work, self._now())) >= AT_A_TIME:
            if self._stopped.is_set():  # there may be more: nobody waits for the next turn
                return

    def _watch(self) -> None:
        while not self._stopped.wait(CLOCK_CHECK_INTERVAL_S):
            self._reschedule_after_clock_step()
            machine.give_back()

    def _reschedule_after_clock_step(self) -> None:
        """A round further off than its interval was set by a clock that was ahead: due now."""
        now = utc_now()
        for job in self._timer.get_jobs():
            if job.next_run_time is not None and job.next_run_time - now > job.trigger.interval:
                job.modify(next_run_time=now)


def _counted(work: Callable[[datetime], int], now: datetime) -> int:
    name, began = work.__name__, time.perf_counter()
    try:
        done = work(now)
    except Exception:
        metrics.ROUNDS_FAILED.labels(name).inc()
        raise
    finally:
        metrics.ROUNDS.labels(name).inc()
        metrics.ROUND_SECONDS.labels(name).inc(time.perf_counter() - began)
    metrics.WORKED.labels(name).inc(done)
    return done


class _ThreadExecutor(BaseExecutor):  # type: ignore[misc]
    """Each call in a thread that dies with the process, so that one that hangs cannot hold it."""

    def __init__(self) -> None:
        super().__init__()
        self._threads: list[threading.Thread] = []

    def wait(self, seconds: float) -> None:
        until = time.monotonic() + seconds
        for thread in list(self._threads):
            thread.join(max(until - time.monotonic(), 0.0))

    def _do_submit_job(self, job: Any, run_times: Any) -> None:
        def call() -> None:
            try:
                events = run_job(job, job._jobstore_alias, run_times, self._logger.name)
            except BaseException:  # noqa: BLE001  the timer writes it down and goes on
                self._run_job_error(job.id, *sys.exc_info()[1:])
            else:
                self._run_job_success(job.id, events)

        self._threads = [thread for thread in self._threads if thread.is_alive()]
        self._threads.append(threading.Thread(target=call, daemon=True, name=job.id))
        self._threads[-1].start()
