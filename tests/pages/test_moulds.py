"""The register of moulds in the hand of a maker."""

from collections.abc import Callable

from starlette.testclient import TestClient

from models.records import Mould, MouldFault
from service.store import Store
from tests.support.phone import Phone
from tests.support.rows import newest, only, rows
from tests.support.shop import HOUR, Bench, Hands, Windows


def test_the_list_says_which_mould_is_free_and_which_comes_free_when(
    phone: Phone, client: TestClient, bench: Bench, hands: Hands, windows: Windows
) -> None:
    client.post(f"/api/v1/places/{bench.place_id}/weather/refresh")
    windows.say("strip", "not yet", hands.now + 30 * HOUR)
    phone.send(phone.open("/pour").form("/pour"), mould_id=str(bench.mould_id))
    client.post("/api/v1/moulds", json={"name": "Step mould"})
    page = phone.open("/moulds")
    text = page.text
    assert text.index("Step mould") < text.index("Bench mould")
    assert "empty" in text
    assert "North bench #1" in text
    assert "free from" in text
    assert f"/moulds/{bench.mould_id}" in page.links
    assert f"/moulds/{bench.mould_id}" in phone.open(f"/shop/mould/{bench.mould_id}").links
    assert "/moulds" in phone.open("/shop").links


def test_cleaned_and_released_is_one_press_and_is_taken_back_with_one(
    phone: Phone, bench: Bench, store: Store, hands: Hands
) -> None:
    page = phone.open(f"/moulds/{bench.mould_id}")
    page = phone.send(page.form("/released"))
    assert only(store, Mould).released_at == hands.now
    assert "set up" in page.text
    hands.forward(3.0)
    page = phone.send(page.form("/released"))
    before = only(store, Mould).released_at
    phone.send(page.form("/unreleased", "Undo"))
    after = only(store, Mould).released_at
    assert before == hands.now
    assert after == hands.now - 3 * HOUR


def test_a_fault_is_told_before_the_next_pour_in_the_mould(
    phone: Phone, bench: Bench, store: Store, client: TestClient, picture: Callable[[str], bytes]
) -> None:
    phone.open(f"/moulds/{bench.mould_id}")
    key = phone.page.form("/faults").fields["key"][0]
    sent = {"kind": "leaking seam", "note": "at the drain", "at": "", "key": key}
    files = {"photo": ("seam.jpg", picture("jpg"), "image/jpeg")}
    answer = client.post(f"/moulds/{bench.mould_id}/faults", data=sent, files=files)
    assert answer.status_code == 200
    fault = only(store, MouldFault)
    assert (fault.kind, fault.note, fault.media_type) == (
        "leaking seam",
        "at the drain",
        "image/jpeg",
    )
    page = phone.open(f"/pour?mould={bench.mould_id}")
    assert "leaking seam" in page.text
    assert f"/moulds/{bench.mould_id}" in page.links
    page = phone.open(f"/moulds/{bench.mould_id}")
    page = phone.send(page.form("/mended"))
    assert only(store, MouldFault).mended_at is not None
    page = phone.send(page.form("/unmended", "Undo"))
    assert only(store, MouldFault).mended_at is None
    page = phone.send(page.form("/remove"))
    assert "None told" in page.text
    page = phone.send(page.form("/restore", "Undo"))
    assert "leaking seam" in page.text


def test_what_is_told_of_a_mould_is_told_in_any_unit_and_stays(
    phone: Phone, bench: Bench, store: Store
) -> None:
    form = phone.open(f"/shop/mould/{bench.mould_id}").form(f"/mould/{bench.mould_id}")
    phone.send(form, mould__turnaround_h="90 min", mould__release_agent="form oil")
    assert phone.status == 200
    row = only(store, Mould)
    assert (row.turnaround_h, row.release_agent) == (1.5, "form oil")
    assert "form oil" in phone.open(f"/moulds/{bench.mould_id}").text


def test_one_more_of_its_kind_has_a_page_and_is_put_away_with_one_press(
    phone: Phone, bench: Bench, store: Store
) -> None:
    page = phone.send(phone.open(f"/moulds/{bench.mould_id}").form("/another"))
    second = newest(store, Mould)
    assert phone.path == f"/moulds/{second.id}"
    assert second.alike_id == bench.mould_id
    phone.send(page.form("/archive", "Undo"))
    assert newest(store, Mould).archived_at is not None
    assert len(rows(store, Mould)) == 2


def test_two_pours_in_one_mould_are_said_until_one_is_told_to_have_left_it(
    phone: Phone, bench: Bench, client: TestClient, hands: Hands
) -> None:
    """A strip that is undone after the next pour leaves two in one: nothing is guessed then."""
    names = ("mix_id", "piece_id", "place_id", "mould_id")
    wanted = {name: getattr(bench, name) for name in names}
    first = client.post("/api/v1/pours", json=wanted).json()["id"]
    hands.forward(30.0)
    client.post(f"/api/v1/pours/{first}/steps/strip/done")
    second = client.post("/api/v1/pours", json=wanted).json()["id"]
    client.post(f"/api/v1/pours/{first}/steps/strip/undo")
    standing = client.get(f"/api/v1/moulds/{bench.mould_id}/standing").json()
    assert standing["pour_id"] == second
    assert standing["also_pour_ids"] == [first]
    assert standing["free_at"] is None
    assert f"#{first} left it" in phone.open(f"/moulds/{bench.mould_id}").text


def test_today_names_the_mould_that_comes_free_and_nothing_of_one_nobody_can_tell_of(
    phone: Phone, client: TestClient, bench: Bench, hands: Hands, windows: Windows
) -> None:
    client.post(f"/api/v1/places/{bench.place_id}/weather/refresh")
    windows.say("strip", "not yet", hands.now + 20 * HOUR)
    phone.send(phone.open("/pour").form("/pour"), mould_id=str(bench.mould_id))
    assert "Bench mould: free from" in phone.open("/").text
    windows.say("strip", "blocked", None)
    hands.forward(2.0)
    assert "free from" not in phone.open("/").text
