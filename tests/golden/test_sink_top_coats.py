"""sink-top, the questions about its two coats: when, why not today, what a split costs, when used.

Source     design/5-scenarios, sink-top, the Must lines (invented piece, place and weather).
Status     own arithmetic, by hand.
Tolerance  half an hour for coats ("about 11:00", "15:00-15:30"); litres half of the last digit.

It is dry by its witness tile (0.14, 0.07, 0.03 % a day on four mornings); a dry film is no proof.
"""

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from models.message import Message, Value
from models.planning import timeline
from models.results import CoatPlan, PlannedCoat, Projection, StepWindow
from models.simulation.scenario import Done
from service import scenario_file
from service.weather import csv_file

HERE = Path(__file__).parent / "acceptance"
HALF_HOUR = timedelta(minutes=30)
FT2_M2 = 0.3048**2
GALLON_L = 3.785411784


def at(text: str) -> datetime:
    return datetime.fromisoformat(f"2026-06-{text}-04:00")


def asked(now: datetime | None = None, *done: tuple[str, str]) -> Projection:
    """The projection at an instant, after steps that were done meanwhile."""

    file = scenario_file.read(HERE / "sink-top.toml")
    assert file.asked_at is not None
    air = csv_file.read(HERE / "sink-top.csv", "sink-top", issued_at=file.asked_at)
    made = (*file.scenario.done, *(Done(step, at(when)) for step, when in done))
    scenario = file.scenario.__class__(**{**file.scenario.__dict__, "done": made})
    return timeline.project(scenario, air, now or file.asked_at)


def plan(told: Projection) -> CoatPlan:
    assert told.coat_plan is not None
    return told.coat_plan


def coat(told: Projection, number: int) -> PlannedCoat:
    return plan(told).coats[number - 1]


def step(told: Projection, name: str) -> StepWindow:
    return next(one for one in told.steps if one.step == name)


def told_of(told: Projection, code: str) -> Mapping[str, Value]:
    return next(one.values for one in plan(told).says if one.code == code)


def codes_of(values: Value) -> tuple[Message, ...]:
    assert isinstance(values, Iterable)
    return tuple(one for one in values if isinstance(one, Message))


def instant(message: Message) -> datetime:
    when = message.values["at"]
    assert isinstance(when, datetime)
    return when


@pytest.fixture
def morning() -> Projection:
    """Asked at ten past nine, fog just gone."""
    return asked()


def test_nothing_is_coated_on_the_foggy_morning_nor_in_the_whole_first_day(
    morning: Projection,
) -> None:
    for told in (step(morning, "coat-1"), step(morning, "coat-2")):
        assert told.state == "not yet"
        assert told.p50 is not None
        assert told.p50 >= at("21T00:00")


def test_a_coat_by_itself_is_not_begun_before_three_in_the_afternoon(morning: Projection) -> None:
    # about three: half an hour for what is told at even odds
    begin = told_of(morning, "coats_not_all_today")["begin_at"]
    assert begin in (at("20T14:30"), at("20T15:00"))


def test_two_coats_on_the_first_day_fail_after_seven_by_humidity_then_by_the_dew_point(
    morning: Projection,
) -> None:
    values = told_of(morning, "coats_not_all_today")
    assert values["next_at"] in (at("20T18:30"), at("20T19:00"))
    assert values["until_at"] in (at("21T02:30"), at("21T03:00"))
    humidity, spread = codes_of(values["fails"])
    assert humidity.code == spread.code == "coat_fails_from"
    assert humidity.values["fails"] == Message("coat_fails_humidity", {"max_rh": 0.85})
    assert at("20T22:00") <= instant(humidity) < at("20T23:00")
    (margin,) = codes_of((spread.values["fails"],))
    assert margin.code == "coat_fails_spread"
    assert margin.values["margin_K"] == pytest.approx(2.8, abs=0.05)
    assert at("20T20:00") <= instant(spread) < at("21T00:00")


def test_the_second_day_takes_both_coats_and_is_covered_to_eleven_at_night(
    morning: Projection,
) -> None:
    first, second = coat(morning, 1), coat(morning, 2)
    assert first.at is not None
    assert second.at is not None
    assert abs(first.at - at("21T11:00")) <= HALF_HOUR
    assert at("21T15:00") <= second.at <= at("21T15:30")
    assert second.hold_until is not None
    assert second.hold_until >= at("21T23:00")
    (tightest,) = codes_of((told_of(morning, "coats_planned")["tightest"],))
    assert tightest.code == "coats_tightest"


def test_the_plan_says_how_sure_it_is_and_does_not_open_on_less_than_the_shop_wants(
    morning: Projection,
) -> None:
    told = plan(morning)
    assert 0.3 < told.chance < 0.9
    assert not told.sure
    assert step(morning, "coat-1").p90 is None


def test_a_split_over_two_days_would_have_to_be_abraded(morning: Projection) -> None:
    values = told_of(morning, "coats_split")
    assert values["next_coat"] == 2
    assert values["due_at"] in (at("21T08:30"), at("21T09:00"))
    assert values["limit_h"] == pytest.approx(18.0, abs=0.5)


def test_both_ends_of_the_recoat_window_are_told(morning: Projection) -> None:
    (why,) = coat(morning, 2).why
    assert why.code == "recoat_from_until"
    assert (why.values["ready_at"], why.values["last_at"]) == (at("21T15:00"), at("22T05:00"))
    assert why.values["after_h"] == pytest.approx(4.0, abs=0.05)
    assert why.values["limit_h"] == pytest.approx(18.0, abs=0.5)


def test_the_sink_is_not_set_on_day_three_but_on_day_four_in_the_afternoon(
    morning: Projection,
) -> None:
    use = step(morning, "light-use")
    assert use.p50 is not None
    assert at("24T15:00") <= use.p50 <= at("24T18:00")


def test_litres_are_those_of_two_coats_on_sixteen_square_feet_with_waste(
    morning: Projection,
) -> None:
    told = plan(morning)
    assert told.area_m2 / FT2_M2 == pytest.approx(15.98, abs=0.005)
    assert told.net_l / GALLON_L * 128 == pytest.approx(16.4, abs=0.05)
    assert told.litres_l == pytest.approx(1.10 * told.net_l)


def test_a_first_coat_put_on_at_eleven_moves_the_second_to_three() -> None:
    told = asked(at("21T11:10"), ("coat-1", "21T11:00"))
    second = coat(told, 2)
    assert second.at is not None
    assert at("21T15:00") <= second.at <= at("21T15:30")
    assert step(told, "coat-1").state == "done"
    assert step(told, "coat-2").latest is not None
    assert step(told, "coat-2").latest <= at("22T05:00")  # type: ignore[operator]


def test_a_missed_second_coat_is_abraded_first_and_then_planned_anew() -> None:
    told = asked(at("22T06:00"), ("coat-1", "21T11:00"))
    second = coat(told, 2)
    assert second.why == (Message("recoat_too_late", {"last_at": at("22T05:00")}),)
    assert second.at is not None
    assert second.at > at("22T06:00")


def test_coats_on_one_evening_leave_light_use_for_three_days_later() -> None:
    told = asked(at("21T16:00"), ("coat-1", "21T11:00"), ("coat-2", "21T15:00"))
    use = step(told, "light-use")
    assert use.p90 is not None
    assert at("24T15:00") <= use.p90 <= at("25T00:00")
    again = step(told, "reseal")
    assert again.p90 is not None
    assert again.p90.year == 2031  # five years on, in the same season
    assert again.p90.month == 6
    assert "beyond_forecast" not in {
        one.code for one in again.because
    }  # a calendar knows it, not the weather
