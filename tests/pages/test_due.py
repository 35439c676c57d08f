"""What is due: frost first, what can be done, until when and why, one look for all pieces."""

import re
from datetime import datetime, timedelta

import pytest

from models import message
from models.message import Message
from models.results import FrostWatch
from service.actions.shop.set_up_shop import change_shop
from service.pages.view import title
from service.store import Store
from tests.support.phone import Phone
from tests.support.shop import Hands, Sky, Windows
from tests.support.words import said


def test_an_empty_shop_offers_the_first_pour(phone: Phone) -> None:
    page = phone.open("/")
    assert "No pour is under way." in page.text
    assert "/pour" in page.links


def test_each_line_says_piece_what_until_when_and_why(
    phone: Phone, poured: str, windows: Windows, now: datetime
) -> None:
    windows.say("knock-out", "closing", now - timedelta(hours=2), now + timedelta(hours=1))
    windows.say("strip", "not yet", now + timedelta(hours=20))
    windows.say("hone", "not yet", now + timedelta(days=9))
    phone.send(phone.open(poured).form("/reckon"))
    page = phone.open("/")
    assert re.search(
        f"Do now North bench #1 {title('knock-out')} ◐ closing until today 19:00 in 60 min "
        + said("text", text=r"4\.2 MPa of 5\.0 at the coldest corner"),
        page.text,
        re.IGNORECASE,
    )
    assert f"{title('strip')} ○ not yet from tomorrow 14:00 in 20 h" in page.text
    assert title("hone") not in page.text
    assert f"{poured}#knock-out" in page.links


def test_frost_is_told_before_all_else(
    phone: Phone, poured: str, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "open", now - timedelta(hours=1))
    windows.warnings = (
        Message("evaporation_watch", {"rate_kg_m2h": 1.3, "limit_kg_m2h": 1.0}),
        Message("frost_froze", {"why": message.text("31% chance tonight")}),
        message.text("quiet one"),
    )
    phone.send(phone.open(poured).form("/reckon"))
    text = phone.open("/").text
    froze, fast = (said(one.code, **one.values)[:20].lower() for one in windows.warnings[1::-1])
    assert text.lower().index(froze) < text.lower().index(fast) < text.index("Do now")
    assert "quiet one" not in text


@pytest.mark.usefixtures("bench")
def test_a_blocked_pour_says_what_is_missing(phone: Phone) -> None:
    phone.send(phone.open("/pour").form("/pour"))
    text = phone.open("/").text
    assert "No answer yet North bench #1" in text
    assert "no forecast has been fetched yet" in text
    assert "No weather for Carport yet." in text
    assert "● open" not in text


@pytest.mark.usefixtures("poured")
def test_the_age_of_the_weather_and_its_credit_are_shown(phone: Phone, sky: Sky) -> None:
    text = phone.open("/").text
    assert "Carport: forecast 1 min old (a sky of the tests)." in text
    assert sky.attribution in text


def test_a_window_that_came_meanwhile_is_reckoned_before_it_is_shown(
    phone: Phone, poured: str, windows: Windows, now: datetime, hands: Hands
) -> None:
    windows.say("strip", "not yet", now + timedelta(minutes=30))
    phone.send(phone.open(poured).form("/reckon"))
    assert "○ not yet" in phone.open("/").text
    windows.say("strip", "open", now + timedelta(minutes=30))
    hands.forward(0.6)
    assert "● open" in phone.open("/").text


def test_a_piece_under_frost_strength_is_watched_in_the_cold(
    phone: Phone, poured: str, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "not yet", now + timedelta(hours=9))
    windows.frost_watch = FrostWatch(now + timedelta(hours=20), 0.04, 1.2)
    phone.send(phone.open(poured).form("/reckon"))
    text = phone.open("/").text
    assert "Frost watch North bench #1 under 3.5 MPa until tomorrow 14:00" in text
    assert "its coldest place 1.2 °C; 4% chance that it freezes" in text
    windows.frost_watch = FrostWatch(now + timedelta(hours=20), 0.0, 11.0)
    phone.send(phone.open(poured).form("/reckon"))
    assert "Frost watch" not in phone.open("/").text


@pytest.mark.usefixtures("poured")
def test_a_shop_on_another_clock_than_its_place_says_whose_hours_these_are(
    phone: Phone, store: Store, now: datetime
) -> None:
    assert "Hours are those of" not in phone.open("/").text
    with store.unit_of_work() as session:
        change_shop(session, now, {"timezone": "UTC"})
    assert "Hours are those of UTC; a sentence about a piece has its place's." in (
        phone.open("/").text
    )
