"""The week on the phone: each part of a day with the least that will do; an hour with all ways."""

from datetime import UTC, datetime, time, timedelta
from html import escape

import pytest

from models.message import Message
from models.planning import watch
from models.records import Shop
from service.actions.shop.set_up_shop import change_shop, save_place
from service.answer_fields import MessageResponse
from service.answers import PourOptionResponse, RiskResponse
from service.pages import view, ways
from service.pages.week import Cell, Part, _cell, parts_of
from service.store import Store
from service.words import Reader, say, word
from tests.support.phone import Page, Phone
from tests.support.words import said, tells

HEAVIEST = 30_000


def week(phone: Phone, **typed: str) -> Page:
    told = phone.send(phone.open("/tonight").form("/tonight"), **typed)
    return follow(phone, told)


def follow(phone: Phone, told: Page) -> Page:
    """The week by its link: at once a page that says it is worked out, and from there the week."""
    (link,) = [href for href in told.links if href.startswith("/week/wait?")]
    waiting = phone.open(link)
    assert "Working out your week" in waiting.text
    (link,) = [href for href in waiting.links if href.startswith("/week?")]
    assert f'http-equiv="refresh" content="0;url={escape(link)}"' in waiting.source
    return phone.open(link)


def starts(page: Page) -> list[tuple[str, str]]:
    return [(words, value) for words, name, value in page.form("/week").buttons if name == "at"]


@pytest.mark.usefixtures("poured")
def test_every_part_of_a_day_has_a_sign_a_word_and_a_name(phone: Phone) -> None:
    """P18: 168 buttons were named alike, without day or hour."""
    page = week(phone, concrete_C="15 C")
    assert phone.status == 200
    cells = starts(page)
    assert 20 <= len(cells) <= 32
    assert all(words[0] in "✓◐✕" and len(words.split()) >= 2 for words, _ in cells)
    assert len({value for _, value in cells}) == len(cells)
    assert "Best: today 18:00" in page.text.replace(" , ", ", ")
    assert page.source.count('class="today"') == 1
    assert len(page.source.encode()) < HEAVIEST
    assert page.alone == []


@pytest.mark.usefixtures("poured")
def test_the_columns_are_the_hours_of_the_shop(phone: Phone, store: Store, now: datetime) -> None:
    with store.unit_of_work() as session:
        change_shop(session, now, {"working_from": time(12), "working_to": time(17, 30)})
    page = week(phone, concrete_C="15 C")
    assert "noon 12–14 aft 14–17" in page.text
    hours = {datetime.fromisoformat(value).hour for _, value in starts(page)}
    assert hours == {12, 14}


@pytest.mark.usefixtures("poured")
def test_a_tapped_part_shows_all_ways_and_agrees_with_its_cell(phone: Phone) -> None:
    page = week(phone, concrete_C="15 C")
    for words, value in starts(page)[::9]:
        hour = phone.send(page.form("/week"), at=value)
        assert phone.status == 200
        assert ("✓" in hour.text) == (words[0] in "✓◐"), (words, value)
        assert said("way_bare").capitalize() in hour.text
        assert "the whole week" in hour.text
        assert "an hour later" in hour.text


@pytest.mark.usefixtures("poured")
def test_a_cold_hour_says_which_water_and_what_forbids_the_rest(phone: Phone) -> None:
    page = week(phone, night_low_C="30 F", day_high_C="40 F")
    _, value = starts(page)[0]
    text = phone.send(page.form("/week"), at=value).text
    assert tells(text, "warm_the_water")
    assert word("fails", watch.FROST) in text
    assert word("cover", "blanket").capitalize() in text


@pytest.mark.usefixtures("bench")
def test_no_weather_is_a_wait_and_no_grid(phone: Phone) -> None:
    page = phone.open("/week?piece_id=1&mix_id=1&place_id=1")
    assert "✕ No" in page.text
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
def test_a_heated_room_of_the_shop_is_one_of_the_ways_and_told_once_beside_the_week(
    phone: Phone, store: Store, now: datetime
) -> None:
    page = week(phone, night_low_C="30 F", day_high_C="40 F")
    before = starts(page)
    assert any(words.startswith("✕") for words, _ in before)
    assert "ndoors" not in phone.send(page.form("/week"), at=before[0][1]).text
    with store.unit_of_work() as session:
        save_place(session, now, {"name": "Shed", "kind": "unheated room"})
        save_place(session, now, {"name": "Hall", "kind": "heated room", "setpoint_C": 18.0})
    page = week(phone, night_low_C="30 F", day_high_C="40 F")
    assert starts(page) == before
    assert page.text.count("Indoors, in your own room: any hour will do.") == 1
    hour = phone.send(page.form("/week"), at=before[0][1])
    assert f"✓ {said('way_indoors').capitalize()}" in hour.text


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
                unit="degC",
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


def cell(starts: dict[datetime, list[PourOptionResponse]], timezone: str = "UTC") -> Cell:
    clock = view.Clock(min(starts), Reader(timezone))
    return _cell(starts, Part("morning", 7, 11), clock)


def test_a_cell_says_why_the_way_that_comes_nearest_fails() -> None:
    """Too cold as it comes, which warm water mends; rain forbids that too, and is the reason."""
    at = datetime(2026, 11, 1, 15, tzinfo=UTC)
    options = [
        option(at, Message("way_bare"), 0.0, None, (watch.COLD, 0.4)),
        option(at, Message("way_warm_water"), 1.5, 0.0, (watch.RAIN, 1.0)),
    ]
    assert cell({at: options}).words == word("short_fails", watch.RAIN)


def test_the_worst_that_threatens_a_way_is_told_though_its_mix_comes_too_cold() -> None:
    """P4: A mix that comes too cold is not watched to its end; its twin with warm water says what
    the night does to it, and that is what the maker hears."""
    at = datetime(2026, 11, 1, 15, tzinfo=UTC)
    options = [
        option(at, Message("way_bare"), 0.0, None, (watch.COLD, 0.16)),
        option(at, Message("way_warm_water"), 1.5, 0.89, (watch.FROST, 0.89)),
    ]
    (way,) = ways.of_start(options, view.Clock(at, Reader("UTC")))
    assert way.risk_code == watch.FROST
    assert way.risk == f"9 in 10 that {word('fails', watch.FROST)}"
    assert not way.passes


def test_a_way_that_passes_with_warm_water_is_one_way_with_advice() -> None:
    at = datetime(2026, 11, 1, 15, tzinfo=UTC)
    told = [MessageResponse(code="mixing_water", values={"water_C": 41.0})]
    warm = option(at, Message("way_warm_water"), 1.5, 0.0, (watch.FROST, 0.01), passes=True)
    cold = option(at, Message("way_bare"), 0.0, None, (watch.COLD, 0.16))
    clock = view.Clock(at, Reader("UTC"))
    (way,) = ways.of_start([cold, warm.model_copy(update={"caution_codes": told})], clock)
    assert way.passes
    assert way.bare
    assert ways.verdict(way, clock.reader) == said("verdict_yes")
    assert way.water == said("warm_the_water", water="41 °C")


def test_a_cell_that_opens_late_says_from_when_and_leads_there() -> None:
    at = datetime(2026, 11, 1, 8, tzinfo=UTC)
    later = at + timedelta(hours=2)
    shown = cell(
        {
            at: [option(at, Message("way_bare"), 0.0, 0.9, (watch.FROST, 0.9))],
            later: [option(later, Message("way_bare"), 0.0, 0.0, (watch.FROST, 0.0), passes=True)],
        }
    )
    assert (shown.state, shown.words, shown.hour) == ("some", "bare", "10:00")
    assert datetime.fromisoformat(shown.at) == later


def test_what_will_do_in_some_hours_only_is_not_said_of_all() -> None:
    """Each hour has its way, but none will do at every hour."""
    at = datetime(2026, 11, 1, 8, tzinfo=UTC)
    later = at + timedelta(hours=1)
    film = Message("way_cover", {"cover": Message("cover", {"cover": "film"})})
    shown = cell(
        {
            at: [option(at, film, 0.5, 0.0, (watch.FROST, 0.0), passes=True)],
            later: [option(later, Message("way_bare"), 0.0, 0.0, (watch.FROST, 0.0), passes=True)],
        }
    )
    assert shown.state == "some"
    assert (shown.words, shown.hour) == ("bare", "09:00")


@pytest.mark.parametrize(
    ("begin", "end", "expected"),
    [
        (time(7), time(21), [(7, 11), (11, 14), (14, 18), (18, 21)]),
        (time(12), time(17, 30), [(12, 14), (14, 17)]),
        (time(22), time(6), [(4, 11), (11, 14), (14, 18), (18, 23)]),
        (time(5), time(23), [(5, 11), (11, 14), (14, 18), (18, 23)]),
    ],
)
def test_parts_are_cut_to_the_working_hours(
    begin: time, end: time, expected: list[tuple[int, int]]
) -> None:
    shop = Shop(
        created_at=datetime(2026, 1, 1, tzinfo=UTC),
        feed_token="x",
        working_from=begin,
        working_to=end,
    )
    assert [(part.first, part.end) for part in parts_of(shop)] == expected
