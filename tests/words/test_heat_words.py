"""Heat is never told without its kind, and what burns in a closed place is told with its danger."""

import re
from datetime import UTC, datetime

import pytest

from models.message import Message, Value
from models.planning import fumes
from service.words import Reader, say

HERE = Reader("America/Chicago")
AT = datetime(2026, 10, 15, 12, 30, tzinfo=UTC)
COLD: dict[str, Value] = {
    "chance": 0.31,
    "need_MPa": 3.5,
    "from_at": AT,
    "lowest_C": -4.0,
    "after_chance": 0.2,
}
ANY = re.compile(r"(?<!electric )\bheat(?:er|ed)?\b(?! enclosure \((?:electric|vented) heat[,)])")
TENT = Message("cover_with", {"cover": "heated enclosure", "with": (Message("heat_electric"),)})

BEFORE = Message(
    "cover_with",
    {"cover": "heated enclosure", "with": (Message("heat_electric"), Message("heated_before"))},
)


@pytest.mark.parametrize(
    "message",
    [
        Message("heat_electric"),
        Message("heat_from_now", {"setpoint_C": 20.0}),
        Message("way_cover", {"cover": TENT}),
        Message("way_cover", {"cover": BEFORE}),
        Message("heat_from", {"heat": Message("heat_electric"), "at": AT, "base_C": 13.5}),
        Message("alert_frost_no_cover", {**COLD, "by": Message("act_at_once")}),
        Message("alert_frost_cover_leaves", {**COLD, "cover": TENT}),
        Message("frost_may_come", COLD),
    ],
    ids=lambda one: str(one.code),
)
def test_heat_that_is_proposed_is_said_to_be_electric(message: Message) -> None:
    words = say(message, HERE)
    assert "electric heat" in words
    assert not ANY.search(words)


def test_a_burner_is_told_with_whom_it_kills_and_what_to_do() -> None:
    words = say(fumes.FUMES, HERE)
    for word in ("carbon monoxide", "asleep", "electric heat", "alarm", "chalks"):
        assert word in words


def test_of_a_frost_that_has_been_nothing_is_told_that_comes_too_late() -> None:
    past = Message("frost_may_have_come", {"chance": 0.2, "need_MPa": 3.5, "about_at": AT})
    late = Message("look_for_cracks")
    assert "froze before it had 3.5 MPa" in say(past, HERE)
    assert not re.search("before then|blanket|heat", say(past, HERE))
    assert not re.search("shade|wind break|fog|dawn|film", say(late, HERE))


def test_a_frozen_piece_stays_in_its_mould_and_is_warmed_slowly() -> None:
    values: dict[str, Value] = {
        "at": AT,
        "limit_MPa": 3.5,
        "chance": 0.9,
        "over_C": 10.0,
        "settles": (),
    }
    words = say(Message("probably_frozen", values), HERE).lower()
    assert "frozen since" in words
    assert "leave the mould on, bring it slowly over 10 °c" in words
