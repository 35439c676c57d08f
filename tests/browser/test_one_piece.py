"""The page of one piece on a phone: what may be done now, a check, a reading, a coat; and undo."""

import gzip
import re
from collections.abc import Callable
from typing import Literal

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient

from service.pages.view import title
from tests.support.shop import Bench, Hands
from tests.support.thorough import some
from tests.support.words import said

pytestmark = pytest.mark.browser
Scheme = Literal["light", "dark"]
UNDER_PX = 300  # where the answer stands on the smallest screen
SCREENS = 2.5 * 844


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name).first.tap()


def later(client: TestClient, hands: Hands, hours: float) -> None:
    """Time passes, and the clock has fetched the forecast every day."""
    while hours > 0:
        hands.forward(min(hours, 24.0))
        hours -= 24.0
        assert client.post("/api/v1/places/1/weather/refresh").status_code == 201


def done(page: Page, client: TestClient, hands: Hands, step: str) -> None:
    """Wait until the step is the next and open, and press its button."""
    for _ in range(40):
        page.goto("/pours/1")
        if page.locator(f"#{step} .tag.open, #{step} .tag.closing").count():
            break
        later(client, hands, 12)
    page.goto("/pours/1/steps")
    press(page, f"Done: {title(step)}")
    expect(page.locator(".said")).to_contain_text("Done: ")


# each of units, width, script and theme once, every pair of them where thoroughness is asked for;
# in the suite the hardest, since other walks have script
WALKS = [
    pytest.param("si", 320, False, "dark", "°C", 568, id="SI without script, small"),
]
MORE_WALKS = [
    pytest.param("us", 390, True, "light", "°F", 844, id="US with script"),
    pytest.param("us", 320, False, "dark", "°F", 568, id="US without script, small"),
    pytest.param("si", 390, False, "dark", "°C", 844, id="SI without script"),
    pytest.param("si", 320, True, "light", "°C", 568, id="SI with script, small"),
]


@pytest.mark.parametrize(
    ("units", "width", "script", "scheme", "degrees", "tall"), some(WALKS, WALKS + MORE_WALKS)
)
def test_one_piece_from_the_pour_to_its_first_coat(
    phone: Callable[..., Page],
    client: TestClient,
    hands: Hands,
    bench: Bench,
    units: str,
    width: int,
    script: bool,
    scheme: Scheme,
    degrees: str,
    tall: int,
) -> None:
    assert client.patch("/api/v1/shop", json={"units": units}).status_code == 200
    later(client, hands, 1)
    page = phone(width=width, script=script, scheme=scheme)
    page.set_viewport_size({"width": width, "height": tall})
    body = {"piece_id": bench.piece_id, "mix_id": bench.mix_id, "place_id": bench.place_id}
    answer = client.post("/api/v1/pours", json={**body, "sealer_id": bench.sealer_id})
    assert answer.status_code == 201

    page.goto("/pours/1")  # what comes next and when, at a glance
    card = page.locator(".step").first
    expect(card).to_contain_text(f"Next: {title('finish')}")
    for part in (card.locator("h2"), card.locator(".time")):
        box = part.bounding_box()
        assert box is not None
        assert box["y"] + box["height"] <= UNDER_PX
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    if width == 390:
        assert page.evaluate("document.documentElement.scrollHeight") <= SCREENS
    assert len(gzip.compress(page.content().encode())) < 30_000

    press(page, f"Done: {title('finish')}")  # too early: asked about, and not marked
    expect(page.get_by_role("alert")).to_contain_text("not before")
    page.get_by_role("link", name="Not done").tap()
    page.wait_for_url("**/pours/1")
    assert client.get("/api/v1/pours/1/steps").json() == []

    later(client, hands, 5)
    page.goto("/pours/1")
    page.get_by_role("link", name="Add").tap()  # a reading: two taps and a number
    page.get_by_role("textbox", name="Low").fill("45" if units == "us" else "7")
    page.get_by_role("textbox", name="High").fill("52" if units == "us" else "11")
    press(page, "Save the reading")
    expect(page.locator(".said")).to_contain_text(said("saved_reading"))
    expect(page.locator("#covers")).to_contain_text(degrees)
    press(page, f"Undo: {said('saved_reading')}")
    expect(page.locator(".said")).to_contain_text(said("saved_removed"))
    assert client.get("/api/v1/pours/1/readings").json() == []
    press(page, f"Undo: {said('saved_removed')}")
    expect(page.locator(".said")).to_contain_text(said("saved_back"))
    assert len(client.get("/api/v1/pours/1/readings").json()) == 1

    done(page, client, hands, "strip")
    press(page, "Undo: ")
    expect(page.locator(".said")).to_contain_text("Undone: ")
    expect(page.locator("#strip .tag")).to_contain_text("open")
    done(page, client, hands, "strip")
    done(page, client, hands, "end-wet-cure")
    page.goto("/pours/1/steps")
    press(page, f"Done: {title('coat-1')}")  # the air is too damp: asked about, and said to be so
    press(page, "It is done")
    expect(page.locator("#plan-1 .tag")).to_contain_text("done")
    page.locator("#papers summary").tap()
    press(page, "Finished")
    expect(page.get_by_text(re.compile("Closed: Finished"))).to_be_visible()
    press(page, "Open it again")
    expect(page.locator(".said")).to_contain_text(said("saved_reopened"))
