"""Two Englishes from one catalogue, a maker's words in both, and hours on the safe side."""

import re
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

import pytest

from models.message import Message
from service.words import US, Reader, en, instant, say
from service.words.instants import deserved, first_working, window
from service.words.say import templates
from service.words.spelling import WORDS, american

POURED = datetime(2026, 11, 20, 12, 0, tzinfo=UTC)
READER = Reader("UTC", now=POURED, placed_at=POURED, works=(time(7), time(21)))


def words_of(language: str) -> dict[str, set[str]]:
    """The words that each template says itself."""
    return {
        code: set(re.findall(r"[a-z]+(?:-[a-z]+)*", re.sub(r"\{.*?\}", " ", text.lower())))
        for code, text in templates(language).items()
    }


@pytest.mark.parametrize(
    ("language", "foreign"),
    [("en-GB", set(WORDS.values()) - {"program", "curb", "story", "tire"}), ("en-US", set(WORDS))],
)
def test_no_spelling_of_the_other_english_is_left(language: str, foreign: set[str]) -> None:
    found = {code: words & foreign for code, words in words_of(language).items()}
    assert not {code: words for code, words in found.items() if words}


def test_the_pattern_of_a_british_ending_is_known_to_the_american_catalogue() -> None:
    """Words such as `colour` or `metre` that the table has not met yet."""
    british = re.compile(r"\w*(?:mould|olour|litre\b|metre|grey|avour|apour|abour|isation)\w*")
    left = [one for one in words_of("en-US").values() if british.search(" ".join(one))]
    assert not left


def test_no_sentence_tells_a_measure_that_its_reader_cannot_have_in_own_units() -> None:
    fixed = re.compile(r"\d ?(?:°[CF]|C|F|K|mm|cm|m|in|ft|kg|lb|g|MPa|psi|L|l|m/s|mph)(?![\w/])")
    found = {code: fixed.findall(re.sub(r"\{.*?\}", "", t)) for code, t in en.TEMPLATES.items()}
    assert not {code: left for code, left in found.items() if left}


def test_a_number_of_the_sentence_itself_is_told_in_the_units_of_its_reader() -> None:
    american_reader = replace(READER, units=US, language="en-US")
    assert "about 6 mm deep" in say(Message("check_finish"), READER)
    assert "about 1/4 in deep" in say(Message("check_finish"), american_reader)
    assert "140 to 176 °F" in say(Message("no_film_by_fire"), american_reader)


def test_only_words_are_respelt_never_names_of_values() -> None:
    assert american("Grey mould, {mould:g}; COLOUR of litres") == (
        "Gray mold, {mould:g}; COLOR of liters"
    )
    assert american("promise raised four pours an hour") == "promise raised four pours an hour"


@pytest.mark.parametrize(
    "word", ["reckon", "reckoned", "governs", "share of the", "no end in sight", "contradicts"]
)
def test_a_maker_is_spoken_to_in_a_makers_words(word: str) -> None:
    assert not [code for code, text in templates("en-GB").items() if word in text.lower()]


def test_a_difference_of_temperature_is_in_degrees() -> None:
    # of the activation energy kelvin is meant
    kelvin = [c for c, text in templates("en-GB").items() if re.search(r"\bK\b", text)]
    assert set(kelvin) <= {"fit_energy", "fit_axis_rate"}


def test_hours_are_told_as_fine_as_they_deserve_and_never_too_soon() -> None:
    for after_min, opens, closes in (
        (7 * 60 + 3, "19:03", "19:03"),  # the first day: minutes
        (30 * 60 + 3, "18:15", "18:00"),  # the second: quarter hours
        (75 * 60 + 3, "00:00", "12:00"),  # after: half days
    ):
        at = POURED + timedelta(minutes=after_min)
        assert instant(deserved(at, READER, up=True), "time", READER) == opens
        assert instant(deserved(at, READER, up=False), "time", READER) == closes


@pytest.mark.parametrize("after_h", [1.0, 23.99, 24.01, 47.7, 48.3, 71.1, 500.2])
def test_no_hour_is_told_on_the_unsafe_side(after_h: float) -> None:
    at = POURED + timedelta(hours=after_h)
    assert deserved(at, READER, up=True) >= at >= deserved(at, READER, up=False)


def test_a_window_of_hours_is_never_rounded_away() -> None:
    opens, closes = POURED + timedelta(hours=73.1), POURED + timedelta(hours=77.2)
    begin, end = window(opens, closes, READER)
    assert begin is not None
    assert end is not None
    assert opens <= begin < end <= closes


def test_an_hour_of_the_night_also_has_its_first_hour_of_work() -> None:
    night, day = datetime(2026, 11, 23, 2, tzinfo=UTC), datetime(2026, 11, 23, 15, tzinfo=UTC)
    assert first_working(night, READER) == datetime(2026, 11, 23, 7, tzinfo=UTC)
    assert first_working(night - timedelta(hours=4), READER) == datetime(
        2026, 11, 23, 7, tzinfo=UTC
    )
    assert first_working(day, READER) is None


def test_another_clock_stands_beside_the_shops_with_letters() -> None:
    at = datetime(2026, 11, 26, 1, 15, tzinfo=UTC)
    denver = Reader("America/Chicago", elsewhere="America/Denver")
    assert instant(at, "", denver) == "Wed 25 Nov 19:15 CST (18:15 MST there)"
    same = Reader("America/Chicago", elsewhere="America/Winnipeg")
    assert instant(at, "", same) == "Wed 25 Nov 19:15"
