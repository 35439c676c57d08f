"""A keyboard and nothing else: all stops are seen and in order; a pour and a step are done."""

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.support.shown import american

pytestmark = pytest.mark.browser
PAGES = ("/", "/pours/2", "/pours/4", "/pour?piece=2", "/tonight", "/shop/settings")
MOST_STOPS = 200

# where the focus is: what it is on, whether its frame is drawn and its middle is in sight
STOP = """() => {
  const one = document.activeElement, label = one.closest('label');
  if (one === document.body) return null;
  const framed = [one, label].some(each => each && getComputedStyle(each).outlineStyle === 'solid'
    && parseFloat(getComputedStyle(each).outlineWidth) >= 2);
  const box = [...one.getClientRects()].find(each => each.width) || one.getBoundingClientRect();
  const hit = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
  const open = hit && (one.contains(hit) || hit.contains(one) || (label && label.contains(hit)));
  return {
    place: [...document.querySelectorAll('*')].indexOf(one), framed, open: Boolean(open),
    name: one.ariaLabel || (label || one).innerText || one.name || '',
    told: one.outerHTML.slice(0, 100) }; }"""
# all that can be worked, a group of radio buttons as one
WORKED = """() => { const groups = new Set();
  return [...document.querySelectorAll(
    'a[href], button, summary, input:not([type=hidden]), select, textarea, [tabindex="0"]')]
  .filter(one => one.checkVisibility({visibilityProperty: true}))
  .filter(one => one.type !== 'radio' || !groups.has(one.name) && groups.add(one.name)).length; }"""


def stops(page: Page) -> Iterator[dict[str, Any]]:
    """Each place that the Tab key reaches, to the end of the page or until it begins anew; the
    hours and minutes within one field as one."""
    first, last = None, None
    for _ in range(MOST_STOPS):
        page.keyboard.press("Tab")
        stop = page.evaluate(STOP)
        if stop is None or stop["place"] == first:
            return
        if stop["place"] != last:
            yield stop
        first, last = first or stop["place"], stop["place"]
    raise AssertionError("the Tab key never leaves the page")


def press(page: Page, key: str) -> None:
    """A key that leads to another page."""
    with page.expect_navigation():
        page.keyboard.press(key)


def tab_to(page: Page, name: str) -> None:
    """To the next place of this name, as it is read out."""
    seen = []
    for stop in stops(page):
        seen.append(stop["name"].strip())
        if seen[-1].startswith(name):
            return
    raise AssertionError(f"no {name!r} among {seen}")


def test_every_stop_is_seen_uncovered_and_in_the_order_of_the_page(
    chromium: Browser, evening: str
) -> None:
    with american(chromium, evening) as page:
        for path in PAGES:
            page.goto(path)
            page.wait_for_load_state("networkidle")
            found = list(stops(page))
            for stop in found:
                assert stop["framed"], f"{path}: no frame about {stop['told']}"
                assert stop["open"], f"{path}: covered is {stop['told']}"
            places = [stop["place"] for stop in found]
            assert places == sorted(set(places)), path
            assert len(found) == page.evaluate(WORKED), f"{path} has what Tab leaves out"


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_a_pour_is_logged_and_a_step_marked_by_keys(
    chromium: Browser, evening: str, script: bool
) -> None:
    with american(chromium, evening, java_script_enabled=script) as page:
        page.goto("/")
        tab_to(page, "Done: Strip")
        press(page, "Enter")
        tab_to(page, "now")
        page.keyboard.press("ArrowRight")
        expect(page.get_by_label("half an hour ago")).to_be_checked()
        tab_to(page, "Done: Strip")
        press(page, "Space")
        expect(page.locator(".said")).to_contain_text("Done: strip")

        tab_to(page, "Pour")
        press(page, "Enter")
        tab_to(page, "Salt counter")
        press(page, "Enter")
        tab_to(page, "now")
        page.keyboard.press("ArrowRight")
        tab_to(page, "Change the mix")
        page.keyboard.press("Space")
        tab_to(page, "film")
        page.keyboard.press("ArrowRight")
        chosen = page.locator("[name=cover]:checked").evaluate(
            "one => one.closest('label').innerText"
        )
        tab_to(page, "Poured")
        press(page, "Enter")
        expect(page.locator(".said")).to_contain_text("Pour logged")
        expect(page.locator("#covers")).to_contain_text(chosen.strip().capitalize())
