"""APScheduler as a timer only: it wakes, calls, sleeps, and remembers nothing."""

from collections.abc import Callable
from datetime import datetime

from apscheduler.schedulers.background import BackgroundScheduler

from scheduler.jobs import Rounds
from service.door import utc_now

WEATHER_LOOK_S = 60.0
PROJECTION_LOOK_S = 30.0
TIDY_LOOK_S = 3600.0


class Clock:
    """Started and stopped by the root; several may run over one store."""

    def __init__(self, rounds: Rounds, now: Callable[[], datetime] = utc_now) -> None:
        self._now = now
        self._timer = BackgroundScheduler(
            timezone="UTC",
            job_defaults={
                "misfire_grace_time": None,  # late is better than never
                "coalesce": True,
                "max_instances": 1,
            },
        )
        for work, every_s in (
            (rounds.deliver, rounds.settings.tick_s),
            (rounds.project, PROJECTION_LOOK_S),
            (rounds.refresh, WEATHER_LOOK_S),
            (rounds.tidy, TIDY_LOOK_S),
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

    def stop(self) -> None:
        """Let the rounds that run finish, then stop."""
        self._timer.shutdown(wait=True)

    def _call(self, work: Callable[[datetime], int]) -> None:
        work(self._now())
