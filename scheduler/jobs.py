"""Which action runs for which due row. No physics, no words; one failing row stops no other."""

import logging
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from models.errors import WeatherUnavailable
from models.records import Job
from scheduler import due
from scheduler.cores import AT_A_TIME, JOB_LEASE, Cores, in_batches, write_failure
from scheduler.held import Held
from service.actions.notices.channels import Taker, takers
from service.actions.notices.deliver_due import deliver_due, settle
from service.actions.shop import jobs
from service.actions.shop.calibrate import calibrate_all
from service.actions.shop.tidy import tidy_when_due
from service.actions.weather.refresh_forecasts import refresh_forecast
from service.actions.weather.score_forecasts import score_all
from service.actions.windows.plan_orders import EVERY, plan_orders
from service.notify.channel import Channel
from service.queries import reminders
from service.queries.jobs import due_ids
from service.queries.rows import find
from service.queries.shops import shop_ids
from service.settings import Settings
from service.store import Store, is_trouble
from service.store.shops import ALL, FIRST, within
from service.weather.provider import Provider

log = logging.getLogger("castclock.clock")


@dataclass(frozen=True)
class Rounds:
    """The clock's rounds over one store, shop by shop. `channels` makes senders of a shop's
    addresses, where they are not those of Apprise; phones come beside them."""

    settings: Settings
    store: Store
    weather: Provider
    channels: Callable[[Sequence[str]], Sequence[Channel]] | None = None
    cores: Cores | None = None

    def deliver(self, now: datetime) -> int:
        """Send every notice that is owed; how many were claimed."""
        with self.store.unit_of_work() as session:
            jobs.beat(session, now)
        return self._in_each_shop(self._deliver, now)

    def _deliver(self, now: datetime) -> int:
        lease = timedelta(seconds=self.settings.lease_s)
        with self.store.reading() as session:
            waiting = reminders.due_together(session, now, AT_A_TIME)
            told = takers(session, self.settings, self.channels) if waiting else []
        count = 0
        for together in waiting:
            held = Held(self.store, now, lease)
            held.claim(together)
            count += len(held.keys)
            with held:
                self._tell(now, told, held)
        return count

    def _tell(self, now: datetime, told: Sequence[Taker], held: Held) -> None:
        for taker, channel in [(one, way) for one in told for way in one.channels]:
            if not held.keys:
                return
            try:  # a fault over one address stops no other
                deliver_due(self.store, now, held, taker, channel)
            except Exception as error:  # its words may hold an address
                if is_trouble(error):
                    raise  # nothing more can be told; the lease ends, and it is taken up again
                kind = type(error).__name__
                log.error("reminders %s over %s: %s", held.keys, channel.name, kind)
        for reminder_id in held.keys:
            try:
                settle(self.store, now, reminder_id, told, held)
            except Exception as error:  # the lease ends, and the row is taken up again
                if is_trouble(error):
                    raise
                log.exception("reminder %s was not settled", reminder_id)

    def refresh(self, now: datetime) -> int:
        """Fetch the forecast of every place that is due; how many were claimed."""
        every = timedelta(minutes=self.settings.refresh_min)

        def work(job: Job) -> None:
            assert job.place_id is not None
            refresh_forecast(self.store, now, job.place_id, self.weather, every)

        return self._round("weather", now, every, work)

    def project(self, now: datetime) -> int:
        """Project active pours that are due, on all cores where they are many; how many."""
        every = timedelta(minutes=self.settings.project_min)
        with within(ALL), self.store.reading() as session:
            waiting = len(due_ids(session, now, "projection", every, AT_A_TIME))
        if self.cores is not None and self.cores.usable:
            if waiting == AT_A_TIME:
                return self.cores.project(now)
            self.cores.rest()
        return in_batches(self.store, every, lambda: now, at_most=waiting)

    def plan(self, now: datetime) -> int:
        """Work out the plan of the orders where it is due; how many were claimed."""

        def work(_job: Job) -> None:
            plan_orders(self.store, now)

        return self._round("plan", now, EVERY, work)

    def tidy(self, now: datetime) -> int:
        """Once a day learn what is new, and let go of what nobody will ask for again; in how many
        shops it was done."""
        return self._in_each_shop(self._tidy, now)

    def _tidy(self, now: datetime) -> int:
        with self.store.unit_of_work() as session:
            done = tidy_when_due(session, now)
        if done:
            calibrate_all(self.store, now)
            score_all(self.store, now)
        return int(done)

    def _in_each_shop(self, work: Callable[[datetime], int], now: datetime) -> int:
        with within(ALL), self.store.reading() as session:
            found = shop_ids(session) or [FIRST]
        done = 0
        for shop_id in found:
            try:
                with within(shop_id):
                    done += work(now)
            except Exception as error:  # one shop stops no other
                if len(found) == 1 or is_trouble(error):
                    raise
                log.exception("shop %s", shop_id)
        return done

    def _round(
        self, kind: str, now: datetime, every: timedelta, work: Callable[[Job], None]
    ) -> int:
        with within(ALL), self.store.reading() as session:
            waiting = due_ids(session, now, kind, every, AT_A_TIME)
        claimed, began = 0, time.monotonic()
        for job_id in waiting:
            at = now + timedelta(seconds=time.monotonic() - began)  # a lease counts from its claim
            with within(ALL), self.store.unit_of_work() as session:
                if not due.claim_job(session, job_id, at, JOB_LEASE, every):
                    continue
                job = find(session, Job, job_id)
            claimed += 1
            try:
                with within(job.shop_id):
                    work(job)
            except WeatherUnavailable as error:
                log.warning("%s: %s", job.key, error)  # the action wrote it down
            except Exception as error:  # written into the row, which is pushed ahead
                if is_trouble(error):
                    raise  # nothing is written now; the lease ends, and it is taken up again
                log.exception("%s failed", job.key)
                write_failure(self.store, job_id, now, error)
        return claimed
