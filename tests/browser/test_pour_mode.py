"""The thumb on a plan, and the two hours of a pour with no signal: what only a browser does."""

import re
from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from playwright.sync_api import Page, Route, expect
from starlette.testclient import TestClient

from tests.support.shop import Bench

pytestmark = pytest.mark.browser
API = "/api/v1"
HOUR = timedelta(hours=1)
COUNT_BEEPS = """
window.beeps = 0;
const start = OscillatorNode.prototype.start;
OscillatorNode.prototype.start = function () { window.beeps += 1; return start.call(this); };
"""


@pytest.fixture
def pour(client: TestClient, bench: Bench) -> str:
    """The address of a pour of just now, with a forecast."""
    assert client.post(f"{API}/places/{bench.place_id}/weather/refresh").status_code == 201
    names = ("mix_id", "piece_id", "place_id", "mould_id", "sealer_id")
    body = {name: getattr(bench, name) for name in names} | {"concrete_C": 15.0}
    return f"/pours/{client.post(f'{API}/pours', json=body).json()['id']}"


def slid(page: Page, name: str, to: int) -> None:
    """A thumb on the slider of a list."""
    page.locator(f"#{name} + input").evaluate(
        "(e, to) => { e.value = to; e.dispatchEvent(new Event('input', { bubbles: true })); }", to
    )


def test_the_answer_follows_the_thumb_and_becomes_the_plan(
    phone: Callable[..., Page], pour: str, client: TestClient
) -> None:
    page = phone(320)
    page.goto(f"{pour}/plan")
    before = page.locator(".stuck time").inner_text()
    page.get_by_text("two blankets", exact=True).tap()
    expect(page.locator(".stuck .moved")).to_contain_text("sooner than planned")
    assert page.locator(".stuck time").inner_text() != before
    told = page.locator("#from option").nth(5).inner_text()
    slid(page, "from", 5)
    expect(page.locator("#from + input")).to_have_attribute("aria-valuetext", told)
    expect(page).to_have_url(re.compile("from=2026"))
    page.get_by_role("button", name="Make it the plan").tap()
    expect(page.get_by_text("as you said")).to_be_visible()
    meant = client.get(f"{API}{pour}/projection").json()["plan"]
    assert [one["cover"] for one in meant if one["set_by"] == "maker"] == ["two blankets"]
    assert page.evaluate("document.documentElement.scrollWidth") <= 320


def test_three_batches_and_a_bell_without_the_server(
    phone: Callable[..., Page], pour: str, client: TestClient
) -> None:
    page = phone()
    page.add_init_script(COUNT_BEEPS)
    page.clock.install()
    page.goto(f"{pour}/mode")
    page.locator("#bags").fill("2")
    for number in (1, 2):
        page.get_by_role("button", name=f"Batch {number} is in").tap()
        expect(page.locator(".count")).to_contain_text(f"{number} batch")
    page.get_by_role("button", name="Ring me at").first.tap()
    expect(page.get_by_role("button", name="Rings at").first).to_have_attribute(
        "aria-pressed", "true"
    )
    page.context.set_offline(True)
    page.get_by_role("button", name="Batch 3 is in").tap()
    expect(page.locator("#waits")).to_contain_text("1 entry waits on this phone")
    page.clock.fast_forward("12:00:00")
    bell = page.locator("#alarm")
    expect(bell).to_contain_text("Float it now")
    assert page.evaluate("window.beeps") >= 1
    page.emulate_media(reduced_motion="reduce")
    assert bell.evaluate("e => getComputedStyle(e).animationName") == "none"
    page.get_by_role("button", name="Stop ringing").tap()
    expect(bell).to_be_hidden()
    page.context.set_offline(False)
    page.clock.fast_forward("00:30")
    expect(page.locator(".count")).to_contain_text("3 batches in, 6 bags")
    assert len(client.get(f"{API}{pour}/batches").json()) == 3


def test_a_stamp_on_a_page_kept_hours_ago_has_the_hour_of_its_tap(
    phone: Callable[..., Page], pour: str, client: TestClient, now: datetime
) -> None:
    """What the page says is the hour at which it was made, not the clock of the server now."""
    page = phone()
    page.goto(f"{pour}/mode")
    page.evaluate(
        "localStorage.setItem('castclock.ahead', Date.now() - Date.parse(mode.dataset.now))"
    )

    def of_before(route: Route) -> None:
        answer = route.fetch()
        earlier = re.sub(
            r'data-now="([^"]+)"',
            lambda told: f'data-now="{(datetime.fromisoformat(told[1]) - 3 * HOUR).isoformat()}"',
            answer.text(),
        )
        route.fulfill(response=answer, body=earlier.replace("<html ", f'<html data-seen="{now}" '))

    page.route(f"**{pour}/mode", of_before, times=1)
    page.goto(f"{pour}/mode")
    page.locator("#bags").fill("2")
    with page.expect_navigation():  # what is stored makes the old page anew
        page.get_by_role("button", name="Batch 1 is in").tap()
    (batch,) = client.get(f"{API}{pour}/batches").json()
    assert abs(datetime.fromisoformat(batch["at"]) - now) < HOUR / 30


@pytest.mark.parametrize("width", [320, 390])
def test_what_is_tapped_is_as_large_as_a_glove(
    phone: Callable[..., Page], pour: str, width: int
) -> None:
    page = phone(width, scheme="dark")
    page.goto(f"{pour}/mode")
    low = page.locator("main :is(button, input, summary):visible").evaluate_all(
        "all => all.map(e => e.getBoundingClientRect().height).filter(h => h < 64)"
    )
    assert low == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_it_stamps_without_script(phone: Callable[..., Page], pour: str) -> None:
    page = phone(script=False)
    page.goto(f"{pour}/mode")
    page.get_by_role("button", name="Batch 1 is in").tap()
    expect(page.locator(".count")).to_contain_text("1 batch in")
    page.get_by_role("button", name="Undo batch 1").tap()
    expect(page.locator(".count")).to_contain_text("0 batches in")
