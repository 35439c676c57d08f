"""Whoever runs a server sees each of its shops, and its clock leaves none waiting for another."""

import json
from datetime import datetime, timedelta

from sqlmodel import select

from models.records import Job, MouldFault, Place, StrengthTest
from scheduler.cores import AT_A_TIME
from scheduler.jobs import Rounds
from service.actions.shop import jobs
from service.actions.shop.examine import examined
from service.settings import Settings
from service.store import Store
from service.store.shops import within
from tests.support.command import castclock
from tests.support.shop import Mailbox, Sky
from tests.support.two_shops import Shops

HOUR = timedelta(hours=1)
FIRST, SECOND = "Quarrel yard", "Zephyr yard"


def test_what_is_wrong_in_a_further_shop_is_seen_and_named(
    any_store: Store, any_shops: Shops, now: datetime
) -> None:
    del any_shops
    with within(2), any_store.unit_of_work() as session:
        session.exec(select(MouldFault)).one().sha256 = "0" * 64
    found = [one for one in examined(any_store, Settings(), now) if one.check == "pictures"]
    assert [(one.shop, one.well) for one in found] == [(FIRST, True), (SECOND, False)]


def test_each_line_of_several_shops_names_its_own(settings: Settings, shops: Shops) -> None:
    """The clock, the disk and what else is of the server stand there once."""
    del shops
    told = json.loads(castclock("doctor", "--data", settings.data, "--json").out)["checks"]
    of_shop = [(one["check"], one["shop"]) for one in told if "shop" in one]
    each = ("windows", "notices", "weather", "channels", "pictures")
    assert of_shop == [(check, name) for name in (FIRST, SECOND) for check in each]
    assert len({one["check"] for one in told}) == len(told) - len(each)
    printed = castclock("doctor", "--data", settings.data).out
    assert printed.count(f"{SECOND}: ") == len(each)


def test_honesty_is_of_the_shop_that_is_named(
    settings: Settings, store: Store, shops: Shops
) -> None:
    del shops
    with within(2), store.unit_of_work() as session:
        session.delete(session.exec(select(StrengthTest)).one())

    def pours(*of: str) -> int:
        said = castclock("honesty", "--data", settings.data, "--json", *of)
        return int(json.loads(said.out)["pours"])

    assert (pours(), pours("--shop", SECOND)) == (1, 0)
    wrong = castclock("honesty", "--data", settings.data, "--shop", "Nobody")
    assert wrong.code == 2
    assert SECOND in wrong.err


def test_a_shop_with_many_places_leaves_the_others_their_weather(
    any_store: Store, any_shops: Shops, settings: Settings, now: datetime
) -> None:
    del any_shops
    for shop_id, places, late_h in ((2, AT_A_TIME + 10, 2), (1, 2, 1)):
        with within(shop_id), any_store.unit_of_work() as session:
            rows = [
                Place(created_at=now, name=f"Yard {k}", kind="covered", latitude=44, longitude=-92)
                for k in range(places)
            ]
            session.add_all(rows)
            session.flush()
            for row in rows:
                job = jobs.forecast_due(session, now, row.id)
                job.due_at = now - late_h * HOUR
                session.add(job)
    rounds = Rounds(settings, any_store, Sky(), lambda _: [Mailbox()])
    rounds.refresh(now)
    with within(1), any_store.reading() as session:
        waiting = select(Job).where(Job.kind == "weather", Job.due_at <= now)
        assert session.exec(waiting).all() == []
