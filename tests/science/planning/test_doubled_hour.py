"""Of an hour that the clock shows twice it is said which of the two is meant."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from service.cli import printed
from service.pages import view
from service.words import Reader
from service.words.instants import instant, which


@pytest.mark.parametrize(
    ("hour", "shown"),
    [
        (5, "Sun 1 Nov 00:30"),
        (6, "Sun 1 Nov 01:30 CDT"),
        (7, "Sun 1 Nov 01:30 CST"),
        (8, "Sun 1 Nov 02:30"),
    ],
)
def test_the_doubled_hour_carries_its_letters(hour: int, shown: str) -> None:
    assert (
        instant(datetime(2026, 11, 1, hour, 30, tzinfo=UTC), "", Reader("America/Chicago")) == shown
    )


def test_every_printed_clock_says_which_of_the_two() -> None:
    first, second = (datetime(2026, 11, 1, hour, 30, tzinfo=UTC) for hour in (6, 7))
    now = datetime(2026, 10, 30, tzinfo=UTC)
    for clock in (
        printed.Clock(now, Reader("America/Chicago")).shown,
        lambda at: instant(at, "near", Reader("America/Chicago", now=now)),
        lambda at: getattr(view.Clock(now, Reader("America/Chicago"))(at), "clock", ""),
    ):
        assert "01:30 CDT" in clock(first)
        assert "01:30 CST" in clock(second)


def test_a_zone_without_letters_shows_its_offset() -> None:
    at = datetime(2026, 4, 4, 14, 45, tzinfo=UTC).astimezone(ZoneInfo("Australia/Lord_Howe"))
    assert which(at) in (" +1100", " +1030")


def test_the_night_that_loses_an_hour_has_no_doubled_one() -> None:
    for minute in range(0, 60, 10):
        at = datetime(2026, 3, 8, 8, minute, tzinfo=UTC)
        assert instant(at, "", Reader("America/Chicago")) == f"Sun 8 Mar 03:{minute:02d}"
