"""A shop with one open yard at an airport of 2013, its clock in the test's hand, its weather from
the stand-in server over a real socket, its store real and in a temporary folder.
"""

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from types import ModuleType
from typing import Any

import pytest
from sqlmodel import select

from models.records import Projection, Reminder
from scheduler.jobs import Rounds
from service.actions.log_pour import log_pour
from service.actions.set_up_shop import (
    change_shop,
    open_shop,
    save_mix,
    save_piece,
    save_place,
)
from service.nouns.pour import PourCreate
from service.queries.projections import latest
from service.settings import Settings
from service.store import Store
from service.weather.http import Caller
from service.weather.open_meteo import OpenMeteo
from tests.support.shop import Mailbox

NEW_YORK = "America/New_York"
HOUR = timedelta(hours=1)
FAR = 20 * 24 * HOUR


@pytest.fixture(scope="session")
def servers(loaded: Callable[[str], ModuleType]) -> ModuleType:
    return loaded("stand_in/open_meteo_server.py")


@dataclass
class Yard:
    """The shop of one replay; `now` moves only through `forward_to`."""

    store: Store
    rounds: Rounds
    stand_in: Any
    mailbox: Mailbox
    now: datetime
    keys: dict[str, Any]
    begin: datetime = field(init=False)

    def __post_init__(self) -> None:
        self.begin = self.now

    def pour(self, concrete_C: float) -> int:
        with self.store.unit_of_work() as session:
            return log_pour(
                session,
                self.now,
                PourCreate(placed_at=self.now, concrete_C=concrete_C, **self.keys),
            ).id

    def tick(self) -> None:
        """What the clock does whenever it looks: weather, projection, notices."""
        self.stand_in.now = self.now
        self.rounds.refresh(self.now)
        self.rounds.project(self.now)
        self.rounds.deliver(self.now)

    def forward_to(self, at: datetime) -> None:
        assert at >= self.now
        self.now = at
        self.tick()

    def until_told(self, step: str, kind: str = "opens") -> Any:
        """Let the clock run, from one thing owed to the next, until the notice was sent."""
        while self.now < self.begin + FAR:
            for notice in self.mailbox.notices:
                if notice.key.split(":")[1:3] == [step, kind]:
                    return notice
            owed = [row.due_at for row in self.reminders() if row.state == "waiting"]
            ahead = [at for at in owed if at > self.now]
            self.forward_to(min([*ahead, self.now + 6 * HOUR]))
        pytest.fail(f"nobody was told about {step} within 20 days")

    def reminders(self, step: str = "") -> list[Reminder]:
        with self.store.reading() as session:
            rows = session.exec(select(Reminder)).all()
            return [row for row in rows if not step or row.step == step]

    def projection(self, pour_id: int) -> Projection:
        with self.store.reading() as session:
            row = latest(session, pour_id)
        assert row is not None
        return row

    def window(self, pour_id: int, step: str) -> dict[str, Any]:
        (found,) = [s for s in self.projection(pour_id).answer["steps"] if s["step"] == step]
        return dict(found)


@pytest.fixture
def yard(
    store: Store, mailbox: Mailbox, record_2013: ModuleType, servers: ModuleType
) -> Iterator[Callable[..., Yard]]:
    """An open yard at a station and an instant, under a clear sky: harder by night and by day."""
    with ExitStack() as stack:

        def opened(station: str, now: datetime) -> Yard:
            now = now.astimezone(UTC)
            stand_in = stack.enter_context(servers.serving(record_2013.records(0.0), now))
            caller = Caller(sleep=lambda _: None, jitter=lambda: 1.0)
            weather = OpenMeteo(caller, stand_in.base_url)
            rounds = Rounds(Settings(), store, weather, lambda _: [mailbox])
            return Yard(store, rounds, stand_in, mailbox, now, furnished(store, now, station))

        def furnished(store: Store, now: datetime, station: str) -> dict[str, Any]:
            latitude, longitude = record_2013.position(station)
            with store.unit_of_work() as session:
                open_shop(session, now, NEW_YORK)
                change_shop(session, now, {"notice_addresses": ["json://localhost"]})
                place = {"name": "Yard", "kind": "open yard", "timezone": NEW_YORK}
                place |= {"latitude": latitude, "longitude": longitude}
                label = [{"age_h": 168.0, "MPa": 19.0}, {"age_h": 672.0, "MPa": 28.0}]
                mix = {"name": "Grey bag", "kind": "general-purpose", "label": label}
                piece = {"name": "Heron bench", "shape": "panel", "length_mm": 1500.0}
                piece |= {"width_mm": 420.0, "thickness_mm": 60.0}
                return {
                    "place_id": save_place(session, now, place).id,
                    "mix_id": save_mix(session, now, mix).id,
                    "piece_id": save_piece(session, now, piece).id,
                }

        yield opened
