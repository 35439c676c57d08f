"""Another piece of the same mixing, on a phone: a link, a tick, a button."""

from datetime import timedelta

from starlette.testclient import TestClient

from tests.support.phone import Phone
from tests.support.shop import Bench, Hands

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


def test_two_pieces_cast_last_in_one_mould_are_logged_at_once(
    phone: Phone, client: TestClient, poured: str, bench: Bench, hands: Hands
) -> None:
    told = {"shape": "panel", "length_mm": 600, "width_mm": 300, "thickness_mm": 40}
    pour = client.get(f"{API}{poured}").json()
    places = {name: pour[name] for name in ("mix_id", "place_id")}
    mould = client.post(f"{API}/moulds/{bench.mould_id}/another").json()["id"]
    pieces = []
    for number, name in enumerate(("Shelf", "Sill")):
        piece = client.post(f"{API}/pieces", json={"name": name, **told}).json()["id"]
        at = (hands.now - timedelta(days=3 - number)).isoformat()
        body = {**places, "piece_id": piece, "mould_id": mould, "placed_at": at}
        logged = client.post(f"{API}/pours", json=body)
        assert logged.status_code == 201, logged.text
        done = f"{API}/pours/{logged.json()['id']}/steps/strip/done"
        out = (hands.now - timedelta(days=2.5 - number)).isoformat()
        assert client.post(done, json={"at": out}).status_code < 300
        pieces.append(piece)
    phone.send(phone.open(f"{poured}/also").form("/also"), pieces=[str(key) for key in pieces])
    assert (phone.status, phone.path) == (200, f"{poured}/mode")
    moulds = [one["mould_id"] for one in client.get(f"{API}/pours").json()[:2]]
    assert sorted(moulds, key=str) == sorted([mould, None], key=str)


def test_a_broken_mould_is_given_to_no_piece(phone: Phone, client: TestClient, poured: str) -> None:
    told = {"shape": "panel", "length_mm": 600, "width_mm": 300, "thickness_mm": 40}
    piece = client.post(f"{API}/pieces", json={"name": "Shelf", **told}).json()["id"]
    mould = client.post(f"{API}/moulds", json={"name": "Shelf mould", "piece_id": piece}).json()
    client.post(f"{API}/moulds/{mould['id']}/faults?kind=broken")
    phone.send(phone.open(f"{poured}/also").form("/also"), pieces=str(piece))
    assert phone.status == 200
    assert client.get(f"{API}/pours").json()[0]["mould_id"] is None
