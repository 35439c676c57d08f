"""What went wrong, in the hand of a maker: tapped on the drawing, asked why, printed."""

from collections.abc import Callable

from starlette.testclient import TestClient

from models.records import Photo, PourFault
from service.store import Store
from tests.support.phone import Phone
from tests.support.rows import only, rows
from tests.support.shop import Hands
from tests.support.words import said


def test_a_place_is_tapped_on_the_drawing_or_chosen_by_name(
    phone: Phone, poured: str, store: Store, client: TestClient, picture: Callable[[str], bytes]
) -> None:
    page = phone.open(f"{poured}/faults")
    taps = [one for one in page.links if "spot=" in one]
    assert len(set(taps)) == 15
    page = phone.open(next(one for one in taps if "spot=far-left-front" in one))
    form = page.form("/faults")
    assert form.fields["spot"] == ["far-left-front"]
    sent = {"kind": "crack", "spot": "far-left-front", "key": form.fields["key"][0], "note": "hair"}
    files = {"photo": ("crack.jpg", picture("jpg"), "image/jpeg")}
    answer = client.post(f"{poured}/faults", data=sent, files=files)
    assert answer.status_code == 200
    fault = only(store, PourFault)
    assert (fault.kind, fault.note, fault.photo_id) == ("crack", "hair", only(store, Photo).id)
    assert fault.x_mm is not None
    assert fault.y_mm is not None
    page = phone.open(f"{poured}/faults")
    assert "far left, front" in page.text
    assert f"/api/v1{poured}/photos/{fault.photo_id}" in page.source
    assert 'class="mark"' in page.source


def test_the_answer_is_a_number_and_what_to_change_or_that_nothing_speaks(
    phone: Phone, poured: str, client: TestClient, hands: Hands, store: Store
) -> None:
    client.post("/api/v1/places/1/weather/refresh")
    hands.forward(10)
    client.post(f"/api/v1{poured}/steps/strip/done")
    client.post(f"/api/v1{poured}/came-out", json={"how": "stuck"})
    hands.forward(2)
    page = phone.send(phone.open(f"{poured}/faults").form("/faults"), kind="crack")
    assert said("cause.stripped-early") in page.text.lower()
    assert said("change_stripped_early") in page.text
    assert "MPa" in page.text or "psi" in page.text
    told = phone.open(f"{poured}/record").text
    assert "What went wrong" in told
    page = phone.send(phone.open(f"{poured}/faults").form("/faults"), kind="other")
    assert said("causes_other") in page.text
    phone.send(page.form("/remove"))
    assert [one.kind for one in rows(store, PourFault)] == ["crack"]
    phone.send(phone.page.form("/restore", "Undo"))
    assert [one.kind for one in rows(store, PourFault)] == ["crack", "other"]


def test_a_week_after_the_last_coat_its_look_is_asked_with_one_tap(
    phone: Phone, poured: str, client: TestClient, hands: Hands
) -> None:
    hands.forward(24 * 10)
    for step in ("strip", "coat-1"):
        client.post(f"/api/v1{poured}/steps/{step}/done")
    client.post(f"/api/v1{poured}/came-out", json={"how": "clean"})
    asked = "A week after its last coat"
    assert asked not in phone.open(poured).text
    hands.forward(24 * 7)
    page = phone.open(poured)
    assert asked in page.text
    page = phone.send(page.form("/sealed-as"), how="cloudy")
    assert asked not in page.text
    assert "Its seal looked cloudy" in phone.open(f"{poured}/record").text
