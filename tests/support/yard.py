"""A shop of one yard, replayed: its clock in the test's hand, its weather from the stand-in."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta

import pytest
from sqlmodel import select

from models.records import Projection, Reminder
from scheduler.jobs import Rounds
from service.actions.pours.log_pour import log_pour
from service.notify.channel import Notice
from service.nouns.pour import PourCreate
from service.queries.projections import latest
from service.store import Store
from tests.stand_in.open_meteo_server import StandIn
from tests.support.raw import JsonDict
from tests.support.shop import Mailbox

HOUR = timedelta(hours=1)
FAR = 20 * 24 * HOUR


@dataclass(frozen=True)
class Keys:
    """What a pour in the yard is of."""

    place_id: int
    mix_id: int
    piece_id: int


@dataclass
class Yard:
    """The shop of one replay; `now` moves only through `forward_to`."""

    store: Store
    rounds: Rounds
    stand_in: StandIn
    mailbox: Mailbox
    now: datetime
    keys: Keys
    begin: datetime = field(init=False)

    def __post_init__(self) -> None:
        self.begin = self.now

    def pour(self, concrete_C: float) -> int:
        with self.store.unit_of_work() as session:
            return log_pour(
                session,
                self.now,
                PourCreate(
                    placed_at=self.now,
                    concrete_C=concrete_C,
                    place_id=self.keys.place_id,
                    mix_id=self.keys.mix_id,
                    piece_id=self.keys.piece_id,
                ),
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

    def until_told(self, step: str, kind: str = "opens") -> Notice:
        """Let the clock run, from one thing owed to the next, until the notice was sent."""
        while self.now < self.begin + FAR:
            for notice in self.mailbox.notices:
                if any(key.split(":")[1:3] == [step, kind] for key in notice.key.split("+")):
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

    def window(self, pour_id: int, step: str) -> JsonDict:
        (found,) = [s for s in self.projection(pour_id).answer["steps"] if s["step"] == step]
        return dict(found)
