"""From the strip to the third coat on a phone: read the plan, log a coat, see the rest move."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import Literal

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient

from models.air.series import AirSeries
from service.pages.view import title
from service.words import word
from tests.support.first import answer
from tests.support.shop import Hands, Sky, steady_air
from tests.support.thorough import some

pytestmark = pytest.mark.browser


@pytest.fixture(autouse=True)
def mild(sky: Sky, monkeypatch: pytest.MonkeyPatch) -> None:
    """Twenty degrees and about half humidity, day and night."""

    def forecast(
        _lat: float, _lon: float, now: datetime, _altitude_m: float | None = None
    ) -> AirSeries:
        air = steady_air(now, 20.0, ahead_h=240)
        return replace(air, dew_point_C=air.air_C - 10.0)

    monkeypatch.setattr(sky, "forecast", forecast)


def tap(page: Page, role: Literal["button", "link"], name: str) -> None:
    page.get_by_role(role, name=name).first.tap()


def later(client: TestClient, hands: Hands, hours: float) -> None:
    """Time passes, and the clock has fetched the forecast every day."""
    while hours > 0:
        hands.forward(min(hours, 24.0))
        hours -= 24.0
        assert client.post("/api/v1/places/1/weather/refresh").status_code == 201


def done(page: Page, step: str) -> None:
    page.goto("/pours/1/steps")
    tap(page, "button", f"Done: {title(step)}")
    early = page.get_by_role("button", name="It is done")  # earlier than castclock would
    marked = page.locator(".said")
    expect(marked.or_(early).first).to_be_visible()
    if early.count():
        early.first.tap()
    expect(marked).to_contain_text("Done: ")


def planned(page: Page, number: int) -> datetime:
    """The planned hour of a coat, as the page tells it."""
    page.goto("/pours/1")
    iso = page.locator(f"#plan-{number} time").first.get_attribute("datetime")
    assert iso is not None
    return datetime.fromisoformat(iso)


@pytest.mark.parametrize("scheme", some(["dark"], ["light", "dark"]))
def test_from_strip_to_the_third_coat_and_the_plan_moves(
    phone: Callable[..., Page], client: TestClient, hands: Hands, scheme: str
) -> None:
    page = phone(scheme=scheme)
    page.goto("/pour")
    page.locator("summary", has_text="Coordinates, clock").tap()
    page.get_by_role("textbox", name="Latitude").fill("44.0")
    page.get_by_role("textbox", name="Longitude").fill("-92.0")
    answer(page, place__kind="unheated room")
    tap(page, "button", "Poured")
    expect(page.locator("#coats")).to_contain_text("No sealer is chosen")
    sealer = {"name": "Clear", "chemistry": "water-based-acrylic"}
    assert client.post("/api/v1/sealers", json=sealer).status_code == 201
    assert client.patch("/api/v1/pours/1", json={"sealer_id": 1}).status_code == 200
    page.reload()
    expect(page.locator("#plan-1")).to_contain_text("thinned")
    expect(page.locator("#plan-1 time")).to_have_count(1)

    later(client, hands, 60)
    done(page, "strip")
    done(page, "turn")
    later(client, hands, 48)
    done(page, "end-wet-cure")
    later(client, hands, 24)
    done(page, "sand")
    later(client, hands, 100)  # ten in the morning of the tenth day

    second = planned(page, 2)
    assert second > planned(page, 1)
    expect(page.locator("#coats")).to_contain_text(word("chemistry", "water-based-acrylic"))
    expect(page.locator("#coat-1 .tag")).to_contain_text("open")

    done(page, "coat-1")
    expect(page.locator("#plan-1 .tag")).to_contain_text("done")
    after_first = planned(page, 2)
    later(client, hands, 5)  # dinner came between
    done(page, "coat-2")
    third = planned(page, 3)
    assert third > after_first
    assert planned(page, 4) > third
    later(client, hands, 3)
    done(page, "coat-3")
    assert planned(page, 4) > third
    expect(page.locator("#coats")).to_contain_text(re.compile("Not before .* after the coat"))
    page.locator("#coats > summary").tap()
    expect(page.get_by_text("with a tenth for tray and roller")).to_be_visible()
