"""It went wrong: the cards, with and without a pour, and first aid one tap away and offline."""

import re
from pathlib import Path

from starlette.testclient import TestClient

from models.facts.faults import FAULTS
from models.facts.mends import CARD_OF, MENDS
from models.sources import SOURCES
from service.pages import saved
from service.words.reader import PLAIN
from tests.support.phone import Phone
from tests.support.shop import HOUR, Hands, Windows

WORKER = Path(saved.__file__).parent / "static" / "worker_pages.js"


def test_every_card_says_what_to_look_at_what_it_means_and_when_to_cast_again() -> None:
    for key, row in MENDS.items():
        told = saved.card(key, PLAIN)
        assert all(len(part) > 15 for part in (told.look, told.verdict, told.do, told.again)), key
        assert row.sources
        assert all(one in SOURCES for one in row.sources)
    assert CARD_OF.keys() <= set(FAULTS)
    assert set(CARD_OF.values()) <= MENDS.keys()


def test_the_cards_are_read_without_signing_in_and_lead_to_first_aid(phone: Phone) -> None:
    page = phone.open("/help/saved")
    assert page.source.count("<h2 id=") == len(MENDS)
    assert "/help/first-aid" in page.links
    assert page.forms == [] or all(one.action == "/reader" for one in page.forms)


def test_of_a_pour_a_card_tells_the_hours_that_its_mend_waits_for(
    phone: Phone, poured: str, windows: Windows, hands: Hands, client: TestClient
) -> None:
    windows.say("strip", "not yet", hands.now + 30 * HOUR)
    client.post("/api/v1/places/1/weather/refresh")
    page = phone.open(poured)
    assert f"{poured}/saved" in page.links
    page = phone.open(f"{poured}/saved")
    frozen = page.source.split('<h2 id="frozen">')[1].split("</section>")[0]
    assert "<b>Strip" in frozen
    assert "<time" in frozen


def test_first_aid_is_one_tap_away_on_every_page_and_says_the_twenty_minutes(
    phone: Phone, poured: str
) -> None:
    for path in ("/", poured, "/shop", "/help/saved"):
        assert "/help/first-aid" in phone.open(path).links, path
    text = phone.open("/help/first-aid").text
    for words in ("20 minutes", "doctor", "emergency number", "isocyanate", "Acid", "poison line"):
        assert words in text, words
    assert "20 minutes" in phone.open("/help").text  # and where it always stood


def test_the_phone_keeps_both_before_anybody_needs_them() -> None:
    script = WORKER.read_text(encoding="utf-8")
    always = re.search(r"ALWAYS = \[(.*?)\]", script)
    may_keep = re.search(r"MAY_KEEP = /(.*)/;", script)
    assert always
    assert may_keep
    for name in ("help/first-aid", "help/saved"):
        assert f'"{name}"' in always[1]
        assert re.fullmatch(may_keep[1].replace(r"\/", "/"), name)
    assert re.fullmatch(may_keep[1].replace(r"\/", "/"), "pours/12/saved")
