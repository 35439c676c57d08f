"""A pour that was logged without signal into a mould that still holds one: it waits and asks."""

from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from playwright.sync_api import Page, expect

from models.records import Mould, Pour, StepDone
from service.store import Store
from tests.support.rows import newest, only, rows
from tests.support.shop import HOUR, Hands

pytestmark = pytest.mark.browser


def test_a_pour_into_a_mould_that_still_holds_one_waits_for_an_answer_and_is_stored_with_it(
    phone: Callable[..., Page], store: Store, hands: Hands, pour_id: int
) -> None:
    hands.now = datetime.now(UTC)  # a phone sends its own hour
    page = phone()
    page.goto("/pour")
    page.wait_for_function("() => localStorage.getItem('castclock.ahead')")
    page.get_by_text("Another time, temperatures").click()
    page.get_by_label("Note").fill("the small one")
    page.context.set_offline(True)
    tapped = datetime.now(UTC)
    page.get_by_role("button", name="Poured").click()
    expect(page.locator("#signal")).to_contain_text("Kept on this phone")
    page.context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(page.locator("#waits")).to_contain_text("1 entry needs you")
    assert [row.id for row in rows(store, Pour)] == [pour_id]
    page.locator("#waits a").click()
    asked = page.locator("[data-held]")
    expect(asked).to_contain_text("Waits for your answer")
    expect(asked).to_contain_text(f"Bench mould still holds North bench #{pour_id}")
    asked.get_by_role("button", name="It was stripped").click()
    expect(page.get_by_text("Nothing waits")).to_be_visible()
    second = newest(store, Pour)
    (strip,) = rows(store, StepDone)
    assert (strip.pour_id, strip.at) == (pour_id, second.placed_at)
    assert second.mould_id == only(store, Mould).id
    assert second.note == "the small one"
    assert abs(second.placed_at - tapped) < HOUR / 12
