"""The calendar feed: readable by a calendar, in UTC, with changes numbered."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
import vobject
from icalendar import Calendar, Component
from starlette.testclient import TestClient

from service.actions.pours.log_pour import close_pour
from service.actions.windows.project_pour import project_pour
from service.store import Store
from tests.support.shop import Windows

API = "/api/v1"
HOUR = timedelta(hours=1)


@pytest.fixture
def path(client: TestClient) -> str:
    return str(client.get(f"{API}/shop").json()["calendar_path"])


def events(client: TestClient, path: str) -> dict[str, Component]:
    response = client.get(path)
    assert response.status_code == 200
    assert response.headers["content-type"] == "text/calendar; charset=utf-8"
    calendar = Calendar.from_ical(response.content)
    return {str(event["UID"]): event for event in calendar.walk("VEVENT")}


def test_a_window_is_an_entry_that_follows_it(
    client: TestClient, path: str, store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR, now + 19 * HOUR)
    project_pour(store, now, pour_id)
    uid = f"{pour_id}:strip:opens@castclock"
    entry = events(client, path)[uid]
    assert entry.decoded("DTSTART") == now + 15 * HOUR
    assert b"DTSTART:20261015T140000Z" in client.get(path).content
    assert b"VTIMEZONE" not in client.get(path).content
    assert entry.decoded("DTEND") == now + 19 * HOUR
    assert (entry["SEQUENCE"], entry["STATUS"]) == (0, "CONFIRMED")
    assert "strip the walls" in str(entry["SUMMARY"])
    windows.say("strip", "not yet", now + 16 * HOUR, now + 19 * HOUR)
    project_pour(store, now + HOUR, pour_id)
    entry = events(client, path)[uid]
    assert (entry.decoded("DTSTART"), entry["SEQUENCE"]) == (now + 16 * HOUR, 1)


def test_what_is_withdrawn_stays_as_cancelled(
    client: TestClient, path: str, store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR)
    project_pour(store, now, pour_id)
    with store.unit_of_work() as session:
        close_pour(session, now, pour_id, "lost")
    entry = events(client, path)[f"{pour_id}:strip:opens@castclock"]
    assert (entry["STATUS"], entry["SEQUENCE"]) == ("CANCELLED", 1)


def test_the_feed_says_when_to_look_again_as_the_standard_wants(
    client: TestClient, path: str
) -> None:
    assert b"REFRESH-INTERVAL;VALUE=DURATION:PT1H" in client.get(path).content


def test_an_unchanged_feed_is_not_sent_twice(client: TestClient, path: str) -> None:
    tag = client.get(path).headers["etag"]
    assert client.get(path, headers={"If-None-Match": tag}).status_code == 304


def test_a_guessed_address_is_not_found_and_a_renewed_one_replaces_the_old(
    client: TestClient, path: str
) -> None:
    assert client.get("/calendar/guess.ics").status_code == 404
    renewed = client.post(f"{API}/shop/calendar-address").json()["calendar_path"]
    assert renewed != path
    assert client.get(path).status_code == 404
    assert client.get(renewed).status_code == 200


def test_every_time_of_an_entry_is_utc_whatever_the_zone_of_the_pour(
    client: TestClient, path: str, store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    """A zone that the feed does not define (RFC 5545 3.2.19) is a time no calendar knows."""
    local = now.astimezone(ZoneInfo("America/Chicago"))
    windows.say("strip", "not yet", local + 15 * HOUR, local + 19 * HOUR)
    project_pour(store, now, pour_id)
    content = client.get(path).content
    assert b"TZID" not in content
    assert b"DTEND:20261015T180000Z" in content


def test_a_window_has_one_entry_from_safe_to_its_end_with_its_pour_and_place(
    client: TestClient, path: str, store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    """P3: two entries of one title."""
    windows.say("strip", "not yet", now + 15 * HOUR, now + 40 * HOUR)
    project_pour(store, now, pour_id)
    (entry,) = events(client, path).values()
    assert entry.decoded("DTSTART") == now + 15 * HOUR
    assert entry.decoded("DTEND") == now + 40 * HOUR
    assert str(entry["SUMMARY"]).endswith(": strip the walls")
    assert str(entry["URL"]).endswith(f"/pours/{pour_id}")
    assert entry["LOCATION"]


def test_a_window_that_ends_before_it_begins_is_no_entry(
    client: TestClient, path: str, store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    """P5: a window could end before it began."""
    soon = now + 3 * HOUR
    windows.say("cover", "not yet", now + 4 * HOUR, soon, p50=soon + HOUR / 2)
    project_pour(store, now, pour_id)
    assert events(client, path) == {}


def test_two_pours_of_one_piece_are_told_apart(
    client: TestClient, path: str, store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    """P16: two of a name could not be told apart."""
    body = client.get(f"{API}/pours/{pour_id}").json()
    again = {key: body[key] for key in ("piece_id", "mix_id", "place_id", "placed_at")}
    second = client.post(f"{API}/pours", json=again).json()["id"]
    windows.say("strip", "not yet", now + 15 * HOUR)
    for one in (pour_id, second):
        project_pour(store, now, one)
    titles = [str(entry["SUMMARY"]) for entry in events(client, path).values()]
    assert len(titles) == len(set(titles)) == 2


def test_frost_is_an_entry_that_ends_at_the_last_hour_to_act_and_goes_when_the_sky_clears(
    client: TestClient, path: str, store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    """P3: the feed had windows, and no frost."""
    windows.warn("frost", now + 10 * HOUR, now + 5 * HOUR)
    project_pour(store, now, pour_id)
    (entry,) = events(client, path).values()
    assert entry.decoded("DTEND") == now + 3 * HOUR  # the end of work before it is too late
    assert entry["STATUS"] == "CONFIRMED"
    assert "frost" in str(entry["SUMMARY"])
    windows.clear()
    project_pour(store, now + HOUR, pour_id)
    (entry,) = events(client, path).values()
    assert entry["STATUS"] == "CANCELLED"
    assert not entry.walk("VALARM")


def test_no_alarm_sounds_in_quiet_hours(
    client: TestClient, path: str, store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    """Open from the middle of the night on, it sounds when the shop begins to work."""
    zone = ZoneInfo(client.get(f"{API}/shop").json()["timezone"])
    local = now.astimezone(zone)
    night = local.replace(hour=2, minute=0, second=0, microsecond=0) + timedelta(days=1)
    windows.say("strip", "not yet", night, night + 30 * HOUR)
    windows.say("turn", "not yet", night, night + 2 * HOUR)
    project_pour(store, now, pour_id)
    found = events(client, path)
    (alarm,) = found[f"{pour_id}:strip:opens@castclock"].walk("VALARM")
    assert (night + alarm.decoded("TRIGGER")).hour >= 6
    for alarm in found[f"{pour_id}:turn:opens@castclock"].walk("VALARM"):
        assert (night + alarm.decoded("TRIGGER")).hour in range(6, 23)


def test_the_head_of_the_feed_may_be_asked_for(client: TestClient, path: str) -> None:
    response = client.head(path)
    assert response.status_code == 200
    assert response.headers["etag"] == client.get(path).headers["etag"]


def test_a_second_reader_of_calendars_reads_the_same(
    client: TestClient, path: str, store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR, now + 19 * HOUR)
    windows.warn("frost", now + 10 * HOUR, now + 5 * HOUR)
    project_pour(store, now, pour_id)
    other = vobject.readOne(client.get(path).text)
    other.validate(raiseException=True)
    ours = events(client, path)
    assert {one.uid.value for one in other.vevent_list} == set(ours)
    for one in other.vevent_list:
        assert one.dtstart.value == ours[one.uid.value].decoded("DTSTART")
        assert one.dtend.value == ours[one.uid.value].decoded("DTEND")
    assert other.x_published_ttl.value == "PT1H"
