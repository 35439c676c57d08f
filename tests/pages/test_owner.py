"""The page of a piece for whoever owns it: what it tells, what not, and to whom no more."""

from datetime import date, timedelta
from typing import Any

import icalendar
import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from models.records import OwnerLink
from service.actions.pours.mark_step_done import mark_step_done
from service.actions.windows.project_pour import project_pour
from service.queries.rows import find_shop
from service.store import Store
from tests.support.phone import Page, Phone
from tests.support.rows import rows
from tests.support.shop import Hands, Windows
from tests.support.words import said

HOUR = timedelta(hours=1)


@pytest.fixture
def stranger(app: FastAPI) -> TestClient:
    """A phone that is not of this shop, which has an owner."""
    return TestClient(app, base_url="http://192.168.1.9", client=("203.0.113.7", 50000))


def code_of(store: Store, pour_id: int = 1) -> str:
    found = [row for row in rows(store, OwnerLink) if row.pour_id == pour_id]
    (one,) = [row for row in found if row.revoked_at is None]
    return one.code


@pytest.mark.usefixtures("pour_id")
def test_every_pour_has_a_code_that_nobody_guesses(store: Store) -> None:
    assert len(code_of(store)) == 22, "128 bits"


def test_the_sheet_leads_an_owner_to_a_page_without_sign_in(
    phone: Phone, poured: str, store: Store, stranger: TestClient
) -> None:
    sheet = phone.open(f"{poured}/care")
    path = f"/c/{code_of(store)}"
    assert path in sheet.links
    assert f"{path}</title>" in sheet.source, "the square says it too"
    assert stranger.get(f"{poured}/care", follow_redirects=False).status_code in (303, 403)
    answer = stranger.get(path)
    assert answer.status_code == 200
    assert "North bench" in Page(answer.text).text
    assert said("care_frost") in Page(answer.text).text


@pytest.mark.usefixtures("poured")
def test_it_tells_nothing_of_the_shop_and_keeps_nothing_on_the_phone(
    store: Store, stranger: TestClient
) -> None:
    answer = stranger.get(f"/c/{code_of(store)}")
    with store.reading() as session:
        shop = find_shop(session)
    page = Page(answer.text)
    for told in (shop.name, "Carport", "Grey bag", "House acrylic", "/pours/", "/shop"):
        assert told not in answer.text.replace("castclock.css", ""), told
    assert [one for one in page.links if not one.startswith(("/c/", "/static/"))] == []
    assert "set-cookie" not in answer.headers
    assert answer.headers["x-robots-tag"] == "noindex, nofollow"
    assert answer.headers["referrer-policy"] == "no-referrer"
    assert answer.headers["cache-control"] == "no-store"
    assert page.alone == []
    assert page.forms == []


def test_without_weather_it_opens_nothing(
    pour_id: int, client: TestClient, store: Store, stranger: TestClient
) -> None:
    client.get(f"/api/v1/pours/{pour_id}/projection")
    text = Page(stranger.get(f"/c/{code_of(store, pour_id)}").text).text
    assert "Not before its maker says so" in text
    assert said("bears_fire") in text
    assert said("owner_fire") not in text


def test_its_dates_go_into_a_calendar(
    pour_id: int, windows: Windows, store: Store, hands: Hands, stranger: TestClient
) -> None:
    now = hands.now
    windows.say("full-use", "not yet", now + 200 * HOUR)
    windows.say("first-heating", "not yet", now + 700.5 * HOUR)
    with store.unit_of_work() as session:
        mark_step_done(session, now, pour_id, "coat-6", now)
    project_pour(store, now, pour_id)
    code = code_of(store, pour_id)
    assert f"/c/{code}/dates" in Page(stranger.get(f"/c/{code}").text).links
    answer = stranger.get(f"/c/{code}/dates")
    assert answer.headers["content-type"].startswith("text/calendar")
    told = icalendar.Calendar.from_ical(answer.content)
    entries: dict[str, Any] = {str(one["summary"]): one for one in told.walk("VEVENT")}
    fire = entries[f"North bench: {said('owner_fire')}"]
    assert fire["dtstart"].dt == date(2026, 11, 13), "in the evening of the day before, there"
    frost = entries[f"North bench: {said('owner_frost')}"]
    assert frost["dtstart"].dt.month in (9, 10)
    assert frost["rrule"]["FREQ"] == ["YEARLY"]
    assert f"North bench: {said('owner_planting')}" not in entries, "nothing grows on a bench"
    assert code not in answer.text, "a calendar is shared"


def test_a_square_in_wrong_hands_opens_nothing_any_more(
    phone: Phone, poured: str, store: Store, stranger: TestClient
) -> None:
    old = code_of(store)
    phone.send(phone.open(f"{poured}/care").form(f"{poured}/care/revoke"))
    new = code_of(store)
    assert new != old
    assert [stranger.get(f"/c/{one}").status_code for one in (old, new)] == [410, 200]
    assert stranger.get(f"/c/{old}/dates").status_code == 410
    undo = Page(phone.page.source).form(f"{poured}/care/restore")
    phone.send(undo)
    assert [stranger.get(f"/c/{one}").status_code for one in (old, new)] == [200, 410]


@pytest.mark.usefixtures("poured")
def test_a_lost_piece_has_no_page(store: Store, client: TestClient, stranger: TestClient) -> None:
    client.post("/api/v1/pours/1/close", json={"why": "lost"})
    assert stranger.get(f"/c/{code_of(store)}").status_code == 410


@pytest.mark.usefixtures("poured")
def test_who_tries_codes_has_to_wait(store: Store, stranger: TestClient, hands: Hands) -> None:
    found = [stranger.get(f"/c/{k:022}").status_code for k in range(7)]
    assert found == [404] * 5 + [429] * 2
    answer = stranger.get(f"/c/{7:022}")
    assert answer.status_code == 429
    assert int(answer.headers["retry-after"]) > 0
    assert stranger.get(f"/c/{code_of(store)}").status_code == 200, "who owns one never waits"
    hands.now += HOUR
    assert stranger.get(f"/c/{7:022}").status_code == 404
