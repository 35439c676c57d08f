"""Every page, on an empty and on a full shop: there, light, and strict about what it loads."""

import pytest
from starlette.testclient import TestClient

from tests.support.phone import Phone

EMPTY = [
    "/",
    "/pour",
    "/tonight",
    "/shop",
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
HEAVIEST = 30_000


def check(phone: Phone, path: str) -> None:
    page = phone.open(path)
    assert phone.status == 200
    assert len(page.source.encode()) < HEAVIEST
    assert page.alone == [], f"{path} carries {page.alone}"
    assert not [link for link in page.links if "//" in link], "a link leaves the shop"
    for sheet in page.forms:
        if sheet.method == "post":
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


def test_the_style_is_small_and_the_script_is_not_needed(client: TestClient) -> None:
    style = client.get("/static/castclock.css")
    assert style.headers["content-type"].startswith("text/css")
    assert len(style.content) < 8192
    assert b"http" not in style.content
    assert client.get("/static/here.js").headers["content-type"].startswith("text/javascript")
    sheet = client.get("/static/sheet.css")
    assert len(sheet.content) < 4096
    assert b"http" not in sheet.content
    assert client.get("/static/../view.py").status_code == 404
    assert client.get("/static/other.css").status_code == 404


@pytest.mark.usefixtures("bench")
def test_a_form_of_another_site_is_refused(client: TestClient) -> None:
    foreign = {"Sec-Fetch-Site": "cross-site", "Origin": "https://elsewhere.example"}
    assert client.post("/pour", data={"piece_id": "1"}, headers=foreign).status_code == 403
