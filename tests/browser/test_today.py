"""Today, tonight, the week and a place in the hand of a maker: what stands first, and what fits."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient

from tests.support.shop import Bench, Hands, Windows

pytestmark = pytest.mark.browser
FIRST_PX = 300
SCREENS = 1.5  # of 844 px, with five pieces


@pytest.fixture
def five(client: TestClient, bench: Bench, hands: Hands, windows: Windows) -> None:
    """Five pours whose windows the test tells, with a forecast."""
    assert client.post(f"/api/v1/places/{bench.place_id}/weather/refresh").status_code == 201
    windows.say("strip", "open", hands.now - timedelta(hours=2))
    windows.say("hone", "not yet", hands.now + timedelta(days=2))
    wanted = {"mix_id": bench.mix_id, "piece_id": bench.piece_id, "place_id": bench.place_id}
    for k in range(5):
        mould = client.post("/api/v1/moulds", json={"name": f"Mould {k}"}).json()
        made = client.post("/api/v1/pours", json={**wanted, "mould_id": mould["id"]})
        assert made.status_code == 201, made.text


def tall(page: Page) -> float:
    return float(page.evaluate("document.documentElement.scrollHeight"))


@pytest.mark.usefixtures("five")
def test_today_says_what_is_next_in_the_first_hand_and_is_short(
    phone: Callable[..., Page],
) -> None:
    page = phone(width=320)
    page.goto("/")
    done = page.get_by_role("link", name="Done").first
    box = done.bounding_box()
    assert box is not None
    assert box["y"] + box["height"] <= FIRST_PX
    page = phone()
    page.goto("/")
    expect(page.get_by_role("link", name="Done")).to_have_count(5)
    assert tall(page) <= SCREENS * 844
    page.get_by_role("link", name="Done").first.click()
    page.wait_for_url("**/steps*")


@pytest.mark.usefixtures("five")
def test_the_night_the_week_and_a_logger_by_thumb(phone: Callable[..., Page], hands: Hands) -> None:
    page = phone(width=320)
    page.goto("/tonight")
    page.get_by_text("Use your own numbers").click()
    page.get_by_role("textbox", name="Tonight's low").fill("24 F")
    page.get_by_role("textbox", name="Tomorrow's high").fill("41 F")
    page.get_by_role("button", name="May I pour?").click()
    answer = page.locator(".answer")
    expect(answer).to_contain_text("a hard frost")
    box = page.locator(".big-words").first.bounding_box()
    assert box is not None
    assert box["y"] + box["height"] <= FIRST_PX
    page.get_by_role("link", name="The whole week").click()
    page.get_by_role("link", name="The week by the forecast").click()
    cells = page.locator(".week button")
    expect(cells.nth(19)).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    cells.last.click()
    expect(page.get_by_role("heading", name="This hour")).to_be_visible()
    page.goto("/places/1")
    picture = page.locator("svg.place").bounding_box()
    assert picture is not None
    assert picture["y"] < 568
    page.get_by_role("link", name="Take in a logger").click()
    hands.forward(4)
    rows = "time,temperature (C),humidity\n2026-10-14T19:00-05:00,8.4,81\n"
    page.set_input_files(
        "#chosen", {"name": "air.csv", "mimeType": "text/csv", "buffer": rows.encode()}
    )
    page.get_by_role("button", name="Read it").click()
    expect(page.get_by_text("1 reading found")).to_be_visible()
    page.get_by_role("button", name="Keep these readings").click()
    expect(page.get_by_role("heading", name="Carport")).to_be_visible()
