"""Every page fits a phone: no sideways scroll, and controls a gloved thumb can hit."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from playwright.sync_api import Page
from starlette.testclient import TestClient

from service.actions.pours.change_protection import put_on
from service.actions.pours.mark_step_done import mark_step_done
from service.actions.pours.record_reading import record_reading
from service.actions.shop.set_up_shop import save_piece
from service.nouns.cover import ProtectionCreate
from service.nouns.reading import ReadingCreate
from service.store import Store
from tests.support.shop import Bench, Hands

pytestmark = pytest.mark.browser

PAGES = [
    "/",
    "/pour",
    "/tonight",
    "/tonight?asked=1&piece_id=1&mix_id=1&place_id=1&night_low_C=28+F&day_high_C=50+F",
    "/week?piece_id=1&mix_id=1&place_id=1",
    "/week?piece_id=1&mix_id=1&place_id=1&night_low_C=28+F&day_high_C=50+F",
    "/shop",
    "/shop/settings",
    "/stickers",
    *(f"/shop/{noun}/new" for noun in ("piece", "mix", "place", "mould", "sealer")),
    *(f"/shop/{noun}/1" for noun in ("piece", "mix", "place", "mould")),
    "/pours/1",
    *(
        f"/pours/1/{kind}/add"
        for kind in ("reading", "set", "dryness", "look", "cover", "test", "weather")
    ),
    "/pours/1/note/add",
    "/pours/1/steps",
    "/pours/1/edit",
    "/pours/1/photos",
    "/pours/1/record",
    "/pours/1/care",
]
LEAST_PX = 44
SMALL = """least => [...document.querySelectorAll(
    'button, summary, select, .bar a, a.button, .links a, input:not([type=hidden])')]
  .map(one => one.matches('[type=radio],[type=checkbox]') ? one.closest('label') : one)
  .filter(one => one.checkVisibility())
  .filter(one => one.getBoundingClientRect().height < least)
  .map(one => one.outerHTML.slice(0, 80))"""

BROKEN = """[...document.querySelectorAll('.week button')].flatMap(cell =>
    [...cell.childNodes].filter(one => one.nodeType === 3).flatMap(text =>
        [...text.data.matchAll(/[^\\s+]+/g)].filter(word => {
            const range = document.createRange();
            range.setStart(text, word.index);
            range.setEnd(text, word.index + word[0].length);
            return new Set([...range.getClientRects()].map(one => one.top)).size > 1;
        }).map(word => word[0])))"""


@pytest.fixture
def full(client: TestClient, bench: Bench, pour_id: int, store: Store, hands: Hands) -> None:
    """A shop whose pour has windows, readings, covers, steps done, and a name without a blank."""
    refresh = f"/api/v1/places/{bench.place_id}/weather/refresh"
    name = {"name": "Bench-with-a-name-that-has-no-blank-in-it-at-all"}
    with store.unit_of_work() as session:
        save_piece(session, hands.now, name, bench.piece_id)
    assert client.post(refresh).status_code == 201
    hands.forward(40)
    with store.unit_of_work() as session:
        now = hands.now
        record_reading(
            session,
            now,
            pour_id,
            ReadingCreate(at=now, kind="air-min-max", value_C=5.0, value_max_C=12.0),
        )
        put_on(
            session,
            now,
            pour_id,
            ProtectionCreate(kind="two blankets", from_at=now - timedelta(hours=2)),
        )
        mark_step_done(session, now, pour_id, "finish", now)


@pytest.mark.parametrize("width", [390, 320])
@pytest.mark.usefixtures("full")
def test_nothing_scrolls_sideways_and_every_control_is_large(
    phone: Callable[..., Page], width: int
) -> None:
    page = phone(width=width)
    for path in PAGES:
        answer = page.goto(path)
        assert answer is not None
        assert answer.status == 200, path
        _open_all(page)
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= page.evaluate("window.innerWidth"), f"{path} is {wide} px wide"
        assert page.evaluate(SMALL, LEAST_PX) == [], path
        assert page.evaluate(BROKEN) == [], f"{path} breaks words"


def _open_all(page: Page) -> None:
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")


@pytest.mark.usefixtures("full")
def test_the_bars_stay_at_the_thumb(phone: Callable[..., Page]) -> None:
    page = phone()
    page.goto("/pours/1")
    for words in ("Today", "Pour", "Tonight", "Shop", "+ Add", "Step done", "Cover"):
        box = page.get_by_role("link", name=words, exact=True).bounding_box()
        assert box is not None
        assert box["height"] >= 48
        assert box["y"] > 844 * 2 / 3, f"{words} stands at {box['y']}"


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.usefixtures("full")
def test_words_stand_out_from_their_ground(phone: Callable[..., Page], scheme: str) -> None:
    """Contrast ratio of WCAG 2.2, 1.4.3: at least 4.5 to 1; in the sun we ask for 5."""
    page = phone(scheme=scheme)
    for path in ("/", "/pours/1", "/pour", "/pours/1/steps", "/pours/1/photos", "/pours/1/care"):
        page.goto(path)
        faint = page.evaluate(CONTRAST, 5.0)
        assert faint == [], path


CONTRAST = """least => {
  const parts = text => text.match(/[0-9.]+/g).map(Number);
  const light = rgb => { const [r, g, b] = rgb.slice(0, 3).map(v => { v /= 255;
      return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
  const ground = one => { for (; one; one = one.parentElement) {
      const c = parts(getComputedStyle(one).backgroundColor);
      if (c.length < 4 || c[3] > 0) return c; }
    return parts(getComputedStyle(document.body).backgroundColor); };
  return [...document.querySelectorAll('main *, .bar a')]
    .filter(one => !one.closest('svg') && one.checkVisibility())
    .filter(one => [...one.childNodes].some(n => n.nodeType === 3 && n.textContent.trim()))
    .map(one => { const a = light(parts(getComputedStyle(one).color)), b = light(ground(one));
      return [(Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05), one.outerHTML.slice(0, 60)]; })
    .filter(([ratio]) => ratio < least); }"""
