"""Below a path of a host that others share: script, worker and app keep to it."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from playwright.sync_api import Page, expect

from service.settings import Settings

pytestmark = pytest.mark.browser
WORKS_BELOW = "async () => (await navigator.serviceWorker.ready).scope"
KEPT = "async (address) => Boolean(await caches.match(address))"
STARTS_AT = """async () => {
  const address = document.querySelector("link[rel=manifest]").href;
  const told = await (await fetch(address)).json();
  return [told.start_url, told.scope, ...told.shortcuts.map((one) => one.url),
    ...told.icons.map((one) => one.src)].map((one) => new URL(one, address).href);
}"""


@pytest.fixture
def settings(settings: Settings) -> Settings:
    return replace(settings, root_path="/cast")


@pytest.mark.usefixtures("bench")
def test_script_worker_and_app_keep_below_the_path(phone: Callable[..., Page], site: str) -> None:
    page = phone(worker=True)
    asked: list[str] = []
    page.on("request", lambda one: asked.append(one.url))
    page.goto("/cast/help")
    assert page.evaluate(WORKS_BELOW) == f"{site}/cast/"
    assert all(one.startswith(f"{site}/cast/") for one in page.evaluate(STARTS_AT))
    page.goto("/cast/shop/piece/new")
    box = page.locator("[data-dimension]").first
    box.fill("1 1/2 in")
    expect(box.locator("xpath=ancestor::*[@class='f']").locator("[data-echo]")).not_to_be_empty()
    page.goto("/cast/pour")
    page.wait_for_function(KEPT, arg=f"{site}/cast/pour")
    page.get_by_role("link", name="Shop", exact=True).click()
    expect(page).to_have_url(f"{site}/cast/shop")
    assert len(asked) > 10
    assert [one for one in asked if not one.startswith(f"{site}/cast/")] == []
