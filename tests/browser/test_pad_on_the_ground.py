"""A winter pad cast on the ground with an accelerator, logged on a phone."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser


@pytest.mark.usefixtures("bench")
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_pad_with_accelerator_is_logged_from_the_phone(
    phone: Callable[..., Page], scheme: str
) -> None:
    page = phone(scheme=scheme)
    page.goto("/pour")
    page.locator("summary", has_text="Change the mix").tap()
    page.get_by_label("Mix", exact=True).select_option("new")
    page.locator("summary", has_text="what is added").tap()
    page.get_by_label("Added to it").select_option("accelerator")
    page.get_by_label("Mould", exact=True).select_option("new")
    expect(page.get_by_role("textbox", name="Board thickness")).to_be_visible()
    page.get_by_label("Cast on").select_option("ground")
    expect(page.get_by_role("textbox", name="Board thickness")).to_be_hidden()
    width = page.evaluate("document.documentElement.scrollWidth")
    assert width <= 390
    page.get_by_role("button", name="Poured").tap()
    expect(page).to_have_url(re.compile(r"/pours/1$"))
    page.goto("/shop/mix/2")
    expect(page.get_by_label("Added to it")).to_have_value("accelerator")
    page.goto("/shop/mould/2")
    expect(page.get_by_label("Cast on")).to_have_value("ground")
