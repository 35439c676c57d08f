"""Below a path of a host that others share: nothing of ours leads, or is kept, outside it."""

import re
from datetime import datetime
from pathlib import Path

import pytest
from fastapi import FastAPI
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse
from starlette.routing import Route
from starlette.testclient import TestClient

from models.errors import InputError
from service import under_path
from service.actions.people.join import invite_owner
from service.pages.static_files import held
from service.settings import Settings
from service.signed_in import SHARED_COOKIE
from service.store import Store
from service.under_path import UnderPath
from tests.support.phone import Phone

LEADS = re.compile(r'\s(?:href|src|action|formaction|data-answer|data-[a-z]+)="(/[^"]*)"')
ROOTED = re.compile(r"""(?<!endsWith\()["'`]/[\w$]""")
SEEN_AT_LEAST = 35  # pages that links of a full shop lead to


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(
        data=str(tmp_path),
        hosts="testserver",
        public_address="https://host.example/cast",
        notice_networks="127.0.0.0/8, ::1",
    )


def test_every_link_of_a_full_shop_stays_below_the_path(phone: Phone, poured: str) -> None:
    assert poured.startswith("/cast/pours/")
    asked, waiting, pages = set(), {"/cast/"}, 0
    while waiting:
        address = waiting.pop()
        asked.add(address)
        answer = phone.client.get(address)
        assert answer.status_code == 200, address
        if "text/html" not in answer.headers["content-type"]:
            continue
        pages += 1
        found = {one.replace("&amp;", "&") for one in LEADS.findall(answer.text)}
        assert [one for one in found if not one.startswith("/cast/")] == [], address
        assert "webcal://host.example/calendar" not in answer.text
        led = {link.partition("#")[0] for link in phone_links(answer.text)}
        waiting |= {one for one in led if "from=" not in one} - asked
    assert pages >= SEEN_AT_LEAST


def phone_links(html: str) -> set[str]:
    """What is asked for by GET: links, pictures, styles, scripts."""
    found = re.findall(r'<(?:a|img|link|script)\b[^>]*?\s(?:href|src)="(/[^"]*)"', html)
    return {one.replace("&amp;", "&") for one in found}


def test_what_is_kept_in_a_browser_is_kept_below_the_path(
    app: FastAPI, store: Store, now: datetime
) -> None:
    phone = Phone(TestClient(app, "https://host.example", headers={"accept": "text/html"}))
    with store.unit_of_work() as session:
        link = f"/join/{invite_owner(session, now)}"
    sheet = phone.open(f"/cast{link}").form(link)
    answer = phone.client.post(
        sheet.action,
        data={**sheet.fields, "name": "Owner", "password": "three dry words"},
        follow_redirects=False,
    )
    assert (answer.status_code, answer.headers["location"]) == (303, "/cast/")
    (kept,) = answer.headers.get_list("set-cookie")
    assert kept.startswith(f"{SHARED_COOKIE}=")
    assert "; Path=/cast;" in kept
    assert "; Secure" in kept
    assert phone.open("/cast/shop").text.count("Owner")
    left = phone.client.post("/cast/sign-out", follow_redirects=False)
    assert left.headers["location"] == "/cast/sign-in"
    assert "Path=/cast" in left.headers["set-cookie"]
    led = phone.client.get("/cast/shop?x=1", follow_redirects=False).headers["location"]
    assert led == "/cast/sign-in?then=%2Fshop%3Fx%3D1"


def test_whoever_chose_units_comes_back_to_the_page_where_they_did(phone: Phone) -> None:
    phone.client.headers["referer"] = "http://testserver/cast/shop/mix/new?x=1"
    answer = phone.client.post("/cast/reader", data={"flip": "1"}, follow_redirects=False)
    assert answer.headers["location"] == "/cast/shop/mix/new?x=1"
    assert "Path=/cast" in answer.headers["set-cookie"]


def test_the_machine_itself_and_a_proxy_that_takes_the_path_off_are_answered_too(
    phone: Phone,
) -> None:
    assert phone.client.get("/healthz").status_code == 200
    assert "/cast/tonight" in phone.open("/tonight").links
    answer = phone.client.get("/cast", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (308, "/cast/")
    assert phone.client.get("/castle").status_code == 404
    foreign = {"accept": "text/html", "sec-fetch-site": "cross-site"}
    assert 'href="/cast/static/' in phone.client.post("/cast/shop", headers=foreign).text


def test_programs_are_told_the_path(client: TestClient) -> None:
    assert client.get("/cast/api/v1/openapi.json").json()["servers"] == [{"url": "/cast"}]
    feed = client.get("/cast/api/v1/shop").json()["calendar_path"]
    assert feed.startswith("/cast/calendar/")
    assert client.get(feed).status_code == 200
    slash = client.get("/cast/api/v1/shop/", follow_redirects=False)
    assert slash.headers.get("location", "http://testserver/cast/").startswith(
        "http://testserver/cast/"
    )


def test_no_script_knows_an_address_of_a_host_that_is_all_ours() -> None:
    """A script finds the others from where it lies itself."""
    scripts = {name: one.content.decode() for name, one in held().items() if name.endswith(".js")}
    assert len(scripts) > 5
    assert [name for name, text in scripts.items() if ROOTED.search(text)] == []


def test_what_people_typed_is_not_taken_for_an_address(phone: Phone) -> None:
    sheet = phone.open("/cast/shop/place/new").form("/shop/place/new")
    phone.send(sheet, place__name='" href="/x', place__kind="open yard")
    assert "&#34; href=&#34;/x" in phone.open("/cast/shop").source


@pytest.mark.parametrize("path", ["/cast", "/3d"])
def test_whatever_the_path_begins_with_every_way_to_lead_goes_below_it(path: str) -> None:
    page = """<meta http-equiv="refresh" content="0;url=/week?a=1"><a href="/x" data-answer="/y">"""

    def answer(_: Request) -> HTMLResponse:
        return HTMLResponse(under_path.addressed(page))

    client = TestClient(UnderPath(Starlette(routes=[Route("/", answer)]), path))
    expected = f'content="0;url={path}/week?a=1"><a href="{path}/x" data-answer="{path}/y">'
    assert client.get(f"{path}/").text.endswith(expected)


def test_a_path_is_told_once() -> None:
    assert Settings(root_path="/cast").address == "http://127.0.0.1:8000/cast"
    told = Settings(root_path="/cast/", public_address="https://host.example")
    assert (told.address, told.root_path) == ("https://host.example/cast", "/cast")
    assert Settings(public_address="https://host.example/").address == "https://host.example"
    for bad in ("cast", "/ca st", "//host", "/a//b", '/"'):
        with pytest.raises(InputError, match="root_path"):
            Settings(root_path=bad)
    with pytest.raises(InputError, match="another path"):
        Settings(root_path="/cast", public_address="https://host.example/shop")
