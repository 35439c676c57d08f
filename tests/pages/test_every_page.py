"""Every page, on an empty and on a full shop: there, light, and strict about what it loads."""

import gzip

import pytest
from starlette.testclient import TestClient

from tests.support.phone import Phone

EMPTY = [
    "/",
    "/pour",
    "/tonight",
    "/shop",
    "/shop/settings",
    *(f"/shop/{noun}/new" for noun in ("piece", "mix", "place", "mould", "sealer")),
]
OF_POUR = [
    "",
    "/reading/add",
    "/set/add",
    "/dryness/add",
    "/look/add",
    "/cover/add",
    "/test/add",
    "/batch/add",
    "/weather/add",
    "/steps",
    "/edit",
    "/photos",
    "/record",
    "/care",
]
SUBSCRIBE = "webcal://127.0.0.1:8000/calendar/"  # of this shop, for a calendar program
HEAVIEST = 30_000  # bytes when packed, as a phone fetches it


def check(phone: Phone, path: str) -> None:
    page = phone.open(path)
    assert phone.status == 200
    assert len(gzip.compress(page.source.encode())) < HEAVIEST
    assert page.alone == [], f"{path} carries {page.alone}"
    leaving = [link for link in page.links if "//" in link and not link.startswith(SUBSCRIBE)]
    assert leaving == [], "a link leaves the shop"
    for sheet in page.forms:
        if sheet.method == "post" and sheet.action != "/reader":  # which stores nothing
            assert len(sheet.fields["key"][0]) == 32
    for href in ("/", "/pour", "/tonight", "/shop"):
        assert href in page.links


@pytest.mark.parametrize("path", EMPTY)
def test_a_page_of_an_empty_shop(phone: Phone, path: str) -> None:
    check(phone, path)


def test_every_page_of_a_full_shop(phone: Phone, poured: str) -> None:
    for path in [*EMPTY, *(f"{poured}{part}" for part in OF_POUR)]:
        check(phone, path)
    for noun in ("piece", "mix", "place", "mould"):
        check(phone, f"/shop/{noun}/1")


def test_the_policy_lets_nothing_in_from_elsewhere(client: TestClient) -> None:
    headers = client.get("/").headers
    assert headers["content-security-policy"].startswith("default-src 'none'")
    assert "http" not in headers["content-security-policy"]
    assert "unsafe" not in headers["content-security-policy"]
    assert headers["cache-control"] == "no-store"


@pytest.mark.usefixtures("bench")
def test_a_form_of_another_site_is_refused(client: TestClient) -> None:
    foreign = {"Sec-Fetch-Site": "cross-site", "Origin": "https://elsewhere.example"}
    assert client.post("/pour", data={"piece_id": "1"}, headers=foreign).status_code == 403
