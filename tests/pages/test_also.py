"""Another piece of the same mixing, on a phone: a link, a tick, a button."""

from starlette.testclient import TestClient

from tests.support.phone import Phone

API = "/api/v1"


def test_three_taps_log_another_piece_of_the_mixing(
    phone: Phone, client: TestClient, poured: str
) -> None:
    told = {"shape": "panel", "length_mm": 600, "width_mm": 300, "thickness_mm": 40}
    piece = client.post(f"{API}/pieces", json={"name": "Shelf", **told}).json()["id"]
    assert f"{poured}/also" in str(phone.open(f"{poured}/mode").links)
    page = phone.send(phone.open(f"{poured}/also").form("/also"), pieces=str(piece))
    assert phone.status == 200
    assert phone.path == f"{poured}/mode"
    assert "Logged of this mixing: Shelf #" in page.text
    newest = client.get(f"{API}/pours").json()[0]
    assert newest["piece_id"] == piece
    assert newest["poured_with_id"] == int(poured.rsplit("/", 1)[-1])


def test_nothing_ticked_is_asked_again(phone: Phone, poured: str) -> None:
    phone.send(phone.open(f"{poured}/also").form("/also"))
    assert phone.status == 422
