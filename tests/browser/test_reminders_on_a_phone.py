"""A phone asks for reminders and shows them: its own browser, its own worker.

Debian's Chromium asks no push service, so that its answer alone stands in for it here; what the
worker does is done by it."""

import json
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from models.records import PushSubscription, Reminder
from service.actions.windows.project_pour import project_pour
from service.notify import push
from service.notify.channel import Button, Notice
from service.store import Store
from tests.support.push_service import Browser
from tests.support.rows import rows
from tests.support.shop import Windows

pytestmark = pytest.mark.browser
HOUR = timedelta(hours=1)
SUBSCRIBE = """PushManager.prototype.subscribe = async (asked) => {
  if (!asked.userVisibleOnly || asked.applicationServerKey.length !== 65) throw new Error("unfit");
  const { endpoint, ...keys } = %s;
  return { toJSON: () => ({ endpoint, keys, expirationTime: null }) };
};"""
SHOWN = """async ({ many, body }) => {
  const registration = await navigator.serviceWorker.ready;
  for (let looked = 0; looked < 300; looked += 1) {
    const all = await registration.getNotifications();
    if (all.length === many && all.some((one) => one.body === body)) {
      return all.map(({ title, body, actions }) => (
        { title, body, actions: actions.map((one) => one.action) }));
    }
    await new Promise((on) => setTimeout(on, 100));
  }
  return [];
}"""  # wait_for_function takes a promise for an answer, without waiting for it


def test_it_asks_shows_what_arrives_and_a_later_one_takes_its_place(
    phone: Callable[..., Page],
    store: Store,
    site: str,
    pour_id: int,
    windows: Windows,
    now: datetime,
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR)
    project_pour(store, now, pour_id)
    page = phone(worker=True)
    page.context.grant_permissions(["notifications"], origin=site)
    given = Browser("https://push.example/send/one").given
    page.add_init_script(SUBSCRIBE % json.dumps(given))
    page.goto("/me/phone")
    page.get_by_role("button", name="Reminders on this phone").click()
    expect(page.get_by_text("Send a test to see one")).to_be_visible()
    (kept,) = rows(store, PushSubscription)
    assert (kept.endpoint, kept.address) == (given["endpoint"], site)

    deliver = delivers(page, site)
    (reminder,) = rows(store, Reminder)
    later = Button(
        "later", "In an hour", f"/pours/{pour_id}", f"/api/v1/reminders/{reminder.id}/later"
    )
    for body in ("cover it by 9 pm", "cover it by 8 pm"):
        notice = Notice(
            "1", "North bench", body, now, f"/pours/{pour_id}", "1:frost", buttons=(later,)
        )
        deliver(push.payload(notice, site))
        shown = page.evaluate(SHOWN, {"many": 1, "body": body})
        assert shown == [{"title": "North bench", "body": body, "actions": ["later"]}]
    deliver("not json")  # whatever comes, something is shown: else the browser takes the right away
    assert len(page.evaluate(SHOWN, {"many": 2, "body": "cover it by 8 pm"})) == 2


def delivers(page: Page, site: str) -> Callable[[str], None]:
    """Hands a push to the worker, as the browser does."""
    session = page.context.new_cdp_session(page)
    registered: list[dict[str, Any]] = []
    session.on(
        "ServiceWorker.workerRegistrationUpdated",
        lambda told: registered.extend(told["registrations"]),
    )
    session.send("ServiceWorker.enable")
    page.evaluate("navigator.serviceWorker.ready.then(() => null)")
    page.wait_for_timeout(0)

    def deliver(data: str) -> None:
        ours = next(one for one in registered if one["scopeURL"].startswith(site))
        session.send(
            "ServiceWorker.deliverPushMessage",
            {"origin": site, "registrationId": ours["registrationId"], "data": data},
        )

    return deliver
