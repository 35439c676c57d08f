"""Passkeys: who adds one with the password, who gets in by it, and what gets nobody in."""

import base64
import json
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from functools import cache
from typing import Any

import pytest
from fastapi import FastAPI
from httpx2 import Response
from sqlmodel import Session
from starlette.testclient import TestClient

from models.errors import InputError
from models.records import Challenge, IdempotencyKey, Passkey, Person
from service import secret
from service.actions.people import join
from service.actions.people.passkeys import (
    LASTS,
    MOST_OPEN,
    Site,
    add,
    ask_to_add,
    ask_to_sign_in,
    take,
    who,
)
from service.actions.people.sign_in import FREE_TRIES, Attempts, begin
from service.settings import Settings
from service.signed_in import COOKIE, SECURE_COOKIE
from service.store import Store
from tests.support.authenticator import Authenticator
from tests.support.phone import Phone
from tests.support.rows import rows
from tests.support.shop import Hands
from tests.support.words import said

SITE, HOST = "https://shop.example", "shop.example"
WORD = "three dry words"
Joined = Callable[..., Phone]


@pytest.fixture
def settings(settings: Settings) -> Settings:
    return replace(settings, hosts=f"testserver, {HOST}, other.example")


@cache
def hashed() -> str:
    """Made once: each costs as much as a try."""
    return secret.hashed(WORD)


@pytest.fixture
def joined(app: FastAPI, store: Store, now: datetime) -> Joined:
    """The phone of a new person who is in."""

    def make(name: str = "Owner", role: str = "owner", site: str = SITE) -> Phone:
        client = TestClient(app, site, headers={"accept": "text/html"})
        with store.unit_of_work() as session:
            person = Person(created_at=now, name=name, role=role, password_hash=hashed())
            session.add(person)
            session.flush()
            cookie = SECURE_COOKIE if site == SITE else COOKIE
            client.cookies.set(cookie, begin(session, now, person.id, "A browser"))
        return Phone(client)

    return make


@pytest.fixture
def stranger(app: FastAPI) -> Phone:
    return Phone(TestClient(app, SITE, headers={"accept": "text/html"}))


def asked(phone: Phone, path: str, **fields: str) -> dict[str, Any]:
    answer = phone.client.post(f"{path}/challenge", data=fields)
    assert answer.status_code == 200, answer.text
    told: dict[str, Any] = answer.json()
    return told


def asked_to_add(phone: Phone) -> dict[str, Any]:
    return asked(phone, "/me/passkeys", passkey_password=WORD)


def added(phone: Phone, key: Authenticator, name: str = "My phone") -> None:
    answer = key.made(asked_to_add(phone))
    page = phone.send(phone.open("/me").form("/me/passkeys"), passkey=answer, passkey_name=name)
    assert said("saved_passkey", name=name) in page.text


def enter(phone: Phone, answer: str, then: str = "/") -> Response:
    return phone.client.post(
        "/sign-in/passkey", data={"passkey": answer, "then": then}, follow_redirects=False
    )


def got_in(answer: Response) -> bool:
    cookie = SECURE_COOKIE in answer.headers.get("set-cookie", "")
    assert cookie == (answer.status_code == 303)
    return cookie


def test_a_passkey_that_was_added_signs_in_and_one_that_was_removed_does_not(
    joined: Joined, stranger: Phone, store: Store
) -> None:
    phone, key = joined(), Authenticator(SITE, HOST)
    added(phone, key)
    answer = enter(stranger, key.signed(asked(stranger, "/sign-in/passkey")), "/shop?x=1")
    assert got_in(answer)
    assert answer.headers["location"] == "/shop?x=1"
    assert "Owner" in stranger.open("/me").text
    assert "My phone" in stranger.page.text
    assert rows(store, Passkey)[0].sign_count == 1
    page = phone.send(phone.open("/me").form("/remove"))
    assert said("saved_no_passkey") in page.text
    assert rows(store, Passkey) == []
    again = Phone(TestClient(stranger.client.app, SITE))
    assert not got_in(enter(again, key.signed(asked(again, "/sign-in/passkey"))))


def test_the_browser_is_asked_for_a_key_of_this_host_that_the_phone_unlocks(
    joined: Joined, stranger: Phone
) -> None:
    phone, key = joined(), Authenticator(SITE, HOST)
    told = asked_to_add(phone)
    assert told["rp"]["id"] == HOST
    assert told["user"]["name"] == "Owner"
    wanted = told["authenticatorSelection"]
    assert (wanted["userVerification"], wanted["residentKey"]) == ("required", "required")
    added(phone, key)
    assert len(asked_to_add(phone)["excludeCredentials"]) == 1
    to_enter = asked(stranger, "/sign-in/passkey")
    assert (to_enter["rpId"], to_enter["userVerification"]) == (HOST, "required")
    assert to_enter["allowCredentials"] == []  # whose keys there are is told to nobody
    assert to_enter["challenge"] != asked(stranger, "/sign-in/passkey")["challenge"]


def test_only_who_knows_the_password_adds_a_passkey(joined: Joined, store: Store) -> None:
    phone = joined()
    for _ in range(FREE_TRIES):
        wrong = phone.client.post("/me/passkeys/challenge", data={"passkey_password": "no"})
        assert wrong.status_code == 422
    late = phone.client.post("/me/passkeys/challenge", data={"passkey_password": WORD})
    assert late.status_code == 422
    assert "too often" in late.text
    assert rows(store, Challenge) == []


def test_a_challenge_is_good_once_and_not_for_ever(
    joined: Joined, stranger: Phone, hands: Hands, store: Store
) -> None:
    phone, key = joined(), Authenticator(SITE, HOST)
    added(phone, key)
    answer = key.signed(asked(stranger, "/sign-in/passkey"))
    assert got_in(enter(stranger, answer))
    other = Phone(TestClient(stranger.client.app, SITE))
    assert not got_in(enter(other, answer))
    old = key.signed(asked(other, "/sign-in/passkey"))
    hands.now += LASTS + timedelta(seconds=1)
    assert not got_in(enter(other, old))
    asked(other, "/sign-in/passkey")
    assert len(rows(store, Challenge)) == 1  # those that are too old are swept away
    made = replace(key, credential=b"another sixteen.").made(asked_to_add(phone))
    sheet = phone.open("/me").form("/me/passkeys")
    phone.send(sheet, passkey=made, passkey_name="One")
    phone.send(phone.open("/me").form("/me/passkeys"), passkey=made, passkey_name="Two")
    assert phone.status == 422
    assert [one.name for one in rows(store, Passkey)] == ["My phone", "One"]


def test_a_failed_try_uses_its_challenge_up(joined: Joined, stranger: Phone) -> None:
    phone, key = joined(), Authenticator(SITE, HOST)
    added(phone, key)
    options = asked(stranger, "/sign-in/passkey")
    assert not got_in(enter(stranger, replace(key, origin="https://evil.example").signed(options)))
    assert not got_in(enter(stranger, key.signed(options)))


@pytest.mark.parametrize(
    "other",
    [
        {"origin": "https://evil.example"},
        {"origin": "http://shop.example"},
        {"origin": "https://shop.example:8443"},
        {"host": "evil.example"},
        {"verified": False},
    ],
)
def test_what_another_page_got_or_no_finger_unlocked_is_refused(
    joined: Joined, stranger: Phone, store: Store, other: dict[str, Any]
) -> None:
    phone, key = joined(), Authenticator(SITE, HOST)
    made = replace(key, **other).made(asked_to_add(phone))
    phone.send(phone.open("/me").form("/me/passkeys"), passkey=made, passkey_name="Mine")
    assert phone.status == 422
    assert rows(store, Passkey) == []
    added(phone, key)
    changed = replace(key, **other)
    assert not got_in(enter(stranger, changed.signed(asked(stranger, "/sign-in/passkey"))))
    assert got_in(enter(stranger, key.signed(asked(stranger, "/sign-in/passkey"))))


def test_a_key_of_one_host_signs_in_at_no_other(joined: Joined, app: FastAPI) -> None:
    key = Authenticator(SITE, HOST)
    added(joined(), key)
    there = Phone(TestClient(app, "https://other.example"))
    moved = replace(key, origin="https://other.example", host="other.example")
    assert not got_in(enter(there, moved.signed(asked(there, "/sign-in/passkey"))))


def test_the_key_of_another_person_is_theirs(joined: Joined, store: Store) -> None:
    owner, helper = joined(), joined("Helper", "helper")
    key = Authenticator(SITE, HOST)
    added(owner, key)
    (row,) = rows(store, Passkey)
    assert helper.client.post(f"/me/passkeys/{row.id}/remove").status_code == 404
    assert len(rows(store, Passkey)) == 1
    theirs = asked_to_add(owner)  # a challenge that was made for the owner
    sheet = helper.open("/me").form("/me/passkeys")
    mine = replace(key, credential=b"another sixteen.")
    helper.send(sheet, passkey=mine.made(theirs), passkey_name="Mine")
    assert helper.status == 422
    again = key.made(asked_to_add(helper))  # a number that is the owner's
    helper.send(helper.open("/me").form("/me/passkeys"), passkey=again, passkey_name="Mine")
    assert helper.status == 422
    assert [one.person_id for one in rows(store, Passkey)] == [row.person_id]


def test_a_copy_of_a_key_is_noticed_by_its_count(joined: Joined, stranger: Phone) -> None:
    key = Authenticator(SITE, HOST)
    added(joined(), key)
    copy = replace(key)
    for _ in range(2):
        assert got_in(enter(stranger, key.signed(asked(stranger, "/sign-in/passkey"))))
    assert not got_in(enter(stranger, copy.signed(asked(stranger, "/sign-in/passkey"))))


def test_who_signs_with_another_key_is_told_to_wait(joined: Joined, stranger: Phone) -> None:
    key = Authenticator(SITE, HOST)
    added(joined(), key)
    forged = Authenticator(SITE, HOST)
    for _ in range(FREE_TRIES):
        answer = enter(stranger, forged.signed(asked(stranger, "/sign-in/passkey")))
        assert answer.status_code == 422
    late = enter(stranger, key.signed(asked(stranger, "/sign-in/passkey")))
    assert late.status_code == 429
    assert int(late.headers["retry-after"]) > 0


def test_who_left_or_got_a_new_password_has_no_passkey(
    joined: Joined, stranger: Phone, store: Store, now: datetime
) -> None:
    owner, key = joined(), Authenticator(SITE, HOST)
    added(owner, key)
    (row,) = rows(store, Passkey)
    with store.unit_of_work() as session:
        code = join.invite(session, now, "owner", "Owner", row.person_id)
    stranger.send(stranger.open(f"/join/{code}").form(code), password="four very dry words")
    assert rows(store, Passkey) == []
    helper, theirs = joined("Helper", "helper"), replace(key, credential=b"another sixteen.")
    added(helper, theirs)
    with store.unit_of_work() as session:
        join.leave(session, now, rows(store, Passkey)[0].person_id)
    assert rows(store, Passkey) == []


def test_where_the_address_is_not_secure_no_key_is_asked_for(joined: Joined, store: Store) -> None:
    phone = joined(site=f"http://{HOST}")
    answer = phone.client.post("/me/passkeys/challenge", data={"passkey_password": WORD})
    assert answer.status_code == 422
    assert phone.client.post("/sign-in/passkey/challenge").status_code == 422
    assert rows(store, Challenge) == []


NO_ANSWERS = [
    "",
    "no json",
    "[" * 5000,
    "x" * 30_000,
    "[1]",
    '"text"',
    "{}",
    '{"response": 3}',
    '{"response": {"clientDataJSON": 3}}',
    '{"response": {"clientDataJSON": "e30"}}',
    '{"response": {"clientDataJSON": "W10"}}',
    json.dumps({"response": {"clientDataJSON": base64.urlsafe_b64encode(b"[" * 9_000).decode()}}),
    '{"response": {"clientDataJSON": "eyJjaGFsbGVuZ2UiOiB7fX0"}}',
]
DEEP = base64.urlsafe_b64encode(b"[" * 12_000).decode()
BROKEN = ["\ud800", "\0", DEEP, "", "AA", "!!!!", "oA", "o2NmbXRkbm9uZQ", 7, None, {}]


def test_an_answer_that_no_phone_gave_is_refused(
    joined: Joined, stranger: Phone, store: Store, now: datetime
) -> None:
    phone = joined()
    for answer in NO_ANSWERS:
        with store.unit_of_work() as session, pytest.raises(InputError, match="passkey"):
            take(session, now, answer, None)
    assert enter(stranger, NO_ANSWERS[1]).status_code == 422
    phone.send(phone.open("/me").form("/me/passkeys"), passkey="", passkey_name="x")
    assert phone.status == 422


@pytest.mark.parametrize("part", ["attestationObject", "authenticatorData", "signature", "id"])
def test_a_broken_part_of_an_answer_is_refused(
    joined: Joined, store: Store, now: datetime, part: str
) -> None:
    phone, key, site = joined(), Authenticator(SITE, HOST), Site(SITE)
    added(phone, key)
    new = replace(key, credential=b"another sixteen.")
    (row,) = rows(store, Passkey)

    def make(session: Session, sent: str) -> None:
        add(session, now, site, row.person_id, sent, "x")

    def sign(session: Session, sent: str) -> None:
        challenge = take(session, now, sent, row.person_id)
        who(session, now, Attempts(), site, challenge, sent, "")

    for broken in BROKEN:
        for made in (True, False):
            with store.unit_of_work() as session:
                asked = ask_to_add(session, now, site, row.person_id)
                told = (new.made if made else key.signed)(json.loads(asked))
            answer = json.loads(told)
            if part != "id" and part not in answer["response"]:
                continue
            (answer if part == "id" else answer["response"])[part] = broken
            sent = json.dumps(answer)
            with store.unit_of_work() as session, pytest.raises(InputError, match="passkey"):
                (make if made else sign)(session, sent)
    assert len(rows(store, Passkey)) == 1


def test_challenges_that_nobody_answers_fill_no_disk(any_store: Store, now: datetime) -> None:
    """The oldest go, but for those of people who are in."""
    with any_store.unit_of_work() as session:
        person = Person(created_at=now, name="Ada", role="owner", password_hash="none")
        session.add(person)
        session.flush()
        ask_to_add(session, now, Site(SITE), person.id)
        for number in range(MOST_OPEN):
            until = now + LASTS
            session.add(Challenge(created_at=now, digest=f"{number}", until=until))
    for _ in range(2):
        with any_store.unit_of_work() as session:
            ask_to_sign_in(session, now, Site(SITE))
    kept = rows(any_store, Challenge)
    assert len(kept) == 1 + MOST_OPEN
    assert kept[0].person_id is not None
    assert kept[1].digest == "2"


def test_no_password_is_kept_even_as_part_of_a_digest(joined: Joined, store: Store) -> None:
    """Two changes that differ in the passwords alone are one to the key of the form."""
    phone = joined()
    sheet = phone.open("/me").form("/me/password")
    phone.send(sheet, old=WORD, password="four very dry words")
    phone.send(sheet, old="four very dry words", password=WORD)
    assert len([one for one in rows(store, IdempotencyKey) if one.status == 303]) == 1


def test_of_two_answers_to_one_challenge_one_counts_on_every_database(
    any_store: Store, now: datetime
) -> None:
    with any_store.unit_of_work() as session:
        asked = json.loads(ask_to_sign_in(session, now, Site(SITE)))
    answer = Authenticator(SITE, HOST).signed(asked)
    with any_store.unit_of_work() as session:
        assert take(session, now, answer, None)
    with any_store.unit_of_work() as session, pytest.raises(InputError, match="used"):
        take(session, now, answer, None)
