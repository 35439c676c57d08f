"""An invented shop of five pieces in the weather of 2013: what its owner is told, day by day.

Forecasts are those of tests/support/frost_air.py: the record with measured errors of temperature,
a new one every six hours; rain and its hours are foretold as they came, so that false alarms of
rain are fewer than in life. The owner does a step when told that it is open, lays a blanket when
told of frost, and weighs down or covers when told of wind or rain. A helper, who acts on nothing,
is told by other hours.
"""

import tempfile
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from models.air.series import AirSeries
from models.errors import Conflict, InputError
from models.records import Person
from models.units import Array
from scheduler.jobs import Rounds
from service.actions.people import notices
from service.actions.pours.change_protection import put_on
from service.actions.pours.log_pour import log_pour
from service.actions.pours.mark_step_done import mark_step_done
from service.actions.shop.set_up_shop import (
    change_shop,
    open_shop,
    save_mix,
    save_piece,
    save_place,
)
from service.notify.channel import Notice
from service.nouns.cover import ProtectionCreate
from service.nouns.pour import PourCreate
from service.settings import Settings
from service.store import Store
from tests.replays import record_2013
from tests.support.frost_air import cloud_by_swing, told_of

OWNER, HELPER = "json://localhost", "json://helper"
EARLY_BIRD = {"quiet_from": time(20), "quiet_to": time(5), "notice_lead_min": 60}
STATION, ZONE = "EWR", ZoneInfo("America/New_York")
HOUR, DAY = timedelta(hours=1), timedelta(days=1)
PIECES = {
    "Bench": (1500.0, 420.0, 60.0),
    "Table top": (1400.0, 700.0, 45.0),
    "Shelf": (900.0, 300.0, 40.0),
    "Hearth": (1200.0, 500.0, 70.0),
    "Stool": (400.0, 400.0, 50.0),
}
WINDOWS = ("opens", "closes")
WEATHER = ("frost", "rain", "wind", "fumes", "frozen")
FROST_C, WET_MM, BLOWS_M_S = 0.0, 0.2, 5.5  # an alarm that saw none of it was false
COVERS, LIES_FOR = {"frost": "blanket", "rain": "film"}, 15 * HOUR
AFTER = DAY  # within which it had to come


@dataclass(frozen=True)
class About:
    """One of the things that a notice is about."""

    pour_id: int
    step: str
    kind: str

    @property
    def is_alarm(self) -> bool:
        return self.step in WEATHER and self.kind != "correction"


@dataclass(frozen=True)
class Told:
    """One notice as it came."""

    at: datetime
    about: tuple[About, ...]
    title: str
    quiet: tuple[int, int] = (22, 7)  # hours of whoever was told

    @property
    def step(self) -> str:
        return self.about[0].step

    @property
    def is_alarm(self) -> bool:
        return self.about[0].is_alarm

    @property
    def day(self) -> date:
        return self.at.astimezone(ZONE).date()

    @property
    def night(self) -> date | None:
        """The evening of the night in which it came, by the quiet hours of whoever was told."""
        local = self.at.astimezone(ZONE)
        if local.hour >= self.quiet[0]:
            return local.date()
        return (local - DAY).date() if local.hour < self.quiet[1] else None


@dataclass
class Season:
    """What one person was told, and the weather that came; `helper` is what another was."""

    came: AirSeries
    told: list[Told] = field(default_factory=list)
    helper: "Season | None" = None

    def a_day(self) -> Counter[date]:
        """Notices that are no alarms."""
        return Counter(one.day for one in self.told if not one.is_alarm)

    def a_night(self) -> Counter[date]:
        return Counter(one.night for one in self.told if one.is_alarm and one.night is not None)

    @property
    def alarms(self) -> list[Told]:
        return [one for one in self.told if one.is_alarm]

    def was_false(self, alarm: Told) -> bool:
        """Nothing of what it warned of came within a day; what may kill is never false."""
        rows = slice(*(int(self.came.hour_of(at)) for at in (alarm.at, alarm.at + AFTER)))
        if alarm.step == "frost":
            return bool(self.came.air_C[rows].min() > FROST_C)
        if alarm.step == "rain":
            return bool(self.came.rain_mm[rows].max() < WET_MM)
        return alarm.step == "wind" and bool(self.came.wind_m_s[rows].max() < BLOWS_M_S)


def weather(begin: datetime, end: datetime) -> AirSeries:
    """The record without gaps, its cloud by the swing of the day."""
    found = record_2013.series_2013(STATION, begin, end)
    hours = np.arange(found.hours)

    def whole(values: Array) -> Array:
        known = np.isfinite(values)
        return np.asarray(np.interp(hours, hours[known], values[known]))

    air_C, rain_mm = whole(found.air_C), np.nan_to_num(found.rain_mm)
    return replace(
        found,
        air_C=air_C,
        dew_point_C=np.minimum(whole(found.dew_point_C), air_C),
        wind_m_s=whole(found.wind_m_s),
        rain_mm=rain_mm,
        cloud_fraction=cloud_by_swing(air_C, rain_mm),
    )


@dataclass
class Foretold:
    """A weather service that knows the record, and errs as forecasts do."""

    came: AirSeries
    seed: int
    name: str = "forecasts of the record of 2013"
    attribution: str = "none"

    def forecast(
        self, _latitude: float, _longitude: float, now: datetime, _altitude_m: float | None = None
    ) -> AirSeries:
        asked = now.replace(minute=0, second=0, microsecond=0)
        run = int(asked.timestamp() // (6 * 3600))  # one error a run
        random = np.random.default_rng((self.seed, run))
        told = told_of(random, self.came, self.came.cloud_fraction, asked)
        return replace(told, source=self.name)


@dataclass
class Inbox:
    name: str = "inbox"
    notices: list[Notice] = field(default_factory=list)

    def send(self, notice: Notice) -> None:
        self.notices.append(notice)


@contextmanager
def _shop(begin: datetime) -> Iterator[tuple[Store, int, int, list[int]]]:
    latitude, longitude = record_2013.position(STATION)
    with tempfile.TemporaryDirectory(prefix="castclock-season-") as folder:
        store = Store(f"sqlite:///{Path(folder) / 'shop.sqlite3'}")
        store.upgrade()
        with store.unit_of_work() as session:
            open_shop(session, begin, ZONE.key)
            change_shop(session, begin, {"notice_addresses": [OWNER]})
            helper = Person(created_at=begin, name="Helper", role="helper", password_hash="none")
            session.add(helper)
            session.flush()
            notices.choose(session, helper.id, {"notice_addresses": [HELPER], **EARLY_BIRD})
            place: dict[str, Any] = {"name": "Yard", "kind": "open yard", "timezone": ZONE.key}
            place |= {"latitude": latitude, "longitude": longitude}
            label = [{"age_h": 168.0, "MPa": 19.0}, {"age_h": 672.0, "MPa": 28.0}]
            mix = {"name": "Grey bag", "kind": "general-purpose", "label": label}
            place_id = save_place(session, begin, place).id
            mix_id = save_mix(session, begin, mix).id
            pieces = [
                save_piece(
                    session,
                    begin,
                    _panel(name, sizes),
                ).id
                for name, sizes in PIECES.items()
            ]
        yield store, place_id, mix_id, pieces
        store.close()


def _panel(name: str, sizes: tuple[float, float, float]) -> dict[str, Any]:
    length_mm, width_mm, thickness_mm = sizes
    sides = {"length_mm": length_mm, "width_mm": width_mm, "thickness_mm": thickness_mm}
    return {"name": name, "shape": "panel", **sides}


def season(
    begin: datetime, days: float, pieces: int = len(PIECES), every: timedelta = HOUR, seed: int = 1
) -> Season:
    """A pour a day from `begin` on, each looked after until the end."""
    end = begin + timedelta(days=days)
    came = weather(begin - 3 * DAY, end + 12 * DAY)
    found, inbox, theirs = Season(came, helper=Season(came)), Inbox(), Inbox("theirs")
    boxes = {OWNER: inbox, HELPER: theirs}
    with _shop(begin) as (store, place_id, mix_id, piece_ids):
        rounds = Rounds(
            Settings(), store, Foretold(came, seed), lambda to: [boxes[one] for one in to]
        )
        now, waiting = begin.astimezone(UTC), list(enumerate(piece_ids[:pieces]))
        while now < end:
            if waiting and now >= begin + waiting[0][0] * DAY:
                body = PourCreate(
                    placed_at=now,
                    concrete_C=16.0,
                    place_id=place_id,
                    mix_id=mix_id,
                    piece_id=waiting.pop(0)[1],
                )
                with store.unit_of_work() as session:
                    log_pour(session, now, body)
            for work in (rounds.refresh, rounds.project, rounds.deliver):
                work(now)
            for notice in inbox.notices:
                told = _told(now, notice)
                found.told.append(told)
                for about in told.about:
                    _act(store, now, about)
            if found.helper is not None:
                found.helper.told += [
                    replace(_told(now, notice), quiet=(20, 5)) for notice in theirs.notices
                ]
            for one in boxes.values():
                one.notices.clear()
            now += every
    return found


def _told(now: datetime, notice: Notice) -> Told:
    about = []
    for key in notice.key.split("+"):
        pour_id, step, kind = key.split(":")[:3]
        about.append(About(int(pour_id), step, kind))
    return Told(now, tuple(about), notice.title)


def _act(store: Store, now: datetime, about: About) -> None:
    """What the owner does about it; what is refused was done already, or may not be."""
    with suppress(Conflict, InputError), store.unit_of_work() as session:
        if about.kind in WINDOWS:
            mark_step_done(session, now, about.pour_id, about.step, now)
        elif about.is_alarm and about.step in COVERS:
            cover = ProtectionCreate(kind=COVERS[about.step], from_at=now, to_at=now + LIES_FOR)
            put_on(session, now, about.pour_id, cover)
