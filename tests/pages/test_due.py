"""Today: what is next, when, and one button; a line a piece; frost first; as light with 500."""

import gzip
from collections.abc import Callable
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import event
from sqlmodel import Session, col, insert, select

from models import message
from models.message import Message, Value
from models.records import Job, Place, Pour, Projection, Row
from models.results import Alert, FrostWatch
from service.pages.night import span
from service.pages.view import title
from service.store import Store
from tests.support.phone import Phone
from tests.support.shop import Hands, Sky, Windows
from tests.support.words import laid, said

LIGHT = 30_000  # bytes, compressed


def worked_out(phone: Phone, poured: str) -> None:
    phone.send(phone.open(poured).form("/reckon"))


def test_an_empty_shop_says_what_to_do_in_three_steps(phone: Phone) -> None:
    page = phone.open("/")
    assert "Nothing is curing" in page.text
    assert {"/pour", "/tonight"} <= set(page.links)


def test_each_piece_has_one_line_with_verb_hour_and_button(
    phone: Phone, poured: str, windows: Windows, now: datetime
) -> None:
    windows.say("knock-out", "closing", now - timedelta(hours=2), now + timedelta(hours=1))
    windows.say("strip", "not yet", now + timedelta(hours=20))
    windows.say("hone", "not yet", now + timedelta(days=9))
    worked_out(phone, poured)
    page = phone.open("/")
    assert f"Now {title('knock-out')}: North bench #1 ● now, until today 19:00" in page.text
    assert f"{poured}/steps?step=knock-out" in page.links
    assert f"{poured}#knock-out" in page.links
    assert page.text.count("North bench") == 1
    assert title("strip") not in page.text
    assert "MPa" not in page.text


def test_a_step_to_come_says_from_when_and_has_no_button(
    phone: Phone, poured: str, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "not yet", now + timedelta(hours=20))
    worked_out(phone, poured)
    page = phone.open("/")
    assert f"Next {title('strip')}: North bench #1 ○ safe from tomorrow 14:00" in page.text
    assert not [link for link in page.links if "/steps" in link]


def test_what_was_missed_goes_before_what_has_days_left(
    phone: Phone, poured: str, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "past", now - timedelta(hours=30), now - timedelta(hours=5))
    windows.say("sand", "open", now - timedelta(hours=1), now + timedelta(days=10))
    worked_out(phone, poured)
    text = phone.open("/").text
    assert f"Missed {title('strip')}: North bench #1 ✕ missed today 13:00" in text
    assert "take the block out in pieces" in text.lower()


def test_a_step_missed_before_one_that_is_done_is_told_no_more(
    phone: Phone, poured: str, windows: Windows, now: datetime
) -> None:
    windows.say("finish", "past", now - timedelta(hours=30), now - timedelta(hours=25))
    windows.say("strip", "done", None)
    windows.say("sand", "not yet", now + timedelta(hours=3))
    worked_out(phone, poured)
    text = phone.open("/").text
    assert "missed" not in text
    assert f"{title('sand')}: North bench #1" in text


def test_frost_comes_first_with_its_own_button(
    phone: Phone, poured: str, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "open", now - timedelta(hours=1))
    told: dict[str, Value] = {
        "chance": 0.89,
        "from_at": now + timedelta(hours=8),
        "need_MPa": 3.5,
        "cover": laid("blanket"),
        "by": Message("act_by", {"at": now + timedelta(hours=3)}),
        "after_chance": 0.1,
    }
    at, by = now + timedelta(hours=8), now + timedelta(hours=3)
    text = Message("alert_frost_cover", told)
    windows.alerts = (Alert("frost", 0.89, at, by, laid("blanket"), 0.1, text),)
    windows.warnings = (text, Message("frost_may_come", {**told, "lowest_C": -3.0}))
    worked_out(phone, poured)
    page = phone.open("/")
    assert f"By 21:00 : {said('cover', cover='blanket')}" in page.text
    assert "9 in 10" in page.text
    assert "1 in 10" in page.text
    assert page.text.index("9 in 10") < page.text.index("ready since")
    assert page.text.count("9 in 10") == 1
    phone.send(page.form("/cover", "It’s on"))
    assert phone.status == 200
    assert phone.path == poured
    assert said("cover", cover="blanket") in phone.page.text


def frost(at: datetime, act_by: datetime, chance: float, after: float) -> Alert:
    told: dict[str, Value] = {
        "chance": chance,
        "from_at": at,
        "need_MPa": 3.5,
        "cover": laid("blanket"),
        "by": Message("act_by", {"at": act_by}),
        "after_chance": after,
    }
    text = Message("alert_frost_cover", told)
    return Alert("frost", chance, at, act_by, laid("blanket"), after, text)


def test_a_frost_that_has_begun_is_still_told_until_the_morning(
    phone: Phone, poured: str, windows: Windows, now: datetime, hands: Hands
) -> None:
    windows.say("strip", "not yet", now + timedelta(hours=60))
    windows.alerts = (frost(now + timedelta(hours=2), now + timedelta(hours=1), 0.8, 0.1),)
    worked_out(phone, poured)
    assert "8 in 10" in phone.open("/").text or "4 in 5" in phone.open("/").text
    hands.forward(4)
    assert "Now: " in phone.open("/").text.replace(" :", ":")
    hands.forward(12)
    assert "that a corner freezes" not in phone.open("/").text


def test_a_cover_that_hardly_helps_is_not_what_is_asked_for(
    phone: Phone, poured: str, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "not yet", now + timedelta(hours=60))
    windows.alerts = (frost(now + timedelta(hours=8), now + timedelta(hours=3), 0.9, 0.88),)
    worked_out(phone, poured)
    page = phone.open("/")
    assert said("to_do", do="heat") in page.text
    assert "No cover you own is enough" in page.text
    assert not [form for form in page.forms if form.action.endswith("/cover")]


def test_what_is_under_its_limit_is_no_alarm(
    phone: Phone, poured: str, windows: Windows, now: datetime
) -> None:
    """P15: an alert below its limit stood first, twice."""
    windows.say("strip", "not yet", now + timedelta(hours=9))
    windows.warnings = (
        Message("evaporation_watch", {"rate_kg_m2h": 0.67, "limit_kg_m2h": 1.0}),
        Message("frost_froze", {"why": message.text("it froze at two")}),
        message.text("quiet one"),
    )
    worked_out(phone, poured)
    text = phone.open("/").text
    assert "it froze at two" in text
    assert "0.67" not in text
    assert "quiet one" not in text


@pytest.mark.usefixtures("bench")
def test_a_blocked_pour_says_what_is_missing(phone: Phone) -> None:
    phone.send(phone.open("/pour").form("/pour"))
    text = phone.open("/").text
    assert "No answer yet" in text
    assert "no forecast has been fetched yet" in text
    assert "No weather for Carport yet." in text
    assert "●" not in text


@pytest.mark.usefixtures("poured")
def test_the_night_the_weather_and_its_credit_are_told(phone: Phone, sky: Sky) -> None:
    text = phone.open("/").text
    assert f"Tonight {said('night_low', low='12 °C', frost='')}." in text
    assert "Carport: forecast 1 min old (a sky of the tests)." in text
    assert sky.attribution in text


@pytest.mark.parametrize(("hour", "days"), [(3, 0), (5, 1), (8, 1), (13, 1), (23, 1)])
def test_who_asks_by_day_means_the_night_to_come(hour: int, days: int) -> None:
    asked = datetime(2026, 11, 27, hour, tzinfo=ZoneInfo("Europe/Stockholm"))
    begin, end = span(asked, "Europe/Stockholm")
    assert end == datetime(2026, 11, 27 + days, 9, tzinfo=asked.tzinfo)
    assert begin == max(asked, end - timedelta(hours=15))


def test_a_window_that_came_meanwhile_is_worked_out_before_it_is_shown(
    phone: Phone, poured: str, windows: Windows, now: datetime, hands: Hands
) -> None:
    windows.say("strip", "not yet", now + timedelta(minutes=30))
    worked_out(phone, poured)
    assert "○ safe from" in phone.open("/").text
    windows.say("strip", "open", now + timedelta(minutes=30))
    hands.forward(0.6)
    assert "● ready since" in phone.open("/").text


def test_a_piece_too_young_for_frost_is_watched_in_the_cold_but_not_in_a_heated_room(
    phone: Phone, poured: str, windows: Windows, now: datetime, store: Store
) -> None:
    windows.say("strip", "not yet", now + timedelta(hours=9))
    windows.frost_watch = FrostWatch(now + timedelta(hours=20), 0.04, 1.2)
    worked_out(phone, poured)
    text = phone.open("/").text
    assert "Too young for frost: 1" in text
    assert "1 in 20" in text
    with store.unit_of_work() as session:
        place = session.exec(select(Pour)).one().place_id
        row = session.get(Place, place)
        assert row is not None
        row.kind, row.setpoint_C = "heated room", 18.0
    assert "Too young" not in phone.open("/").text


@pytest.mark.usefixtures("bench")
def test_typed_numbers_are_told_and_taken_back(phone: Phone) -> None:
    """P24: a kept pair replaced the forecast without a word."""
    phone.send(phone.open("/pour").form("/pour"))
    page = phone.send(
        phone.open("/tonight").form("/tonight"), night_low_C="20 F", day_high_C="34 F"
    )
    phone.send(page.form("/places/1/weather"))
    assert phone.path == "/"
    told = said("typed_night", low="-6.7 °C", high="1.1 °C", frost=Message("a_hard_frost"))
    assert f"Using your numbers at Carport: {told}." in phone.page.text
    phone.send(phone.page.form("/weather/back"))
    assert phone.path == "/"
    assert "Using your numbers" not in phone.page.text
    assert "No weather for Carport yet." in phone.page.text


def copies(session: Session, table: type[Row], count: int, **changed: object) -> None:
    """A row again and again, under new keys."""
    row = session.exec(select(table)).first()
    assert row is not None
    values = row.model_dump(exclude={"id"})
    session.execute(insert(table), [{**values, **changed} for _ in range(count)])


@pytest.fixture
def many(store: Store) -> Callable[[int], None]:
    """Fills the shop with pours that are alike, each with its own answer."""

    def fill(count: int) -> None:
        with store.unit_of_work() as session:
            before = set(session.exec(select(Pour.id)).all())
            copies(session, Pour, count)
            answer = session.exec(select(Projection).order_by(col(Projection.id).desc())).first()
            job = session.exec(select(Job).where(Job.kind == "projection")).first()
            assert answer is not None
            assert job is not None
            told = answer.model_dump(exclude={"id", "pour_id", "concrete"})
            duty = job.model_dump(exclude={"id", "pour_id", "key"})
            new = set(session.exec(select(Pour.id)).all()) - before
            session.execute(insert(Projection), [{**told, "pour_id": key} for key in new])
            session.execute(
                insert(Job), [{**duty, "pour_id": key, "key": f"projection:{key}"} for key in new]
            )

    return fill


def test_five_hundred_pours_are_as_light_as_five(
    phone: Phone,
    poured: str,
    windows: Windows,
    now: datetime,
    store: Store,
    many: Callable[[int], None],
) -> None:
    windows.say("strip", "not yet", now + timedelta(hours=9))
    worked_out(phone, poured)
    asked: list[str] = []
    event.listen(store.engine, "before_cursor_execute", lambda *a: asked.append(a[2]))
    counts, sizes = [], []
    for more in (4, 495):
        many(more)
        asked.clear()
        page = phone.open("/")
        counts.append(len(asked))
        sizes.append(len(gzip.compress(page.source.encode())))
    assert counts[0] == counts[1], counts
    assert max(sizes) < LIGHT, sizes
    assert "North bench #1" in page.text
    assert "488 more" in page.text
    assert "North bench #13" in phone.open("/?from=12").text


def test_a_shop_of_many_pages_leaves_its_answers_to_the_clock(
    phone: Phone,
    poured: str,
    windows: Windows,
    now: datetime,
    store: Store,
    many: Callable[[int], None],
) -> None:
    windows.say("strip", "open", now - timedelta(hours=1))
    worked_out(phone, poured)
    many(20)
    with store.unit_of_work() as session:
        for row in session.exec(select(Projection)):
            row.checked_at = now - timedelta(hours=3)
    page = phone.open("/")
    assert "No answer yet" in page.text
    assert "ready since" not in page.text
    with store.reading() as session:
        assert all(
            row.checked_at == now - timedelta(hours=3) for row in session.exec(select(Projection))
        )
