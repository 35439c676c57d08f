"""Every page of the invented shop, for whoever reads it: axe-core, large text, names, headings."""

import re
import shutil
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import pairwise
from typing import Any, Literal

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.support.shown import HEIGHT, MORE, PAGES, american
from tests.support.thorough import some

pytestmark = pytest.mark.browser
ALL_RULES = {"rules": {"target-size": {"enabled": True}}}
OF_LOOKS = {"runOnly": ["color-contrast", "target-size", "scrollable-region-focusable"]}
MORE_ROWS = {"exclude": [["[data-hours] tr:nth-child(n + 5)"]]}  # of a table whose rows are alike
# files and feeds, what is not there, and what goes on to the next page at once
NO_PAGE = (
    "/static",
    "/api",
    "/calendar",
    "/nowhere",
    "/week/wait",
    "/authority/castclock.crt",
)

OPEN_ALL = "document.querySelectorAll('details').forEach(one => { one.open = true })"
HREFS = "[...document.querySelectorAll('a[href^=\"/\"]')].map(one => one.getAttribute('href'))"
LEADS = """[...document.querySelectorAll('main a')]
  .map(one => [one.textContent.trim(), one.href.baseVal ?? one.href])"""
HEADINGS = """[...document.querySelectorAll('h1,h2,h3,h4')]
  .filter(one => one.checkVisibility()).map(one => +one.tagName[1])"""
MOVING = """[...document.querySelectorAll('*')].filter(one => {
  const css = getComputedStyle(one);
  return css.animationName !== 'none' || parseFloat(css.transitionDuration) > 0 ||
    css.scrollBehavior === 'smooth'; }).map(one => one.outerHTML.slice(0, 80))"""
# words that stick out of the window, or out of a box that hides what does not fit
CLIPPED = """() => {
  const cut = [], walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const rolls = one => one.closest('.scroll, .drawn, .hours, .far, option');
  for (let text; (text = walker.nextNode());) {
    const box = text.parentElement;
    if (!text.data.trim() || !box.checkVisibility() || rolls(box)) continue;
    const range = document.createRange();
    range.selectNodeContents(text);
    for (const one of range.getClientRects())
      if (one.left < -1 || one.right > innerWidth + 1) { cut.push(text.data.trim()); break; }
  }
  for (const box of document.querySelectorAll('button, .button, [inputmode], summary, td, label'))
    if (box.checkVisibility() && !rolls(box) && box.scrollWidth > box.clientWidth + 2)
      cut.push(box.outerHTML.slice(0, 90));
  return cut; }"""
# what is pressed and, brought into sight, does not take the finger at its middle
BEYOND_REACH = """() => [...document.querySelectorAll('a, button, summary, input, select')]
  .filter(one => one.type !== 'hidden' && one.checkVisibility() && !one.closest('svg'))
  .filter(one => {
    one.focus({preventScroll: true});
    one.scrollIntoView({block: 'nearest'});
    const box = [...one.getClientRects()].find(each => each.width) || one.getBoundingClientRect();
    const hit = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
    return !hit || !(one.contains(hit) || hit.contains(one)); })
  .map(one => one.outerHTML.slice(0, 90))"""


@contextmanager
def reader_of(browser: Browser, site: str, width: int) -> Iterator[Page]:
    with american(browser, site, width, reduced_motion="reduce") as page:
        page.route("**/week?held=1", lambda route: route.abort("aborted"))
        yield page


@pytest.fixture
def usual(chromium: Browser, evening: str) -> Iterator[Page]:
    with reader_of(chromium, evening, 390) as page:
        yield page


@pytest.fixture
def far_sighted(chromium: Browser, evening: str) -> Iterator[Page]:
    """Text at 200 % where a page is 320 px wide: as narrow as WCAG 2.2, 1.4.10 asks for."""
    with larger_text(chromium) as browser, reader_of(browser, evening, 320) as page:
        yield page


@contextmanager
def larger_text(chromium: Browser) -> Iterator[Browser]:
    args = ["--no-sandbox", "--disable-gpu", "--blink-settings=defaultFontSize=32"]
    path = shutil.which("chromium")
    browser = chromium.browser_type.launch(executable_path=path, args=args)
    yield browser
    browser.close()


def opened(page: Page, path: str) -> None:
    """A page with all its folds open."""
    answer = page.goto(path, timeout=180_000)  # the week is long in coming where all is busy
    assert answer is not None
    assert answer.ok or path == "/nowhere", f"{path}: {answer.status}"
    page.evaluate(OPEN_ALL)


def looked_at(page: Page, width: int, scheme: Literal["light", "dark"]) -> None:
    page.set_viewport_size({"width": width, "height": HEIGHT})
    page.emulate_media(color_scheme=scheme)


def found_by_axe(page: Page, options: dict[str, Any]) -> list[str]:
    """In a window as high as the page: no bar lies over what a thumb would scroll to."""
    width = page.evaluate("window.innerWidth")
    height = page.evaluate("document.documentElement.scrollHeight")
    page.set_viewport_size({"width": width, "height": height})
    rules = Axe().run(page, MORE_ROWS, {"resultTypes": ["violations"], "preload": False, **options})
    return [
        f"{rule['id']}: {node['target']} {node['html'][:120]}"
        for rule in rules.response["violations"]
        for node in rule["nodes"]
    ]


def alike(page: Page) -> list[str]:
    """Names that two buttons of a page share, and names of links that lead to two pages."""
    heard = page.locator("body").aria_snapshot()
    names = Counter(re.findall(r'^\s*- button "(.*?)"', heard, re.MULTILINE))
    leads: dict[str, set[str]] = {}
    for words, href in page.evaluate(LEADS):
        leads.setdefault(words, set()).add(href)
    twice = [f"{count} buttons {name!r}" for name, count in names.items() if count > 1]
    return twice + [f"{words!r} leads to {to}" for words, to in leads.items() if len(to) > 1]


def skips(levels: list[int]) -> bool:
    """Whether a heading stands more than one level under the one before it."""
    return levels[:1] != [1] or any(b > a + 1 for a, b in pairwise(levels))


def shape(path: str) -> str:
    return re.sub(r"\d+", "1", re.split(r"[?#]", path)[0])


def test_axe_finds_nothing_and_every_control_has_its_own_name(usual: Page) -> None:
    """WCAG 2.2 as far as axe-core knows it, on every page and on all that they lead to. In the
    suite axe sees one page in three wide and one narrow, so that each form of which there are many
    is seen both ways; names, headings and widths are looked at on all."""
    opened(usual, "/pours/5/care")
    owners = next(one for one in usual.evaluate(HREFS) if one.startswith("/c/"))
    no_page = (*NO_PAGE, f"{owners}/dates")
    paths, wrong, leads = [*PAGES.values(), *MORE, owners, "/nowhere"], [], set()
    for k, path in enumerate(paths):
        looked_at(usual, 390, "light")
        opened(usual, path)
        leads |= {shape(one) for one in usual.evaluate(HREFS) if not one.startswith(no_page)}
        wrong += [f"{path}: {one}" for one in alike(usual)]
        wrong += [f"{path} moves: {one}" for one in usual.evaluate(MOVING)]
        if skips(levels := usual.evaluate(HEADINGS)):
            wrong.append(f"{path} has headings {levels}")
        if some(k % 3 == 0, True):
            wrong += [f"{path}: {one}" for one in found_by_axe(usual, ALL_RULES)]
        looked_at(usual, 320, "dark")  # what hangs on the theme or on the width
        if some(k % 3 == 1, True):
            wrong += [f"{path} narrow: {one}" for one in found_by_axe(usual, OF_LOOKS)]
        if usual.evaluate("document.documentElement.scrollWidth") > 320:
            wrong.append(f"{path} scrolls sideways")
    assert wrong == []
    assert leads <= {shape(path) for path in paths}, "pages that nobody looks at here"


def test_text_of_twice_the_size_stays_whole_and_within_reach(far_sighted: Page) -> None:
    wrong = []
    for path in [*PAGES.values(), *MORE][:: some(3, 1)]:
        opened(far_sighted, path)
        wide = far_sighted.evaluate("document.documentElement.scrollWidth")
        wrong += [f"{path} is {wide} px wide"] if wide > 320 else []
        wrong += [f"{path} cuts {one}" for one in far_sighted.evaluate(CLIPPED)]
        wrong += [f"{path}: {one}" for one in far_sighted.evaluate(BEYOND_REACH)]
    assert wrong == []
