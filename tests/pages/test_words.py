"""The demo's shop read from end to end: words of the trade, no codes of the program."""

import re
from datetime import datetime
from pathlib import Path

import pytest

from models.planning import timeline
from service import demo, scenario_file
from service.cli import scenario_air
from service.store import Store
from service.words import PLAIN, say
from tests.support.phone import Phone

DATA = Path(scenario_file.__file__).parent / "demo_data"
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
        for pour_id in demo.fill(store, demo.Replay(demo.TIMEZONE, now))
        for part in ("", "/steps", "/record", "/care")
    ] + [phone.open("/").text]


def test_no_page_speaks_in_codes(shown: list[str]) -> None:
    said = {found.group() for text in shown for found in CODES.finditer(text)}
    assert said == set()


def test_a_step_never_shows_only_a_number_it_has_not_reached() -> None:
    """Days of curing end the wet cure as well as strength does: its first reason says both."""
    file = scenario_file.read(DATA / "ember-surround.toml")
    assert file.asked_at is not None
    answer = timeline.project(
        file.scenario, scenario_air.of(file, None, file.asked_at), file.asked_at
    )
    (cure,) = (one for one in answer.steps if one.step == "end-wet-cure")
    assert "whichever comes first" in say(cure.because[0], PLAIN)


def test_today_is_short_and_keeps_its_numbers_for_the_page_of_a_piece(shown: list[str]) -> None:
    (today,) = (text for text in shown if text.startswith("Today"))
    assert "MPa" not in today
    assert "psi" not in today
    assert len(today.split()) < 250
