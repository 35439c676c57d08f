"""sink-top, the questions about its two coats: when, why not today, what a split costs, when used.

Source     design/5-scenarios, sink-top, the Must lines (invented piece, place and weather).
Status     own arithmetic, by hand.
Tolerance  half an hour for coats ("about 11:00", "15:00-15:30"); litres half of the last digit.

It is dry by its witness tile (0.14, 0.07, 0.03 % a day on four mornings); a dry film is no proof.
"""

import re
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from models.projection import run
from models.projection.scenario import Done
from models.results import CoatPlan, PlannedCoat, Projection, StepWindow
from service import scenario_file
from service.weather import csv_file
from service.words import Reader, say_all, sentence

HERE = Reader("America/Chicago")

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
    return run.project(scenario, air, now or file.asked_at)


def plan(told: Projection) -> CoatPlan:
    assert told.coat_plan is not None
    return told.coat_plan


def coat(told: Projection, number: int) -> PlannedCoat:
    return plan(told).coats[number - 1]


def step(told: Projection, name: str) -> StepWindow:
    return next(one for one in told.steps if one.step == name)


def said(told: Projection) -> str:
    return " ".join(say_all(plan(told).says, HERE))


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
    assert re.search(r"coat 1 could go on at Sat 20 Jun (14:30|15:00)", said(morning))


def test_two_coats_on_the_first_day_fail_after_seven_by_humidity_then_by_the_dew_point(
    morning: Projection,
) -> None:
    text = next(one for one in say_all(plan(morning).says, HERE) if one.startswith("Not all today"))
    needs = r"coat 2 at Sat 20 Jun (18:30|19:00) needs the air until Sun 21 Jun (02:30|03:00)"
    assert re.search(needs, text)
    humidity, spread = text.split(": ", 2)[2].split("; ")
    assert humidity.startswith("humidity passes 85% from Sat 20 Jun 22")
    assert spread.startswith("the face comes within 2.8 K of the dew point from Sat 20 Jun 2")


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
    assert "Tightest by the forecast: face" in said(morning)


def test_the_plan_says_how_sure_it_is_and_does_not_open_on_less_than_the_shop_wants(
    morning: Projection,
) -> None:
    told = plan(morning)
    assert 0.3 < told.chance < 0.9
    assert not told.sure
    assert step(morning, "coat-1").p90 is None


def test_a_split_over_two_days_would_have_to_be_abraded(morning: Projection) -> None:
    text = next(one for one in say_all(plan(morning).says, HERE) if one.startswith("Split"))
    assert re.search(r"coat 2 would be due by Sun 21 Jun (08:30|09:00) \(18 h\)", text)
    assert "abraded" in text


def test_both_ends_of_the_recoat_window_are_told(morning: Projection) -> None:
    assert sentence(coat(morning, 2).why, HERE) == (
        "Not before Sun 21 Jun 15:00, 4.0 h after the coat under it; not after Mon 22 Jun 05:00"
        " (18 h), else abrade first."
    )


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
    assert sentence(second.why, HERE).startswith(
        "Too late for a bond since Mon 22 Jun 05:00: abrade first"
    )
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
    assert "forecast" not in sentence(again.because, HERE)  # a calendar knows it, not the weather
