"""A short sample of tests/bench/notice_budget.py, by the same code: a cold evening, one piece."""

from datetime import datetime, timedelta

import pytest

from tests.bench.notice_budget import MOST_A_DAY, MOST_A_NIGHT, lines
from tests.support.notice_season import ZONE, About, Season, Told, season, weather

BEGIN = datetime(2013, 11, 23, 15, tzinfo=ZONE)  # -8 degC came in the night that follows
HOUR = timedelta(hours=1)


@pytest.fixture(scope="module")
def evening() -> Season:
    return season(BEGIN, 0.5, pieces=1, every=3 * HOUR)


def test_a_frost_night_is_told_and_keeps_to_the_budget(evening: Season) -> None:
    assert [one.step for one in evening.alarms].count("frost") >= 1
    assert evening.helper is not None
    for told in (evening, evening.helper):  # the budget is each person's
        assert told.told
        assert max(told.a_day().values(), default=0) <= MOST_A_DAY
        assert max(told.a_night().values(), default=0) <= MOST_A_NIGHT


def test_the_count_sees_what_is_over_the_budget_and_what_was_false() -> None:
    """The judge itself: four notices of a day, two alarms of a night, frost on a warm day."""
    warm = datetime(2013, 7, 10, 23, tzinfo=ZONE)
    news, frost = About(1, "strip", "opens"), About(1, "frost", "frost")
    found = Season(weather(warm - 24 * HOUR, warm + 72 * HOUR))
    found.told += [Told(warm, (news,), f"n{k}") for k in range(4)]
    found.told += [Told(warm, (frost,), "f1"), Told(warm + 4 * HOUR, (frost,), "f2")]
    told = "\n".join(lines(found))
    assert "4 notices" in told
    assert "night of 2013-07-10: 2 alarms" in told
    assert "false 2" in told
