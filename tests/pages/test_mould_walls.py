"""The page of a mould's walls, as a phone without script reads it."""

from datetime import timedelta

from starlette.testclient import TestClient

from scheduler.jobs import Rounds
from tests.support.phone import Phone
from tests.support.shop import Bench, Hands

API = "/api/v1"


def planter(client: TestClient, **told: object) -> int:
    piece = {
        "name": "Planter",
        "shape": "box",
        "length_mm": 700,
        "width_mm": 700,
        "height_mm": 600,
        "wall_mm": 50,
    }
    key = client.post(f"{API}/pieces", json=piece).json()["id"]
    body = {"name": "Planter mould", "piece_id": key, **told}
    return int(client.post(f"{API}/moulds", json=body).json()["id"])


def test_a_wall_that_bows_says_by_how_much_and_what_would_hold(client: TestClient) -> None:
    page = Phone(client).open(f"/moulds/{planter(client, screw_spacing_mm=60)}/walls")
    assert "A wall bows so far that the face shows it" in page.text
    assert "rib or clamp every 230 mm" in page.text
    assert "The core floats: the mix lifts it with 475 kg" in page.text
    assert not page.alone  # neither style nor script of its own


def test_how_it_is_filled_is_typed_in_any_unit_and_a_clash_stands_beside_its_box(
    client: TestClient,
) -> None:
    phone = Phone(client)
    path = f"/moulds/{planter(client, brace_spacing_mm='10 in')}/walls"
    phone.open(path)
    page = phone.send(phone.page.form("/walls"), fresh_mm="6 in")
    assert "at the foot of 152 mm fresh mix" in page.text
    page = phone.send(phone.page.form("/walls"), fresh_mm="3 ft")
    assert phone.status == 422
    assert "600 mm" in page.notes["fresh_mm"]


def test_ribs_and_screws_are_told_on_the_mould_s_own_page(client: TestClient) -> None:
    phone = Phone(client)
    mould_id = planter(client)
    phone.open(f"/shop/mould/{mould_id}")
    assert f"/moulds/{mould_id}/walls" in phone.page.links
    sheet = phone.page.form(f"/shop/mould/{mould_id}")
    spaced = {"mould__brace_spacing_mm": "9 in", "mould__screw_spacing_mm": "2 in"}
    phone.send(sheet, mould__rim_held="1", **spaced)
    told = client.get(f"{API}/moulds/{mould_id}").json()
    assert told["brace_spacing_mm"] == 228.6
    assert told["rim_held"] is True
    assert "The walls hold" in phone.open(f"/moulds/{mould_id}/walls").text


def test_the_pages_of_piece_and_mould_lead_to_the_walls(client: TestClient) -> None:
    phone = Phone(client)
    mould_id = planter(client, screw_spacing_mm=60)
    row = client.get(f"{API}/moulds/{mould_id}").json()
    walls = f"/moulds/{mould_id}/walls"
    assert f"{walls}?piece={row['piece_id']}" in phone.open(f"/pieces/{row['piece_id']}").links
    assert walls in phone.open(f"/moulds/{mould_id}").links
    assert "A wall bows" in phone.open(f"{walls}?piece={row['piece_id']}").text


def test_lifts_that_were_logged_tell_what_presses_the_walls(
    client: TestClient, bench: Bench, rounds: Rounds, hands: Hands
) -> None:
    """Two of 300 mm a day apart: 300 press; who asks for it is told the walls under that."""
    mould_id = planter(client, screw_spacing_mm=60)
    piece_id = client.get(f"{API}/moulds/{mould_id}").json()["piece_id"]
    keys = {"mix_id": bench.mix_id, "place_id": bench.place_id, "mould_id": mould_id}
    begun = hands.now - timedelta(hours=30)
    sent = {**keys, "piece_id": piece_id, "placed_at": begun.isoformat()}
    pour = client.post(f"{API}/pours", json=sent).json()["id"]
    for hours in (0, 26):
        lift = {"thickness_mm": 300, "at": (begun + timedelta(hours=hours)).isoformat()}
        answer = client.post(f"{API}/pours/{pour}/batches", json=lift)
        assert answer.status_code == 201, answer.text
    walls = f"{API}/moulds/{mould_id}/walls"
    assert client.get(walls).json()["logged_fresh_mm"] is None, "not worked out yet"
    rounds.refresh(hands.now)
    rounds.project(hands.now)
    told = client.get(walls).json()
    assert (told["logged_fresh_mm"], told["fresh_mm"]) == (300.0, 600.0)
    phone = Phone(client)
    page = phone.open(f"/moulds/{mould_id}/walls")
    assert "300 mm of 600 mm pressed at once" in page.text
    (under,) = [one for one in page.links if "fresh_mm=300" in one]
    assert "at the foot of 300 mm fresh mix" in phone.open(under).text
    client.post(f"{API}/pours/{pour}/close")
    assert client.get(walls).json()["logged_fresh_mm"] is None
