"""Every save says so once, with the undo of its own row; a step that is not open is asked about."""

from datetime import datetime, timedelta

import pytest
from starlette.testclient import TestClient

from models.records import Batch, ProtectionPeriod, Reading, StepDone, StrengthTest
from service.store import Store
from tests.support.phone import Page, Phone
from tests.support.rows import newest
from tests.support.shop import Hands, Windows
from tests.support.words import said, tells

NOW = datetime.fromisoformat("2026-10-14T23:00+00:00")


def test_a_word_in_the_address_says_nothing(phone: Phone, poured: str) -> None:
    """P10: undo hung on the address."""
    phone.open(poured)
    page = phone.open(f"{poured}?said=poured")
    assert said("saved_poured") not in page.text
    assert not [
        form
        for form in page.forms
        if form.fields.get("why") == ["logged by mistake"]
        and any("Undo" in words for words, _, _ in form.buttons)
    ]


def test_what_was_saved_is_said_once(phone: Phone, poured: str) -> None:
    assert said("saved_poured") in phone.page.text
    assert said("saved_poured") not in phone.open(poured).text


def test_undo_takes_back_the_row_that_was_saved_and_not_the_newest(
    phone: Phone, poured: str, hands: Hands, client: TestClient, store: Store
) -> None:
    """P10: undo took the newest row of its kind."""
    hands.forward(5)
    form = phone.open(f"{poured}/reading/add").form("/reading")
    page = phone.send(form, kind="air", value_C="9 C")
    other = client.post(f"/api/v1{poured}/readings", json={"kind": "air", "value_C": 8.0})
    assert other.status_code == 201
    phone.send(page.form("/remove", "Undo"))
    assert newest(store, Reading).value_C == 8.0
    assert [row["value_C"] for row in client.get(f"/api/v1{poured}/readings").json()] == [8.0]


def _add(phone: Phone, poured: str, entry: str, **fields: str) -> Page:
    return phone.send(phone.open(f"{poured}/{entry}/add").form(f"/{entry}"), **fields)


@pytest.mark.parametrize(
    ("kind", "fields", "table", "path"),
    [
        ("reading", {"kind": "air", "value_C": "9 C", "note": "in the shade"}, Reading, "readings"),
        ("test", {"kind": "cube", "MPa": "9 MPa"}, StrengthTest, "tests"),
        ("batch", {"bags": "2"}, Batch, "batches"),
        ("set", {"kind": "initial-set"}, Reading, "readings"),
    ],
)
def test_a_row_that_was_removed_comes_back_as_it_was(
    phone: Phone,
    poured: str,
    hands: Hands,
    store: Store,
    kind: str,
    fields: dict[str, str],
    table: type[Reading],
    path: str,
) -> None:
    """P10: a removal asked nothing and had no undo."""
    hands.forward(5)
    _add(phone, poured, kind, **fields)
    before = newest(store, table).model_dump()
    page = phone.send(phone.open(poured).form(f"{path}/{before['id']}/remove"))
    assert said("saved_removed") in page.text
    page = phone.send(page.form("/restore", "Undo"))
    assert said("saved_back") in page.text
    assert newest(store, table).model_dump() == before


def test_a_cover_taken_off_by_mistake_lies_again(
    phone: Phone, poured: str, hands: Hands, store: Store
) -> None:
    _add(phone, poured, "cover", kind="two blankets")
    hands.forward(3)
    page = phone.send(phone.open(poured).form("/off"))
    assert newest(store, ProtectionPeriod).to_at is not None
    phone.send(page.form("/restore", "Undo"))
    assert newest(store, ProtectionPeriod).to_at is None


def test_a_removal_of_another_pour_is_not_put_back_here(
    phone: Phone, poured: str, hands: Hands
) -> None:
    hands.forward(5)
    _add(phone, poured, "test", kind="cube", MPa="9 MPa")
    page = phone.send(phone.open(poured).form("/remove"))
    undo = page.form("/restore")
    phone.send(phone.open("/pour").form("/pour"))
    other = phone.path
    assert other != poured
    undo.action = f"{other}/restore"
    phone.send(undo)
    assert phone.status == 404
    undo.fields["removal"] = ["made up"]
    phone.send(undo, key="one more")
    assert phone.status == 404


def test_an_open_step_is_marked_at_once(
    phone: Phone, poured: str, windows: Windows, store: Store
) -> None:
    windows.say("strip", "open", NOW - timedelta(hours=1))
    phone.send(phone.open(poured).form("/reckon"))
    phone.send(phone.open(f"{poured}/steps").form("/steps"), "Strip")
    assert newest(store, StepDone).step == "strip"


def test_a_step_that_is_not_open_is_asked_about_once_with_what_may_break(
    phone: Phone, poured: str, windows: Windows, client: TestClient
) -> None:
    """P8: marking asked nothing."""
    windows.say("turn", "not yet", NOW + timedelta(hours=5), after="strip")
    phone.send(phone.open(poured).form("/reckon"))
    page = phone.send(phone.open(f"{poured}/steps").form("/steps"), "Turn")
    assert client.get(f"/api/v1{poured}/steps").json() == []
    assert tells(page.text, "ask_waits_for")
    assert said("too_early", too_early="turn") in page.text
    assert said("too_early", too_early="turn") != "turn"
    assert poured in page.links
    page = phone.send(page.form("/steps"), "It is done")
    assert [row["step"] for row in client.get(f"/api/v1{poured}/steps").json()] == ["turn"]
    assert said("saved_done", doing="turn") in page.text


def test_an_hour_before_the_window_is_asked_about_though_it_is_open_now(
    phone: Phone, poured: str, windows: Windows, hands: Hands, client: TestClient
) -> None:
    hands.forward(10)
    windows.say("strip", "open", hands.now - timedelta(minutes=20))
    phone.send(phone.open(poured).form("/reckon"))
    page = phone.send(phone.open(f"{poured}/steps").form("/steps"), "Strip", ago="60")
    assert tells(page.text, "ask_early")
    assert client.get(f"/api/v1{poured}/steps").json() == []
    page = phone.send(page.form("/steps"), "It is done")
    (row,) = client.get(f"/api/v1{poured}/steps").json()
    assert datetime.fromisoformat(row["at"]) == hands.now - timedelta(hours=1)


def test_a_coat_before_the_one_under_it_is_asked_about_and_before_its_hour_is_refused(
    phone: Phone, poured: str, windows: Windows, hands: Hands, client: TestClient
) -> None:
    """P8: nor was any order held."""
    hands.forward(48)
    windows.say("coat-2", "open", hands.now - timedelta(hours=2), after="coat-1")
    phone.send(phone.open(poured).form("/reckon"))
    page = phone.send(phone.open(f"{poured}/steps").form("/steps"), "Coat 2")
    assert tells(page.text, "ask_waits_for")
    at = {"at": (hands.now - timedelta(hours=3)).isoformat()}
    assert client.post(f"/api/v1{poured}/steps/coat-1/done", json=at).status_code == 201
    form = phone.open(f"{poured}/steps").form("/steps")
    early = (hands.now - timedelta(hours=4)).isoformat()
    form.fields["sure"] = ["1"]
    phone.send(form, "Coat 2", at=early)
    assert phone.status == 422
    steps = client.get(f"/api/v1{poured}/steps").json()
    assert [row["step"] for row in steps] == ["coat-1"]


def test_without_an_answer_no_step_goes_without_a_question(
    phone: Phone, pour_id: int, client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("service.request_context.RequestContext.recompute", lambda *_: None)
    form = phone.open(f"/pours/{pour_id}/steps").form("/steps")
    form.fields["step"] = ["strip"]
    page = phone.send(form)
    assert said("ask_blocked") in page.text
    assert client.get(f"/api/v1/pours/{pour_id}/steps").json() == []


def test_a_mark_taken_back_can_be_set_again_at_its_hour(
    phone: Phone, poured: str, windows: Windows, store: Store, hands: Hands
) -> None:
    windows.say("strip", "open", NOW - timedelta(hours=1))
    phone.send(phone.open(poured).form("/reckon"))
    page = phone.send(phone.open(f"{poured}/steps").form("/steps"), "Strip")
    at = newest(store, StepDone).at
    hands.forward(2)
    page = phone.send(page.form("/strip/undo", "Undo"))
    assert said("saved_undone", doing="strip") in page.text
    phone.send(page.form("/steps", "Undo"))
    again = newest(store, StepDone)
    assert (again.at, again.undone_at) == (at, None)
