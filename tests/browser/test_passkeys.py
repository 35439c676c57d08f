"""A passkey in Chromium, on an authenticator that its debugger stands in for."""

from collections.abc import Callable
from datetime import datetime

import pytest
from playwright.sync_api import Page, expect

from models.records import Passkey
from service.actions.people.join import invite_owner
from service.store import Store
from tests.support.rows import rows
from tests.support.words import said

pytestmark = pytest.mark.browser
WORD = "three dry words"
AUTHENTICATOR = {
    "protocol": "ctap2",
    "transport": "internal",
    "hasResidentKey": True,
    "hasUserVerification": True,
    "isUserVerified": True,
    "automaticPresenceSimulation": True,
}


def test_a_phone_adds_a_passkey_signs_in_by_it_and_no_more_once_it_is_removed(
    phone: Callable[..., Page], store: Store, site: str, now: datetime
) -> None:
    with store.unit_of_work() as session:
        link = f"/join/{invite_owner(session, now)}"
    at = site.replace("127.0.0.1", "localhost")  # no browser makes a key for numbers
    page = phone()
    page.goto(at + link)
    page.get_by_label("Your name").fill("Owner")
    page.get_by_label("Password", exact=True).fill(WORD)
    page.get_by_role("button", name="Join").click()
    keys = page.context.new_cdp_session(page)
    keys.send("WebAuthn.enable")
    made = keys.send("WebAuthn.addVirtualAuthenticator", {"options": AUTHENTICATOR})

    page.goto(at + "/me")
    page.get_by_text("Add a passkey").click()
    page.get_by_label("Name of the passkey").fill("My phone")
    adding = page.locator("[data-passkey]")
    adding.get_by_label("The password you have", exact=True).fill("another one")
    page.get_by_role("button", name="Make the passkey").click()
    expect(adding.get_by_text(said("passkey_password"))).to_be_visible()
    adding.get_by_label("The password you have", exact=True).fill(WORD)
    page.get_by_role("button", name="Make the passkey").click()
    expect(page.get_by_text(said("saved_passkey", name="My phone"))).to_be_visible()
    (row,) = rows(store, Passkey)
    assert row.host == "localhost"
    held = keys.send("WebAuthn.getCredentials", {"authenticatorId": made["authenticatorId"]})
    assert len(held["credentials"]) == 1
    page.get_by_text("Add a passkey").click()
    adding.get_by_label("Name of the passkey").fill("Once more")
    adding.get_by_label("The password you have", exact=True).fill(WORD)
    page.get_by_role("button", name="Make the passkey").click()
    expect(adding.get_by_text(said("passkey_known"))).to_be_visible()

    page.goto(at + "/me")
    page.get_by_role("button", name="Sign out", exact=True).click()
    expect(page).to_have_url(at + "/sign-in")
    page.goto(at + "/shop/things")
    page.get_by_role("button", name="Sign in with a passkey").click()
    expect(page).to_have_url(at + "/shop/things")

    page.goto(at + "/me")
    page.get_by_role("button", name="Remove").click()
    expect(page.get_by_text(said("saved_no_passkey"))).to_be_visible()
    page.get_by_role("button", name="Sign out", exact=True).click()
    page.get_by_role("button", name="Sign in with a passkey").click()
    expect(page.get_by_text("does not fit here")).to_be_visible()
    assert page.url.startswith(at + "/sign-in")
