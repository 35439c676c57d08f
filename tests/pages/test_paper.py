"""Squares of addresses, and the page that says what the words mean."""

import pytest
from starlette.testclient import TestClient

from service.pages import qr
from service.settings import Settings
from tests.support.phone import Phone
from tests.support.shop import Bench


def test_a_sticker_of_before_codes_leads_to_what_lies_in_its_mould(
    client: TestClient, bench: Bench, pour_id: int
) -> None:
    sent = client.get(f"/in/{bench.mould_id}", follow_redirects=False)
    assert (sent.status_code, sent.headers["location"]) == (303, f"/pours/{pour_id}")
    client.post(f"/api/v1/pours/{pour_id}/close", json={"why": "finished"})
    free = client.get(f"/in/{bench.mould_id}", follow_redirects=False)
    assert (free.status_code, free.headers["location"]) == (303, f"/pour?mould={bench.mould_id}")
    assert client.get("/in/99").status_code == 404


@pytest.mark.parametrize(
    ("base", "public", "found"),
    [
        ("http://127.0.0.1:8000/", "", ""),
        ("http://localhost/", "", ""),
        ("http://[::1]:8000/", "", ""),
        ("http://192.168.1.7:8000/", "", "http://192.168.1.7:8000/in/3"),
        ("http://127.0.0.1/", "https://shop.example/", "https://shop.example/in/3"),
    ],
)
def test_no_square_leads_another_phone_to_itself(base: str, public: str, found: str) -> None:
    assert qr.address(Settings(data="x", public_address=public), base, "/in/3") == found
    assert bool(qr.drawn(found)) == bool(found)


def test_help_says_every_word_and_first_aid_has_its_own_place(phone: Phone) -> None:
    page = phone.open("/help")
    for key in ("probably-from", "safe-from", "chance", "strength", "wet-cure", "first-aid"):
        assert f'id="{key}"' in page.source
    assert "#first-aid" in page.links
    assert "20 minutes" in page.text
    assert page.alone == []
