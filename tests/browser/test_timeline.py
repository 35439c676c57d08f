"""A thumb on the picture of a pour reads off one hour, on the picture and on the slider."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient

from tests.support.shop import Bench

pytestmark = pytest.mark.browser


def test_a_thumb_reads_off_one_hour(
    phone: Callable[..., Page], site: str, client: TestClient, bench: Bench, pour_id: int
) -> None:
    assert client.post(f"/api/v1/places/{bench.place_id}/weather/refresh").status_code == 201
    page = phone()
    page.goto(f"{site}/pours/{pour_id}")
    reads, slider = page.locator("figure.timeline .reads"), page.locator("figure.timeline .thumb")
    expect(reads).to_contain_text("strength")
    at_now = reads.inner_text()
    picture = page.locator("svg.timeline.phone")
    picture.click(position={"x": 250, "y": 60})
    expect(reads).not_to_have_text(at_now)
    on_the_picture = reads.inner_text()
    expect(page.locator("svg.timeline.phone .cursor")).to_have_class("cursor shown")
    slider.focus()
    page.keyboard.press("ArrowRight")
    expect(reads).not_to_have_text(on_the_picture)
    assert reads.inner_text().split("\n")[0] in (slider.get_attribute("aria-valuetext") or "")
