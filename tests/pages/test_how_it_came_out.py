"""Strip asks with one tap how it came out, a month later once more; the record keeps both."""

from datetime import datetime

import pytest
from starlette.testclient import TestClient

from models.records import Pour, StepDone
from service.store import Store
from tests.support.phone import Phone
from tests.support.rows import only, rows
from tests.support.shop import Hands, Windows

STRIPPED = "How did it come out of the mould?"
LATER = "A month on: how is it?"


@pytest.fixture
def stripped(phone: Phone, poured: str, windows: Windows, hands: Hands, now: datetime) -> str:
    windows.say("strip", "open", now)
    hands.forward(30)
    phone.client.post(f"/api/v1{poured}/steps/strip/done")
    return poured


def test_it_is_asked_once_answered_with_a_tap_and_taken_back(
    phone: Phone, stripped: str, store: Store
) -> None:
    page = phone.open(stripped)
    assert STRIPPED in page.text
    page = phone.send(page.form(f"{stripped}/came-out"), "chipped", how="chipped")
    assert only(store, StepDone).came_out == "chipped"
    assert "Noted: chipped." in page.text
    assert STRIPPED not in page.text
    assert "came out of the mould chipped" in phone.open(f"{stripped}/record").text
    phone.send(page.form(f"{stripped}/came-out"))
    assert only(store, StepDone).came_out is None
    assert STRIPPED in phone.open(stripped).text


def test_a_month_later_it_is_asked_once_more_of_a_finished_piece_too(
    phone: Phone, stripped: str, store: Store, hands: Hands
) -> None:
    phone.send(phone.open(stripped).form("/came-out"), how="clean")
    phone.client.post(f"/api/v1{stripped}/close", json={"why": "finished"})
    assert LATER not in phone.open(stripped).text
    hands.forward(24 * 30)
    page = phone.open(stripped)
    assert LATER in page.text
    phone.send(page.form("/held-up"), how="stained")
    assert only(store, Pour).held_up == "stained"
    assert LATER not in phone.open(stripped).text
    told = phone.client.get(f"/api/v1{stripped}/record").json()
    assert (told["came_out"], told["held_up"]) == ("clean", "stained")


def test_nothing_is_asked_of_a_piece_in_its_mould_or_of_a_broken_one(
    phone: Phone, poured: str, hands: Hands
) -> None:
    assert STRIPPED not in phone.open(poured).text
    hands.forward(24 * 40)
    assert LATER in phone.open(poured).text
    phone.client.post(f"/api/v1{poured}/close", json={"why": "lost"})
    assert LATER not in phone.open(poured).text


@pytest.mark.parametrize(
    ("path", "how", "named"),
    [
        ("came-out", "clean", "strip it first"),
        ("held-up", "clean", "not a month old"),
    ],
)
def test_what_cannot_be_told_yet_is_refused_with_its_reason(
    client: TestClient, poured: str, store: Store, path: str, how: str, named: str
) -> None:
    answer = client.post(f"/api/v1{poured}/{path}", json={"how": how})
    assert answer.status_code == 422
    assert named in answer.text
    assert [row.held_up for row in rows(store, Pour)] == [None]


def test_a_word_that_is_none_is_refused_by_its_name(client: TestClient, stripped: str) -> None:
    answer = client.post(f"/api/v1{stripped}/came-out", json={"how": "splendid"})
    assert answer.status_code == 422
    assert "clean | chipped | stuck | cracked" in answer.text
