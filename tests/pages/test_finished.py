"""Finished pours and things of the shop found again; an edit that asks which pours it means."""

import pytest
from starlette.testclient import TestClient

from models.records import Mix, Piece, Place, Pour
from service.pages import archive
from service.queries.poured import piece_label
from service.store import Store
from tests.support.phone import Phone
from tests.support.rows import rows
from tests.support.shop import Bench


def test_a_closed_pour_stands_in_the_finished_list_and_is_found_by_name_and_number(
    phone: Phone, store: Store, poured: str
) -> None:
    (pour,) = rows(store, Pour)
    assert "Nothing is finished yet" in phone.open("/shop/finished").text
    phone.client.post(f"/api/v1{poured}/close")
    for q in ("", pour.poured["piece"]["name"][1:].upper(), f"#{pour.id}"):
        page = phone.send(phone.open("/shop/finished").form("/finished"), q=q)
        assert piece_label(pour) in page.text
        assert poured in page.links
    page = phone.send(page.form("/finished"), q="50%")
    assert "Nothing finished is called so" in page.text


@pytest.mark.usefixtures("bench")
def test_the_finished_list_is_paged(
    phone: Phone, store: Store, client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(archive, "A_PAGE", 2)
    for _ in range(3):
        phone.send(phone.open("/pour").form("/pour"), confirm="1")
        client.post(f"/api/v1{phone.path}/close")
    newest_first = [f"/pours/{row.id}" for row in reversed(rows(store, Pour))]
    page = phone.open("/shop/finished")
    assert [link for link in page.links if link in newest_first] == newest_first[:2]
    (older,) = [link for link in page.links if "before_id" in link]
    page = phone.open(older)
    assert [link for link in page.links if link in newest_first] == newest_first[2:]


def test_an_edited_piece_asks_whether_the_pour_under_way_is_meant(
    phone: Phone, store: Store, poured: str, bench: Bench
) -> None:
    """P21: an edit rewrote old records."""
    (pour,) = rows(store, Pour)
    page = phone.open(f"/shop/piece/{bench.piece_id}")
    assert piece_label(pour) in page.text
    phone.send(page.form(f"/piece/{bench.piece_id}"), piece__thickness_mm="77 mm")
    assert phone.status == 200
    (piece,) = rows(store, Piece)
    assert piece.thickness_mm == 77.0
    (pour,) = rows(store, Pour)
    assert pour.poured["piece"]["thickness_mm"] != 77.0
    assert "× 77" not in phone.open(poured).text
    page = phone.open(f"/shop/piece/{bench.piece_id}")
    phone.send(page.form(f"/piece/{bench.piece_id}"), apply_to_pours=str(pour.id))
    (pour,) = rows(store, Pour)
    assert pour.poured["piece"]["thickness_mm"] == 77.0


@pytest.mark.usefixtures("bench")
def test_a_second_yard_without_a_name_gets_a_free_one(phone: Phone, store: Store) -> None:
    """P9b: named for you, and refused."""
    for _ in range(2):
        phone.send(phone.open("/shop/place/new").form("/place/new"))
        phone.send(phone.open("/shop/mix/new").form("/mix/new"))
        assert phone.status == 200
    assert {"Yard", "Yard 2"} <= {row.name for row in rows(store, Place)}
    assert {"General-purpose mix", "General-purpose mix 2"} <= {r.name for r in rows(store, Mix)}


@pytest.mark.usefixtures("bench")
def test_things_are_searched_by_name(phone: Phone, store: Store) -> None:
    name = rows(store, Mix)[0].name
    page = phone.send(phone.open("/shop/things").form("/things"), q=name[1:].upper())
    assert name in page.text
    assert "/shop/piece/1" not in page.links
