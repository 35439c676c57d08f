"""Each person is told what they want, by their own hours, where they want it: once, and surely."""

from collections.abc import Callable
from datetime import datetime, time, timedelta

import pytest

from models.errors import DeliveryFailed, InputError
from models.records import Delivery, Person, Reminder
from scheduler.jobs import Rounds
from service.actions.notices.later import remind_later
from service.actions.people import join, notices
from service.actions.shop.set_up_shop import change_shop
from service.actions.windows.project_pour import project_pour
from service.settings import Settings
from service.store import Store
from tests.support.rows import rows
from tests.support.shop import Mailbox, Sky, Windows

HOUR, MINUTE = timedelta(hours=1), timedelta(minutes=1)
Joins = Callable[..., Mailbox]


class Post:
    """A mailbox for every address."""

    def __init__(self) -> None:
        self.boxes: dict[str, Mailbox] = {}

    def __call__(self, addresses: object) -> list[Mailbox]:
        assert isinstance(addresses, (list, tuple))
        return [self.boxes.setdefault(one, Mailbox(one)) for one in addresses]


@pytest.fixture
def post(store: Store, pour_id: int, now: datetime) -> Post:
    """The shop itself takes nothing: its people do."""
    assert pour_id
    with store.unit_of_work() as session:
        change_shop(session, now, {"notice_addresses": []})
    return Post()


@pytest.fixture
def rounds(settings: Settings, store: Store, sky: Sky, post: Post) -> Rounds:
    return Rounds(settings, store, sky, post)


@pytest.fixture
def joins(store: Store, post: Post, now: datetime) -> Joins:
    def joined(name: str, role: str = "helper", **chosen: object) -> Mailbox:
        with store.unit_of_work() as session:
            person = Person(created_at=now, name=name, role=role, password_hash="none")
            session.add(person)
            session.flush()
            notices.choose(session, person.id, {"notice_addresses": [name], **chosen})
        return post.boxes.setdefault(name, Mailbox(name))

    return joined


def test_each_is_told_in_the_units_and_by_the_clock_they_chose_last(
    store: Store,
    joins: Joins,
    windows: Windows,
    every_hour: Callable[[int], None],
    now: datetime,
) -> None:
    ann, bob = joins("Ann"), joins("Bob")
    for name, chosen in (
        ("Ann", {"strength": "psi", "temperature": "F", "hours": 12}),
        ("Bob", {"strength": "MPa", "temperature": "C", "hours": 24, "nonsense": "x"}),
    ):
        with store.unit_of_work() as session:
            notices.read_so(session, person(store, name).id, chosen)
    windows.warn("frost", now + 9 * HOUR, now + 2 * HOUR)
    every_hour(3)
    (told_ann,), (told_bob,) = ann.notices, bob.notices
    assert told_ann.key == told_bob.key
    for told, has, has_not in ((told_ann, "psi", "MPa"), (told_bob, "MPa", "psi")):
        words = f"{told.title} {told.body}"
        assert has in words
        assert has_not not in words
    assert "pm" in told_ann.title
    assert "pm" not in told_bob.title


def person(store: Store, name: str) -> Person:
    return next(one for one in rows(store, Person) if one.name == name)


@pytest.fixture
def every_hour(store: Store, rounds: Rounds, pour_id: int, now: datetime) -> Callable[[int], None]:
    """The clock's rounds for so many hours from 18:00 on, in Chicago, every quarter of an hour."""

    def pass_by(hours: int) -> None:
        for quarter in range(hours * 4 + 1):
            at = now + quarter * 15 * MINUTE
            if quarter % 4 == 0:
                project_pour(store, at, pour_id)
            rounds.deliver(at)

    return pass_by


def told_at(store: Store, name: str, now: datetime) -> list[float]:
    """Hours after 18:00 at which a mailbox got something."""
    sent = [one for one in rows(store, Delivery) if (one.channel, one.outcome) == (name, "sent")]
    return [(one.at - now) / HOUR for one in sent]


def test_each_hears_the_kinds_they_want_and_the_shop_is_the_usual(
    joins: Joins, windows: Windows, every_hour: Callable[[int], None], now: datetime
) -> None:
    frost_alone = joins("Ada", notice_kinds=["frost"])
    nothing_chosen, closing_alone = joins("Ben"), joins("Cleo", notice_kinds=["closes"])
    windows.say("strip", "not yet", now + 16 * HOUR)
    windows.warn("frost", now + 9 * HOUR, now + 2 * HOUR)
    every_hour(18)
    assert [one.severity for one in frost_alone.notices] == ["alarm"]
    assert [one.severity for one in nothing_chosen.notices] == ["alarm", "news"]
    assert closing_alone.notices == []


def test_each_is_told_by_their_own_quiet_hours_and_nobody_twice(
    joins: Joins, store: Store, windows: Windows, every_hour: Callable[[int], None], now: datetime
) -> None:
    """At 5:00: one is up, the shop's usual is told at 7:00, one sleeps until 9:00."""
    joins("Ada", quiet_from=time(20), quiet_to=time(4))
    joins("Ben")
    joins("Cleo", quiet_from=time(23), quiet_to=time(9))
    windows.say("strip", "not yet", now + 11 * HOUR)
    every_hour(20)
    assert [told_at(store, one, now) for one in ("Ada", "Ben", "Cleo")] == [[11], [13], [15]]
    (row,) = rows(store, Reminder)
    assert (row.state, row.done_at is not None) == ("sent", True)


def test_who_was_just_told_until_when_is_not_told_again_as_another_wakes(
    joins: Joins, store: Store, windows: Windows, every_hour: Callable[[int], None], now: datetime
) -> None:
    joins("Ada", quiet_from=time(22), quiet_to=time(7))
    joins("Ben", quiet_from=time(22), quiet_to=time(8))
    windows.say("strip", "not yet", now + 7 * HOUR, now + 15 * HOUR)  # 1:00 to 9:00
    every_hour(15)
    assert [told_at(store, one, now) for one in ("Ada", "Ben")] == [[13], [14]]
    assert {row.state for row in rows(store, Reminder)} == {"sent"}


def test_an_end_that_came_nearer_is_told_however_shortly_before_another_was_told(
    joins: Joins,
    store: Store,
    rounds: Rounds,
    pour_id: int,
    windows: Windows,
    every_hour: Callable[[int], None],
    now: datetime,
) -> None:
    ada = joins("Ada")
    windows.say("strip", "not yet", now + 15 * HOUR, now + 23 * HOUR)
    every_hour(15)
    windows.clear()
    windows.say("strip", "open", now + 15 * HOUR, now + 15.2 * HOUR)
    at = now + 15 * HOUR + 5 * MINUTE
    for late in (at, at + 4 * MINUTE):
        project_pour(store, late, pour_id)
        rounds.deliver(late)
    assert len(ada.notices) == 2


def test_a_lead_is_each_ones_own_and_says_from_when(
    joins: Joins, store: Store, windows: Windows, every_hour: Callable[[int], None], now: datetime
) -> None:
    early, usual = joins("Ada", notice_lead_min=120), joins("Ben")
    windows.say("strip", "not yet", now + 16 * HOUR)
    every_hour(17)
    assert (told_at(store, "Ada", now), told_at(store, "Ben", now)) == ([14], [16])
    assert early.notices[0].title.endswith("from 10:00 am")
    assert "from 10:00" not in usual.notices[0].title


@pytest.mark.parametrize(("wakes", "hours"), [(True, [6.0]), (False, [13.0])])
def test_frost_wakes_whom_it_may(
    joins: Joins,
    store: Store,
    rounds: Rounds,
    pour_id: int,
    windows: Windows,
    now: datetime,
    wakes: bool,
    hours: list[float],
) -> None:
    """The shop's own answer is the other one."""
    with store.unit_of_work() as session:
        change_shop(session, now, {"frost_wakes": not wakes})
    joins("Ada", frost_wakes=wakes)
    night = now + 6 * HOUR
    windows.warn("frost", night + 5 * HOUR, night + 2 * HOUR)
    project_pour(store, night, pour_id)
    for k in (0, 7):
        rounds.deliver(night + k * HOUR)
    assert told_at(store, "Ada", now) == hours


def test_what_must_be_done_at_night_is_told_before_each_one_lies_down(
    joins: Joins, store: Store, windows: Windows, every_hour: Callable[[int], None], now: datetime
) -> None:
    joins("Ada", quiet_from=time(21), quiet_to=time(6))
    joins("Ben", quiet_from=time(23), quiet_to=time(6))
    windows.say("finish", "not yet", now + 6 * HOUR, now + 8 * HOUR)  # 0:00 to 2:00
    every_hour(9)
    assert told_at(store, "Ada", now)[0] == 2.75
    assert told_at(store, "Ben", now)[0] == 4.75


def test_what_comes_together_for_one_may_come_apart_for_another(
    joins: Joins, windows: Windows, every_hour: Callable[[int], None], now: datetime
) -> None:
    """The budget is each person's: what fell into their night is one notice in their morning."""
    sleeps, watches = joins("Ada"), joins("Ben", quiet_from=time(12), quiet_to=time(12))
    windows.say("uncover", "not yet", now + 7 * HOUR)
    windows.say("strip", "not yet", now + 9 * HOUR)
    every_hour(15)
    assert (len(sleeps.notices), len(watches.notices)) == (1, 2)
    assert sleeps.notices[0].path == "/"


def test_a_helper_hears_what_the_owner_lets_them(
    joins: Joins, store: Store, rounds: Rounds, pour_id: int, windows: Windows, now: datetime
) -> None:
    """Fumes in any case; that a window is off only who was told of it; an owner has no master."""
    boxes = {name: joins(name, role) for name, role in (("Ada", "owner"), ("Ben", "helper"))}
    with store.unit_of_work() as session:
        for name in boxes:
            notices.let_hear(session, person(store, name).id, ["frost"])
        notices.choose(session, person(store, "Ben").id, {"notice_kinds": ["opens", "frost"]})
    morning = now + 15 * HOUR
    windows.say("strip", "not yet", morning)
    project_pour(store, now, pour_id)
    project_pour(store, morning - HOUR / 2, pour_id)
    rounds.deliver(morning)
    windows.say("strip", "blocked", None)
    project_pour(store, morning + HOUR, pour_id)
    rounds.deliver(morning + HOUR)
    assert (len(boxes["Ada"].notices), len(boxes["Ben"].notices)) == (2, 0)
    windows.warn("fumes", morning + 9 * HOUR, morning + 3 * HOUR)
    project_pour(store, morning + 2 * HOUR, pour_id)
    rounds.deliver(morning + 2 * HOUR)
    assert (len(boxes["Ada"].notices), len(boxes["Ben"].notices)) == (3, 1)


def test_who_was_told_hears_that_it_is_off_though_they_want_no_more(
    joins: Joins, store: Store, rounds: Rounds, pour_id: int, windows: Windows, now: datetime
) -> None:
    box, morning = joins("Ada"), now + 15 * HOUR
    windows.say("strip", "not yet", morning)
    project_pour(store, now, pour_id)
    project_pour(store, morning - HOUR / 2, pour_id)
    rounds.deliver(morning)
    with store.unit_of_work() as session:
        notices.choose(session, person(store, "Ada").id, {"notice_kinds": []})
    windows.say("strip", "blocked", None)
    project_pour(store, morning + HOUR, pour_id)
    rounds.deliver(morning + HOUR)
    assert len(box.notices) == 2


def test_who_changed_their_phone_hears_that_it_is_off_and_who_slept_hears_nothing(
    joins: Joins, store: Store, rounds: Rounds, pour_id: int, windows: Windows, now: datetime
) -> None:
    joins("Ada")
    asleep, morning = joins("Ben", quiet_from=time(23), quiet_to=time(11)), now + 15 * HOUR
    windows.say("strip", "not yet", morning)
    project_pour(store, now, pour_id)
    project_pour(store, morning - HOUR / 2, pour_id)
    rounds.deliver(morning)
    with store.unit_of_work() as session:
        notices.choose(session, person(store, "Ada").id, {"notice_addresses": ["Ada's new one"]})
    windows.say("strip", "blocked", None)
    project_pour(store, morning + HOUR, pour_id)
    for hours in (1, 2, 3):
        rounds.deliver(morning + hours * HOUR)
    assert told_at(store, "Ada's new one", now) == [16]
    assert asleep.notices == []  # nothing is taken back that was never said


def test_in_an_hour_is_for_who_asked_and_takes_nothing_from_the_others(
    joins: Joins, store: Store, rounds: Rounds, pour_id: int, windows: Windows, now: datetime
) -> None:
    joins("Ada", quiet_from=time(20), quiet_to=time(7))
    joins("Ben", quiet_from=time(4), quiet_to=time(5))
    windows.say("strip", "not yet", now + 3 * HOUR)  # 21:00
    project_pour(store, now, pour_id)
    project_pour(store, now + 5 * HOUR / 2, pour_id)
    rounds.deliver(now + 3 * HOUR)
    with store.unit_of_work() as session:
        (row,) = rows(store, Reminder)
        remind_later(session, now + 3.5 * HOUR, row.id, person(store, "Ben").id)
    windows.say("strip", "open", now + 3 * HOUR)
    for quarter in range(4 * 12):
        at = now + 3.5 * HOUR + quarter * 15 * MINUTE
        if quarter % 4 == 0:
            project_pour(store, at, pour_id)
        rounds.deliver(at)
    assert told_at(store, "Ben", now) == [3, 4.5]
    assert told_at(store, "Ada", now) == [13]


@pytest.mark.parametrize("told_between", [False, True])
def test_two_who_ask_for_an_hour_are_both_told(
    joins: Joins,
    store: Store,
    rounds: Rounds,
    pour_id: int,
    windows: Windows,
    now: datetime,
    told_between: bool,
) -> None:
    """The wish of the first is not lost by that of the second; once it is met it is over."""
    for name in ("Ada", "Ben"):
        joins(name, quiet_from=time(4), quiet_to=time(5))
    windows.say("strip", "not yet", now + 3 * HOUR)
    project_pour(store, now, pour_id)
    project_pour(store, now + 5 * HOUR / 2, pour_id)
    rounds.deliver(now + 3 * HOUR)
    windows.say("strip", "open", now + 3 * HOUR)
    (row,) = rows(store, Reminder)
    taps = {"Ada": now + 3.25 * HOUR, "Ben": now + (4.5 if told_between else 3.5) * HOUR}
    for quarter in range(1, 4 * 4):
        at = now + 3 * HOUR + quarter * 15 * MINUTE
        for name in [one for one, tap in taps.items() if tap == at]:
            with store.unit_of_work() as session:
                remind_later(session, at, row.id, person(store, name).id)
        project_pour(store, at, pour_id)
        rounds.deliver(at)
    assert told_at(store, "Ben", now)[1:] == [5.5 if told_between else 4.5]
    assert told_at(store, "Ada", now)[1:] == [4.25 if told_between else 4.5]


def test_a_mailbox_that_is_down_holds_up_nobody_and_is_tried_again(
    joins: Joins, store: Store, rounds: Rounds, pour_id: int, windows: Windows, now: datetime
) -> None:
    down, morning = joins("Ada"), now + 15 * HOUR
    joins("Ben", quiet_from=time(23), quiet_to=time(10))
    down.refuse = DeliveryFailed("Ada", "down", permanent=False)
    windows.say("strip", "not yet", morning)
    project_pour(store, now, pour_id)
    project_pour(store, morning - HOUR / 2, pour_id)
    rounds.deliver(morning)
    down.refuse = None
    project_pour(store, morning + HOUR / 2, pour_id)
    for minute in range(0, 75, 5):
        rounds.deliver(morning + minute * MINUTE)
    assert told_at(store, "Ben", now) == [16]
    assert len(down.notices) == 1


def test_an_address_that_the_shop_and_a_person_share_is_told_once(
    joins: Joins, store: Store, windows: Windows, every_hour: Callable[[int], None], now: datetime
) -> None:
    box = joins("Ada")
    with store.unit_of_work() as session:
        change_shop(session, now, {"notice_addresses": ["Ada"]})
    windows.say("strip", "not yet", now + 16 * HOUR)
    every_hour(18)
    assert len(box.notices) == 1


def test_who_left_is_told_nothing(
    joins: Joins, store: Store, windows: Windows, every_hour: Callable[[int], None], now: datetime
) -> None:
    gone, stays = joins("Ada"), joins("Ben", "owner")
    with store.unit_of_work() as session:
        left = join.leave(session, now, person(store, "Ada").id)
        assert left.notice_addresses == []
    windows.say("strip", "not yet", now + 16 * HOUR)
    every_hour(17)
    assert (gone.notices, len(stays.notices)) == ([], 1)


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({"notice_kinds": ["snow"]}, "notice_kinds"),
        ({"notice_lead_min": 721}, "notice_lead_min"),
        ({"quiet_from": time(22)}, "quiet_to"),
        ({"notice_addresses": list("abcdef")}, "kind"),
        ({"password_hash": "x"}, "field"),
    ],
)
def test_what_cannot_be_chosen_is_refused_by_its_name(
    joins: Joins, store: Store, values: dict[str, object], field: str
) -> None:
    joins("Ada")
    with pytest.raises(InputError) as refused, store.unit_of_work() as session:
        notices.choose(session, person(store, "Ada").id, values)
    assert refused.value.field == field
