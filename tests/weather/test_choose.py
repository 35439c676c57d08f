"""Which weather counts: the newest, what is too old, and when a service may be asked again."""

from datetime import UTC, datetime, timedelta
from types import ModuleType

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.air.series import AirSeries
from models.errors import Unknown, WeatherUnavailable
from service.weather import choose
from service.weather.choose import Asking

NOW = datetime(2026, 10, 14, 18, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)
DOWN = WeatherUnavailable("Open-Meteo", "status 500", 900.0)


def run(
    issued_h: float, air_C: float, past_h: int = 48, ahead_h: int = 72, source: str = "Open-Meteo"
) -> AirSeries:
    """A run issued so many hours from now (negative: before), all of one temperature."""
    issued = NOW + issued_h * HOUR
    start = (issued - past_h * HOUR).replace(minute=0)
    flat = np.full(past_h + ahead_h + 1, air_C)
    return AirSeries(
        start=start,
        air_C=flat,
        dew_point_C=flat - 3.0,
        wind_m_s=0 * flat + 2.0,
        rain_mm=0 * flat,
        cloud_fraction=0 * flat,
        shortwave_W_m2=np.nan * flat,
        issued_at=issued,
        source=source,
    )


def at(air: AirSeries, hours_from_now: float) -> float:
    return float(air.air_C[round(air.hour_of(NOW + hours_from_now * HOUR))])


def known(air: AirSeries | Unknown) -> AirSeries:
    assert isinstance(air, AirSeries), str(air)
    return air


def unknown(air: object) -> Unknown:
    assert isinstance(air, Unknown)
    assert air.how_to_get_it
    return air


@pytest.mark.parametrize(
    ("age_h", "grade"),
    [
        (0.0, "fresh"),
        (5.99, "fresh"),
        (6.0, "ageing"),
        (23.99, "ageing"),
        (24.0, "stale"),
        (71.99, "stale"),
        (72.0, "none"),
        (900.0, "none"),
        (-0.05, "fresh"),
        (-0.5, "none"),
    ],
)
def test_a_forecast_grows_old(age_h: float, grade: str) -> None:
    assert choose.grade(NOW - age_h * HOUR, NOW) == grade


def test_no_run_is_unknown() -> None:
    assert "none yet" in unknown(choose.merged([], NOW)).why


def test_a_run_of_three_days_ago_is_unknown_however_far_it_reaches() -> None:
    said = unknown(choose.merged([run(-73, 8.0, ahead_h=240)], NOW))
    assert "73 h ago" in said.why


def test_a_run_from_the_future_is_unknown() -> None:
    """Case 23: the clock was wrong when it was fetched, or is wrong now."""
    assert "lies after now" in unknown(choose.merged([run(5, 8.0)], NOW)).why


def test_a_run_from_the_future_does_not_hide_a_good_one() -> None:
    assert at(known(choose.merged([run(5, 30.0), run(-1, 8.0)], NOW)), 2) == 8.0


def test_a_run_that_ends_before_now_is_unknown() -> None:
    assert "no air temperature" in unknown(choose.merged([run(-20, 8.0, ahead_h=10)], NOW)).why


def test_the_newest_run_wins_hour_by_hour() -> None:
    air = known(choose.merged([run(-7, 5.0), run(-1, 8.0), run(-13, 2.0)], NOW))
    assert air.issued_at == NOW - HOUR
    for hours in (-48, -8, -2, 0, 60):
        assert at(air, hours) == 8.0


def test_hours_before_the_newest_run_come_from_what_earlier_runs_had_seen() -> None:
    newest, before = run(-1, 8.0, past_h=10), run(-7, 5.0, past_h=40)
    air = known(choose.merged([before, newest], NOW))
    assert air.start == before.start
    assert at(air, -12) == 5.0
    assert at(air, -11) == 8.0


def test_a_forecast_that_nobody_checked_does_not_become_the_past() -> None:
    """The server was down for a day: from the old issue to the new start, nothing."""
    newest, old = run(-1, 8.0, past_h=10), run(-40, 5.0, past_h=10, ahead_h=240)
    air = known(choose.merged([old, newest], NOW))
    assert at(air, -41) == 5.0
    for hours in (-40, -30, -12):
        assert np.isnan(at(air, hours))
    assert len(air.missing(NOW - 40 * HOUR, NOW)) == 29
    assert at(air, 71) == 8.0
    assert air.end == newest.end, "nor does an old forecast lengthen the new one"


def test_a_gap_in_the_newest_run_is_closed_by_what_an_earlier_one_had_seen() -> None:
    newest, before = run(-1, 8.0), run(-7, 5.0)
    newest.air_C[20] = np.nan
    newest.wind_m_s[21] = np.nan
    before.wind_m_s[:] = 4.0
    air = known(choose.merged([newest, before], NOW))
    gap = round((newest.start - air.start) / HOUR) + 20
    assert air.air_C[gap] == 5.0
    assert air.dew_point_C[gap] == 2.0, "air and dew point of one hour come from one run"
    assert air.wind_m_s[gap + 1] == 4.0
    assert air.air_C[gap + 1] == 8.0


def test_a_gap_in_the_coming_hours_stays_a_gap() -> None:
    newest, before = run(-1, 8.0), run(-7, 5.0)
    newest.air_C[60] = np.nan
    air = known(choose.merged([newest, before], NOW))
    assert np.isnan(at(air, (newest.start + 60 * HOUR - NOW) / HOUR))


def test_air_without_a_dew_point_is_kept() -> None:
    newest = run(-1, 8.0)
    newest.dew_point_C[:] = np.nan
    air = known(choose.merged([newest], NOW))
    assert at(air, 5) == 8.0
    assert np.isnan(air.dew_point_C).all()


@given(
    issues=st.lists(st.integers(-100, -1), min_size=1, max_size=5, unique=True),
    past_h=st.integers(1, 90),
)
def test_no_merge_tells_an_hour_that_its_newest_teller_does_not(
    issues: list[int], past_h: int
) -> None:
    """Law: every value of the outcome is what the newest run entitled to that hour says."""
    runs = [run(issued, -issued / 4, past_h=past_h) for issued in issues]
    air = choose.merged(runs, NOW)
    newest = max(issues)
    if isinstance(air, Unknown):
        assert newest <= -72
        return
    for k, instant in enumerate(air.times()):
        entitled = [
            one
            for one in runs
            if one.start <= instant <= one.end
            and (one.issued_at == NOW + newest * HOUR or instant < one.issued_at)
        ]
        if not entitled:
            assert np.isnan(air.air_C[k])
        else:
            teller = max(entitled, key=lambda one: one.issued_at)
            assert air.air_C[k] == teller.air_C[0]


def test_merging_the_runs_of_a_record_gives_the_record(record_2013: ModuleType) -> None:
    now = datetime(2013, 4, 20, 15, tzinfo=UTC)
    whole = record_2013.series_2013("LGA", now - 240 * HOUR, now + 72 * HOUR)
    runs = []
    for age_h in (0, 30, 60, 90):
        issued = now - age_h * HOUR
        part = whole.between(issued - 100 * HOUR, issued + 72 * HOUR)
        runs.append(
            AirSeries(
                **{name: getattr(part, name) for name in choose.LAYERS},
                start=part.start,
                issued_at=issued,
                source="record",
            )
        )
    air = known(choose.merged(runs, now))
    expected = whole.between(air.start, air.end)
    np.testing.assert_array_equal(air.air_C, expected.air_C)
    np.testing.assert_array_equal(air.rain_mm, expected.rain_mm)


def test_the_first_service_that_is_not_stale_is_used() -> None:
    offers = [("first", [run(-30, 1.0)]), ("second", [run(-2, 2.0)]), ("third", [run(-1, 3.0)])]
    chosen = choose.choose(offers, NOW)
    assert isinstance(chosen, choose.Chosen)
    assert (chosen.provider, chosen.grade, chosen.age_h) == ("second", "fresh", 2.0)
    assert at(chosen.air, 1) == 2.0


def test_when_all_are_stale_the_first_is_used_and_says_its_age() -> None:
    chosen = choose.choose([("first", [run(-30, 1.0)]), ("second", [run(-25, 2.0)])], NOW)
    assert isinstance(chosen, choose.Chosen)
    assert (chosen.provider, chosen.grade, chosen.age_h) == ("first", "stale", 30.0)


def test_when_nothing_is_of_use_everything_missing_is_named() -> None:
    said = unknown(choose.choose([("first", [run(-80, 1.0)]), ("second", [])], NOW))
    assert "first: the last is of" in said.why
    assert "second: there is none yet" in said.why
    assert "no service" in unknown(choose.choose([], NOW)).why


def test_a_service_is_asked_once_an_hour() -> None:
    asking = choose.after_success(NOW)
    assert choose.due(Asking(), None, NOW)
    assert not choose.due(asking, NOW, NOW + 59 * HOUR / 60)
    assert choose.due(asking, NOW, NOW + HOUR)


def test_after_failures_the_pauses_grow_to_six_hours() -> None:
    asking, pauses = Asking(), []
    for _ in range(40):
        asking = choose.after_failure(asking, DOWN, NOW)
        assert asking.not_before is not None
        pauses.append((asking.not_before - NOW) / HOUR)
    assert pauses[:10] == [0.25] * 5 + [0.5, 1.0, 2.0, 4.0, 6.0]
    assert set(pauses[10:]) == {6.0}
    assert asking.failures == 40
    assert asking.last_error == "status 500"


def test_one_good_answer_clears_the_record() -> None:
    bad = choose.after_failure(Asking(failures=9), DOWN, NOW)
    assert not choose.due(bad, None, NOW + HOUR)
    assert choose.after_success(NOW).failures == 0


def test_a_service_that_says_when_is_not_asked_before() -> None:
    busy = WeatherUnavailable("Open-Meteo", "daily limit", 8.5 * 3600)
    asking = choose.after_failure(Asking(), busy, NOW)
    assert not choose.due(asking, None, NOW + 8.4 * HOUR)
    assert choose.due(asking, None, NOW + 8.5 * HOUR)


def test_a_refusal_for_good_is_tried_once_a_day() -> None:
    never = WeatherUnavailable("Open-Meteo", "status 400", None)
    asking = choose.after_failure(Asking(), never, NOW)
    assert not choose.due(asking, None, NOW + 23 * HOUR)
    assert choose.due(asking, None, NOW + 24 * HOUR)


def test_a_clock_set_back_does_not_silence_a_service() -> None:
    """Case 23: the pause was noted under a time that has not come yet."""
    asking = choose.after_failure(Asking(), DOWN, NOW + 500 * HOUR)
    assert choose.due(asking, NOW + 500 * HOUR, NOW)
