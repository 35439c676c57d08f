"""The week on the phone: each hour with the cheapest way that passes; one hour with all its ways."""

from typing import Any

import pytest

HEAVIEST = 30_000


def week(phone: Any, **typed: str) -> Any:
    told = phone.send(phone.open("/tonight").form("/tonight"), **typed)
    (link,) = [href for href in told.links if href.startswith("/week?")]
    return phone.open(link)


def starts(page: Any) -> list[tuple[str, str]]:
    return [(words, value) for words, name, value in page.form("/week").buttons if name == "at"]


@pytest.mark.usefixtures("poured")
def test_every_hour_has_a_sign_a_word_and_a_number(phone: Any) -> None:
    page = week(phone, concrete_C="15 C")
    assert phone.status == 200
    cells = starts(page)
    assert len(cells) >= 24
    assert all(words[0] in "✓✕" and "%" in words and len(words.split()) >= 2 for words, _ in cells)
    assert len({value for _, value in cells}) == len(cells)
    assert len(page.source.encode()) < HEAVIEST
    assert page.alone == []


@pytest.mark.usefixtures("poured")
def test_a_tapped_hour_shows_all_ways_and_agrees_with_its_cell(phone: Any) -> None:
    page = week(phone, concrete_C="15 C")
    for words, value in starts(page)[::9]:
        hour = phone.send(page.form("/week"), at=value)
        assert phone.status == 200
        assert ("✓ passes" in hour.text) == words.startswith("✓"), (words, value)
        assert "bare" in hour.text
        assert "all hours" in hour.text


@pytest.mark.usefixtures("poured")
def test_a_cold_hour_says_which_water_and_what_forbids_the_rest(phone: Any) -> None:
    page = week(phone, night_low_C="30 F", day_high_C="40 F")
    _, value = starts(page)[0]
    text = phone.send(page.form("/week"), at=value).text
    assert "Mixing water at" in text
    assert "chance of concrete too cold to place" in text
    assert "warm mixing water and one blanket" in text


@pytest.mark.usefixtures("bench")
def test_no_weather_is_a_wait_and_no_grid(phone: Any) -> None:
    page = phone.open("/week?piece_id=1&mix_id=1&place_id=1")
    assert "✕ Wait" in page.text
    assert "No weather is never safe" in page.text
    assert not [one for one in page.forms if one.action == "/week"]


@pytest.mark.usefixtures("poured")
def test_a_bad_hour_is_refused_and_a_bad_form_leads_back_to_its_notes(phone: Any) -> None:
    asked = "/week?piece_id=1&mix_id=1&place_id=1"
    for at in ("soon", "2026-01-01T10:00"):
        phone.open(f"{asked}&at={at}")
        assert phone.status == 422, at
    page = phone.open(f"{asked}&night_low_C=cold&day_high_C=5")
    assert phone.status == 422
    assert "night_low_C" in page.notes
    assert phone.open("/week").form("/tonight")


@pytest.mark.usefixtures("poured")
def test_an_hour_that_has_passed_leads_to_the_week_as_it_is_now(phone: Any) -> None:
    page = phone.open("/week?piece_id=1&mix_id=1&place_id=1&at=1999-01-01T10:00%2B00:00")
    assert phone.status == 200
    assert starts(page)
