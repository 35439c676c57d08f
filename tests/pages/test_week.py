"""The week on the phone: each hour with its cheapest passing way; one hour with all its ways."""

from datetime import UTC, datetime, timedelta

import pytest

from models.message import Message
from models.planning import watch
from service.actions.shop.set_up_shop import save_place
from service.answer_fields import MessageResponse
from service.answers import PourOptionResponse, RiskResponse
from service.pages import view
from service.pages.week import _grid
from service.store import Store
from service.words import Reader, say, word
from tests.support.phone import Page, Phone
from tests.support.words import said, tells

HEAVIEST = 30_000


def week(phone: Phone, **typed: str) -> Page:
    told = phone.send(phone.open("/tonight").form("/tonight"), **typed)
    (link,) = [href for href in told.links if href.startswith("/week?")]
    return phone.open(link)


def ask_tonight(phone: Phone, **typed: str) -> Page:
    return phone.send(phone.open("/tonight").form("/tonight"), **typed)


def starts(page: Page) -> list[tuple[str, str]]:
    return [(words, value) for words, name, value in page.form("/week").buttons if name == "at"]


@pytest.mark.usefixtures("poured")
def test_every_hour_has_a_sign_a_word_and_a_number(phone: Phone) -> None:
    page = week(phone, concrete_C="15 C")
    assert phone.status == 200
    cells = starts(page)
    assert len(cells) >= 24
    assert all(words[0] in "✓✕" and "%" in words and len(words.split()) >= 2 for words, _ in cells)
    assert len({value for _, value in cells}) == len(cells)
    assert len(page.source.encode()) < HEAVIEST
    assert page.alone == []


@pytest.mark.usefixtures("poured")
def test_a_tapped_hour_shows_all_ways_and_agrees_with_its_cell(phone: Phone) -> None:
    page = week(phone, concrete_C="15 C")
    for words, value in starts(page)[::9]:
        hour = phone.send(page.form("/week"), at=value)
        assert phone.status == 200
        assert ("✓ passes" in hour.text) == words.startswith("✓"), (words, value)
        assert "bare" in hour.text
        assert "all hours" in hour.text


@pytest.mark.usefixtures("poured")
def test_a_cold_hour_says_which_water_and_what_forbids_the_rest(phone: Phone) -> None:
    page = week(phone, night_low_C="30 F", day_high_C="40 F")
    _, value = starts(page)[0]
    text = phone.send(page.form("/week"), at=value).text
    assert tells(text, "mixing_water")
    assert word("risk", watch.COLD) in text
    assert tells(text, "way_cover_warm_water", cover=said("cover", cover="blanket"))


@pytest.mark.usefixtures("bench")
def test_no_weather_is_a_wait_and_no_grid(phone: Phone) -> None:
    page = phone.open("/week?piece_id=1&mix_id=1&place_id=1")
    assert "✕ wait" in page.text.lower()
    assert tells(page.text, "no_weather")
    assert not [one for one in page.forms if one.action == "/week"]


@pytest.mark.usefixtures("poured")
def test_a_bad_hour_is_refused_and_a_bad_form_leads_back_to_its_notes(phone: Phone) -> None:
    asked = "/week?piece_id=1&mix_id=1&place_id=1"
    for at in ("soon", "2026-01-01T10:00"):
        phone.open(f"{asked}&at={at}")
        assert phone.status == 422, at
    page = phone.open(f"{asked}&night_low_C=cold&day_high_C=5")
    assert phone.status == 422
    assert "night_low_C" in page.notes
    assert phone.open("/week").form("/tonight")


@pytest.mark.usefixtures("poured")
def test_an_hour_that_has_passed_leads_to_the_week_as_it_is_now(phone: Phone) -> None:
    page = phone.open("/week?piece_id=1&mix_id=1&place_id=1&at=1999-01-01T10:00%2B00:00")
    assert phone.status == 200
    assert starts(page)


@pytest.mark.usefixtures("poured")
def test_a_heated_room_of_the_shop_is_one_of_the_ways(
    phone: Phone, store: Store, now: datetime
) -> None:
    page = week(phone, night_low_C="30 F", day_high_C="40 F")
    _, value = starts(page)[0]
    assert "indoors" not in phone.send(page.form("/week"), at=value).text
    with store.unit_of_work() as session:
        save_place(session, now, {"name": "Shed", "kind": "unheated room"})
        save_place(session, now, {"name": "Hall", "kind": "heated room", "setpoint_C": 18.0})
    assert f"✓ passes: {said('way_indoors')}" in phone.send(page.form("/week"), at=value).text


@pytest.mark.usefixtures("poured")
def test_the_week_is_of_the_place_asked_about_and_the_room_is_told_once(
    phone: Phone, store: Store, now: datetime
) -> None:
    before = starts(week(phone, night_low_C="30 F", day_high_C="40 F"))
    assert any(words.startswith("✕") for words, _ in before)
    with store.unit_of_work() as session:
        save_place(session, now, {"name": "Hall", "kind": "heated room", "setpoint_C": 18.0})
    page = week(phone, night_low_C="30 F", day_high_C="40 F")
    assert starts(page) == before
    assert page.text.count("Indoors, in your own room: every hour passes.") == 1


@pytest.mark.usefixtures("poured")
def test_every_way_of_an_hour_tells_its_coldest_corner_strip_and_turn(phone: Phone) -> None:
    page = week(phone, concrete_C="15 C")
    _, value = starts(page)[0]
    text = phone.send(page.form("/week"), at=value).text
    assert text.count("Coldest corner") == text.count("✓ passes") + text.count("✕ no")
    assert text.count("Strip, sure:") == text.count("; turn:") == text.count("Coldest corner")
    told = ask_tonight(phone, concrete_C="15 C")
    assert "coldest corner" in told.text
    assert "strip, sure:" in told.text
    assert "turn:" in told.text


def option(
    at: datetime,
    way: Message,
    effort: float,
    seen: float | None,
    *risks: tuple[str, float],
    passes: bool = False,
) -> PourOptionResponse:
    """One way at one start, with the chances of its risks."""
    return PourOptionResponse(
        start=at,
        protection=say(way, Reader("UTC")),
        protection_code=MessageResponse(code=way.code, values=dict(way.values)),
        passes=passes,
        risks=[
            RiskResponse(
                risk=word("risk", code),
                code=code,
                probability=p,
                value=0.0,
                limit=1.0,
                unit="",
                allowed=0.1,
            )
            for code, p in risks
        ],
        strip_p90=None,
        turn_p90=None,
        effort=effort,
        cautions=[],
        caution_codes=[],
        indoors=False,
        excess=sum(max(p - 0.1, 0) for _, p in risks),
        frost_chance=seen,
        lowest_C=None,
    )


def test_a_cell_says_why_the_way_that_comes_nearest_fails() -> None:
    """Too cold as it comes, which warm water mends; rain forbids that too, and is the reason."""
    at = datetime(2026, 11, 1, 15, tzinfo=UTC)
    ways = [
        option(at, Message("way_bare"), 0.0, None, (watch.COLD, 0.4)),
        option(at, Message("way_warm_water"), 1.5, 0.0, (watch.RAIN, 1.0)),
    ]
    shown = _grid(ways, view.Clock(at, Reader("UTC")))
    ((_, days),) = shown["rows"]
    assert days[0][0].words == "rain"


def test_the_hour_that_comes_twice_in_autumn_keeps_both_starts() -> None:
    midnight = datetime(2026, 11, 1, 4, tzinfo=UTC)
    starts = [midnight + timedelta(hours=k) for k in range(26)]
    options = [
        option(at, Message("way_bare"), 0.0, 0.0, (watch.DRIES, 0.0), passes=True) for at in starts
    ]
    shown = _grid(options, view.Clock(midnight, Reader("America/New_York")))
    one_o_clock = dict(shown["rows"])["01"][0]
    assert [cell.at[-6:] for cell in one_o_clock] == ["-04:00", "-05:00"]
    assert shown["starts"] == 26
