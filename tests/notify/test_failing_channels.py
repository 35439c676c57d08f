"""What does not arrive is seen: on Today, on the settings, in /readyz; and tried again there."""

from datetime import datetime, timedelta

import pytest
from starlette.testclient import TestClient

from models.errors import DeliveryFailed
from models.records import Delivery, Reminder, Shop
from scheduler.jobs import Rounds
from service.actions.shop.set_up_shop import change_shop
from service.actions.windows.project_pour import project_pour
from service.notify.relay import Relay
from service.store import Store
from tests.support.phone import Phone
from tests.support.rows import rows
from tests.support.shop import Hands, Mailbox, Windows

HOUR = timedelta(hours=1)
pytestmark = pytest.mark.filterwarnings("ignore:'imghdr' is deprecated:DeprecationWarning")


@pytest.fixture
def due_at(
    client: TestClient,
    store: Store,
    mailbox: Mailbox,
    pour_id: int,
    windows: Windows,
    now: datetime,
    hands: Hands,
    rounds: Rounds,
) -> datetime:
    """A window that opened, and whose notice the only address of the shop refused."""
    assert client
    at = now + 15 * HOUR
    windows.say("strip", "not yet", at)
    project_pour(store, now, pour_id)
    project_pour(store, at - HOUR / 2, pour_id)
    mailbox.name = Relay(rows(store, Shop)[0].notice_addresses[0]).name
    mailbox.refuse = DeliveryFailed(mailbox.name, "no such mailbox", permanent=True)
    rounds.deliver(at)
    hands.now = at + timedelta(minutes=1)
    return hands.now


def test_a_channel_that_fails_is_told_after_one_round_and_the_pages_stay_of_use(
    client: TestClient, due_at: datetime
) -> None:
    assert due_at
    today = Phone(client).open("/")
    assert "no such mailbox" in today.text
    assert "/shop/settings#reminders" in today.links
    ready = client.get("/readyz").json()
    (name,) = ready["failing_channels"]
    assert name == "json"
    assert ready["notices_go_out"] is True


def test_what_reached_nobody_is_tried_again_and_then_nothing_is_red(
    client: TestClient, store: Store, rounds: Rounds, mailbox: Mailbox, due_at: datetime
) -> None:
    assert rows(store, Reminder)[0].state == "failed"
    phone = Phone(client)
    mailbox.refuse = None
    page = phone.send(phone.open("/shop/settings").form("/settings/retry"))
    assert "1 reminder going out again" in page.text
    rounds.deliver(due_at + timedelta(seconds=20))
    assert len(mailbox.notices) == 1
    assert rows(store, Reminder)[0].state == "sent"
    assert "no such mailbox" not in phone.open("/").text
    assert client.get("/readyz").json()["failing_channels"] == []


def test_a_test_that_arrives_shows_that_a_channel_is_well_again(
    client: TestClient, store: Store, due_at: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert due_at
    monkeypatch.setattr(Relay, "send", lambda *_: None)
    phone = Phone(client)
    phone.send(phone.open("/shop/settings").form("/settings/test"))
    assert [one.outcome for one in rows(store, Delivery)] == ["refused", "sent"]
    assert client.get("/readyz").json()["failing_channels"] == []


def test_an_address_that_was_removed_fails_no_more(
    client: TestClient, store: Store, due_at: datetime
) -> None:
    with store.unit_of_work() as session:
        change_shop(session, due_at, {"notice_addresses": []})
    assert client.get("/readyz").json()["failing_channels"] == []


def test_what_is_no_longer_true_is_not_tried_again(
    client: TestClient, store: Store, hands: Hands, due_at: datetime
) -> None:
    phone = Phone(client)
    hands.now = due_at + timedelta(days=4)
    page = phone.send(phone.open("/shop/settings").form("/settings/retry"))
    assert "0 reminders" in page.text
    assert rows(store, Reminder)[0].state == "failed"
