"""The demo's shop read from end to end: words of the trade, no codes of the program."""

import re
from datetime import datetime

import pytest

from service import demo
from service.store import Store
from tests.support.phone import Phone

CODES = re.compile(
    r"degC|m2K|\bcoat-\d|\b(?:light|full)-use\b|end-wet-cure|\(s\)|\.\.|"
    r"; (?!Mon|Tue|Wed|Thu|Fri|Sat|Sun)[A-Z][a-z]+ |"
    r"\d{4}-\d\d-\d\dT|\bNone\b(?! (?:yet|was))|\bnan\b|\binf\b"
)


@pytest.fixture
def shown(store: Store, phone: Phone, now: datetime) -> list[str]:
    """Every pour page of the demo's shop, its steps and its record."""
    return [
        phone.open(f"/pours/{pour_id}{part}").text
        for pour_id in demo.fill(store, now, demo.Replay(demo.TIMEZONE))
        for part in ("", "/steps", "/record", "/care")
    ] + [phone.open("/").text]


def test_no_page_speaks_in_codes(shown: list[str]) -> None:
    said = {found.group() for text in shown for found in CODES.finditer(text)}
    assert said == set()


def test_an_open_step_never_shows_only_a_number_it_has_not_reached(shown: list[str]) -> None:
    (due,) = (text for text in shown if "What is due" in text)
    assert "or 3 d of curing at 10 C and more, whichever comes first" in due
    assert "and the face within 11 K of the coldest air of the next day" in due


@pytest.mark.usefixtures("bench")
def test_a_place_that_waits_for_its_forecast_is_not_asked_for_what_it_has(phone: Phone) -> None:
    page = phone.send(phone.open("/pour").form("/pour"))
    for path in ("/pours/1", "/pours/1/record", "/tonight?asked=1&piece_id=1&mix_id=1&place_id=1"):
        page = phone.open(path)
        assert "no forecast has been fetched yet" in page.text or path.endswith("record")
        assert ".." not in page.text, path
        assert "its coordinates" not in page.text
