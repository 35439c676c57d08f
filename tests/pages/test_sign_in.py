"""Who is in: the first owner, helpers by a link, passwords, and who cannot get in."""

import re
from datetime import datetime, timedelta

import pytest
from fastapi import FastAPI
from sqlmodel import select
from starlette.testclient import TestClient

from models.records import Invitation, Person, PushSubscription, Reading, SignIn
from service.actions.people.join import invite, invite_owner
from service.actions.people.sign_in import FREE_TRIES, Attempts, TooMany
from service.signed_in import COOKIE, SECURE_COOKIE
from service.store import Store
from tests.support.phone import Page, Phone
from tests.support.rows import newest, rows
from tests.support.shop import Hands

WORD = "three dry words"


@pytest.fixture
def link(store: Store, now: datetime) -> str:
    """What the terminal prints."""
    with store.unit_of_work() as session:
        return f"/join/{invite_owner(session, now)}"


def another(app: FastAPI) -> Phone:
    return Phone(TestClient(app, headers={"accept": "text/html"}))


def heading(page: Page) -> str:
    found = re.search(r"<h1[^>]*>([^<]*)", page.source)
    return found[1].strip() if found else ""


def joined(phone: Phone, link: str, name: str = "Owner of the shop") -> None:
    phone.send(phone.open(link).form(link), name=name, password=WORD)


def test_the_first_owner_joins_by_the_link_of_the_terminal_and_then_all_sign_in(
    app: FastAPI, phone: Phone, link: str
) -> None:
    assert heading(another(app).open("/")).startswith("Today")
    joined(phone, link)
    assert phone.open("/").text.count("Owner of the shop") == 1
    stranger = another(app)
    assert heading(stranger.open("/shop?x=1")).startswith("Sign in")
    page = stranger.send(
        stranger.open("/shop").form("/sign-in"), name="owner of the SHOP ", password=WORD
    )
    assert heading(page).startswith("My shop")


def test_a_link_lets_in_once_and_not_for_ever(
    app: FastAPI, phone: Phone, link: str, hands: Hands, store: Store, now: datetime
) -> None:
    joined(phone, link)
    assert "used already" in another(app).open(link).text
    with store.unit_of_work() as session:
        late = f"/join/{invite(session, now, 'helper')}"
    hands.now = now + timedelta(days=8)
    other = another(app)
    assert "too old" in other.open(late).text
    assert other.status == 404


def test_the_link_that_was_printed_before_ends_with_the_next_start(
    phone: Phone, link: str, store: Store, now: datetime
) -> None:
    with store.unit_of_work() as session:
        invite_owner(session, now)
    assert "used already" in phone.open(link).text
    assert len(rows(store, Invitation)) == 1


def test_no_secret_is_kept_as_it_is(phone: Phone, link: str, store: Store) -> None:
    joined(phone, link)
    kept = str([rows(store, table) for table in (Person, SignIn, Invitation)])
    held = phone.client.cookies.get(COOKIE) or "no cookie"
    for told in (WORD, link.rpartition("/")[2], held):
        assert told not in kept
    assert "$argon2id$" in kept


def test_wrong_name_and_wrong_password_are_one_sentence_without_what_was_typed(
    app: FastAPI, phone: Phone, link: str
) -> None:
    joined(phone, link)
    told: set[str] = set()
    for name in ("Owner of the shop", "Nobody at all"):
        other = another(app)
        form = other.open("/sign-in").form("/sign-in")
        page = other.send(form, name=name, password="quite another word")
        assert other.status == 422
        assert "quite another" not in page.source
        told.update(one.strip() for one in re.findall(r"[^:✕]*do not fit[^.]*", page.text))
    assert len(told) == 1


@pytest.mark.parametrize(
    ("name", "password", "named"),
    [("", WORD, "name"), ("Ann", "short", "password"), ("Ann", "x" * 300, "password")],
)
def test_no_name_and_a_short_password_are_refused_at_their_field(
    phone: Phone, link: str, store: Store, name: str, password: str, named: str
) -> None:
    page = phone.send(phone.open(link).form(link), name=name, password=password)
    assert phone.status == 422
    assert f'id="{named}-w"' in page.source
    assert not rows(store, Person)


def test_tries_are_limited_by_account_and_by_address(now: datetime) -> None:
    attempts = Attempts()
    for _ in range(FREE_TRIES):
        attempts.check(now, "name ann", "address 10.0.0.1")
        attempts.failed(now, "name ann", "address 10.0.0.1")
    for keys in (("name ann", "address 10.0.0.9"), ("name bob", "address 10.0.0.1")):
        with pytest.raises(TooMany) as first:
            attempts.check(now, *keys)
        assert first.value.wait == timedelta(seconds=15)
    attempts.check(now, "name bob", "address 10.0.0.9")
    attempts.check(now + timedelta(seconds=15), "name ann")
    attempts.failed(now + timedelta(seconds=15), "name ann")
    with pytest.raises(TooMany) as again:
        attempts.check(now + timedelta(seconds=15), "name ann")
    assert again.value.wait == timedelta(seconds=30)
    for k in range(20_000):
        attempts.failed(now, f"name {k}")
    assert len(attempts._failed) <= 10_002, "and their number costs no memory"


def test_who_guesses_is_told_to_wait_though_the_word_is_right(
    app: FastAPI, phone: Phone, link: str, hands: Hands, now: datetime
) -> None:
    joined(phone, link)
    thief = another(app)
    for _ in range(FREE_TRIES):
        thief.send(
            thief.open("/sign-in").form("/sign-in"), name="Owner of the shop", password="a guess"
        )
    sure = {"name": "Owner of the shop", "password": WORD}
    page = thief.send(thief.open("/sign-in").form("/sign-in"), **sure)
    assert thief.status == 429
    assert "in a minute" in page.text
    hands.now = now + timedelta(seconds=16)
    thief.send(thief.open("/sign-in").form("/sign-in"), **sure)
    assert heading(thief.open("/")).startswith("Today")


def test_a_secret_that_was_put_into_a_browser_before_is_never_signed_in(
    app: FastAPI, phone: Phone, link: str
) -> None:
    """Session fixation: each sign-in has a secret of its own."""
    joined(phone, link)
    victim, planted = another(app), "planted-by-somebody"
    victim.client.cookies.set(COOKIE, planted)
    sent = {"name": "Owner of the shop", "password": WORD}
    answer = victim.client.post("/sign-in", data=sent, follow_redirects=False)
    given = answer.cookies.get(COOKIE)
    assert given
    assert given != planted
    thief = another(app)
    thief.client.cookies.set(COOKIE, planted)
    assert heading(thief.open("/")).startswith("Sign in")


def test_another_site_signs_nobody_in(app: FastAPI, phone: Phone, link: str) -> None:
    """Login CSRF: a foreign page may not put its own account into the maker's browser."""
    joined(phone, link)
    client = TestClient(app)
    sent = {"name": "Owner of the shop", "password": WORD}
    for headers in ({"origin": "https://evil.example"}, {"sec-fetch-site": "cross-site"}):
        answer = client.post("/sign-in", data=sent, headers=headers, follow_redirects=False)
        assert answer.status_code == 403
        assert COOKIE not in answer.cookies


@pytest.mark.parametrize("then", ["https://evil.example/", "//evil.example", "/\\evil.example"])
def test_the_sign_in_leads_to_no_other_site(
    app: FastAPI, phone: Phone, link: str, then: str
) -> None:
    joined(phone, link)
    sent = {"name": "Owner of the shop", "password": WORD, "then": then}
    answer = TestClient(app).post("/sign-in", data=sent, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/")


def test_the_cookie_is_for_this_server_alone_and_over_https_for_https_alone(
    app: FastAPI, phone: Phone, link: str
) -> None:
    joined(phone, link)
    sent = {"name": "Owner of the shop", "password": WORD}
    for scheme, name in (("http", COOKIE), ("https", SECURE_COOKIE)):
        client = TestClient(app, base_url=f"{scheme}://testserver")
        told = client.post("/sign-in", data=sent, follow_redirects=False).headers["set-cookie"]
        assert told.startswith(f"{name}=")
        assert "HttpOnly" in told
        assert "SameSite=lax" in told
        assert "Domain" not in told
        assert ("Secure" in told) == (scheme == "https")


def test_signing_out_everywhere_ends_every_browser(app: FastAPI, phone: Phone, link: str) -> None:
    joined(phone, link)
    other = another(app)
    form = other.open("/sign-in").form("/sign-in")
    other.send(form, name="Owner of the shop", password=WORD)
    assert heading(other.open("/")).startswith("Today")
    phone.send(phone.open("/me").form("/me/everywhere"))
    for one in (phone, other):
        assert heading(one.open("/")).startswith("Sign in")


@pytest.mark.parametrize(
    "path", ["/me/everywhere", "/shop/people/2/out", "/shop/people/2/leave", "/shop/people/2/link"]
)
def test_who_is_signed_out_everywhere_is_told_nothing_on_those_screens(
    app: FastAPI, phone: Phone, link: str, store: Store, now: datetime, path: str
) -> None:
    joined(phone, link)
    with store.unit_of_work() as session:
        code = f"/join/{invite(session, now, 'viewer')}"
    viewer = another(app)
    joined(viewer, code, "Guest")
    with store.unit_of_work() as session:
        for whose in (None, 1, 2):
            at = f"https://push.example/{whose}"
            phone_kept = PushSubscription(
                created_at=now, endpoint=at, p256dh="", auth="", address="", person_id=whose
            )
            session.add(phone_kept)
    if path.startswith("/me"):
        viewer.send(viewer.open("/me").form(path))
    else:
        page = phone.send(phone.open("/shop/people").form(path))
        if anew := re.search(r"/join/[\w-]+", page.source):
            joined_anew = another(app)
            sheet = joined_anew.open(anew[0]).form(anew[0])
            joined_anew.send(sheet, password="three new words")
    assert [one.person_id for one in rows(store, PushSubscription)] == [None, 1]


def test_a_browser_that_was_not_seen_for_a_season_is_out(
    phone: Phone, link: str, hands: Hands, now: datetime
) -> None:
    joined(phone, link)
    hands.now = now + timedelta(days=89)
    assert heading(phone.open("/")).startswith("Today")
    hands.now = now + timedelta(days=89 + 89)
    assert heading(phone.open("/")).startswith("Today"), "it was seen meanwhile"
    hands.now = now + timedelta(days=89 + 89 + 91)
    assert heading(phone.open("/")).startswith("Sign in")


def test_a_helper_joins_by_a_link_and_the_record_says_who(
    app: FastAPI, phone: Phone, link: str, store: Store, poured: str, hands: Hands
) -> None:
    joined(phone, link)
    hands.forward(1)
    form = phone.open("/shop/people").form("/shop/people/invite")
    page = phone.send(form, name="for the new one", role="helper")
    code = re.search(r"/join/[\w-]+", page.source)
    assert code
    assert code[0] not in phone.open("/shop/people").source, "shown once"
    helper = another(app)
    joined(helper, code[0], "Second pair of hands")
    helper.send(helper.open(f"{poured}/reading/add").form("/reading"), kind="air", value_C="9 C")
    assert [row.logged_by for row in rows(store, Reading)] == ["Second pair of hands"]
    assert "Second pair of hands: reading" in phone.open(f"{poured}/record").text
    assert heading(helper.open("/shop/settings")).startswith("That is for others")
    assert helper.status == 403


def test_who_forgot_gets_a_link_to_a_new_password_and_every_browser_is_out(
    app: FastAPI, phone: Phone, link: str
) -> None:
    joined(phone, link)
    page = phone.send(phone.open("/shop/people").form("/shop/people/1/link"))
    code = re.search(r"/join/[\w-]+", page.source)
    assert code
    other = another(app)
    other.send(other.open(code[0]).form(code[0]), password="three new words")
    assert heading(other.open("/")).startswith("Today")
    assert heading(phone.open("/")).startswith("Sign in")
    phone.send(phone.open("/sign-in").form("/sign-in"), name="Owner of the shop", password=WORD)
    assert phone.status == 422


def test_the_only_owner_neither_leaves_nor_gives_the_shop_away(
    phone: Phone, link: str, store: Store
) -> None:
    joined(phone, link)
    for path, fields in (("role", {"role": "viewer"}), ("leave", {})):
        page = phone.send(phone.open("/shop/people").form(f"/shop/people/1/{path}"), **fields)
        assert phone.status == 422
        assert "another owner first" in page.text
    assert [(one.role, one.left_at) for one in rows(store, Person)] == [("owner", None)]


def test_who_left_is_out_and_their_name_may_be_given_again(
    app: FastAPI, phone: Phone, link: str, store: Store, now: datetime
) -> None:
    joined(phone, link)
    for _ in range(2):
        with store.unit_of_work() as session:
            code = f"/join/{invite(session, now, 'viewer')}"
        viewer = another(app)
        joined(viewer, code, "Guest")
        assert heading(viewer.open("/")).startswith("Today")
        last = newest(store, Person).id
        phone.send(phone.open("/shop/people").form(f"/shop/people/{last}/leave"))
        assert heading(viewer.open("/")).startswith("Sign in")


def test_a_new_password_wants_the_old_one(phone: Phone, link: str) -> None:
    joined(phone, link)
    form = phone.open("/me").form("/me/password")
    phone.send(form, old="not this one", password="three new words")
    assert phone.status == 422
    page = phone.send(phone.open("/me").form("/me/password"), old=WORD, password="three new words")
    assert "Your password is another now" in page.text


def test_who_guesses_the_old_password_on_a_phone_that_lies_about_has_to_wait(
    phone: Phone, link: str
) -> None:
    joined(phone, link)
    for _ in range(FREE_TRIES):
        form = phone.open("/me").form("/me/password")
        phone.send(form, old="a guess", password="three new words")
    form = phone.open("/me").form("/me/password")
    page = phone.send(form, old=WORD, password="three new words")
    assert phone.status == 422
    assert "too often" in page.text
    assert 'id="old-w"' in page.source


def test_a_machine_is_let_in_and_its_token_shown_once(phone: Phone, link: str, poured: str) -> None:
    joined(phone, link)
    form = phone.open("/shop/people").form("/shop/people/machines")
    page = phone.send(form, name="Yard logger", kind="instrument", place_id="1")
    token = re.search(r'id="told" value="([\w-]{40,})"', page.source)
    assert token
    again = phone.open("/shop/people")
    assert token[1] not in again.source
    assert "Yard logger : instrument" in again.text
    sent = TestClient(phone.client.app).post(
        f"/api/v1{poured}/readings",
        json={"kind": "air", "value_C": 8.0, "at": "2026-10-14T23:00:00+00:00"},
        headers={"authorization": f"Bearer {token[1]}"},
    )
    assert sent.status_code == 201, sent.text
    phone.send(again.form("/shop/people/machines/1/revoke"))
    assert "Yard logger" not in phone.open("/shop/people").text


def test_the_calendar_address_is_told_to_owners_alone(
    app: FastAPI, phone: Phone, link: str, store: Store, now: datetime
) -> None:
    joined(phone, link)
    with store.unit_of_work() as session:
        code = f"/join/{invite(session, now, 'helper')}"
    helper = another(app)
    joined(helper, code, "Helper")
    told = [one.client.get("/api/v1/shop").json()["calendar_path"] for one in (phone, helper)]
    assert told[0].startswith("/calendar/")
    assert told[1] == ""


def test_people_are_found_among_the_shop(phone: Phone, store: Store) -> None:
    assert "/shop/people" in phone.open("/shop").links
    with store.reading() as session:
        assert session.exec(select(Person)).first() is None
    assert "Nobody has joined" in phone.open("/shop/people").text
