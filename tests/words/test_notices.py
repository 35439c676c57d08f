"""A notice says: piece, what, until when, why, check first, what if missed, in this order."""

from datetime import UTC, datetime
from typing import Any

from models.message import Message
from service.answer_fields import as_json
from service.notify import words
from service.notify.channel import Notice
from service.words import Reader
from tests.support.raw import JsonDict


def code(code: str, **values: str) -> JsonDict:
    told: JsonDict = as_json(Message(code, values))
    return told


NOW = datetime(2026, 10, 15, 20, 0, tzinfo=UTC)  # 15:00 in the shop
FACTS: dict[str, Any] = {
    "piece": "North bench",
    "step": "knock-out",
    "p50": "2026-10-15T18:30:00+00:00",
    "p90": "2026-10-15T19:30:00+00:00",
    "latest": "2026-10-15T23:10:00+00:00",
    "because": [code("text", text="final set passed at 14:10")],
    "cautions": [code("text", text="A nail marks it but does not dent.")],
    "missed": code("text", text="take the block out in pieces, no hammer"),
    "confidence": 0.9,
}
HERE = Reader("America/Chicago", now=NOW)


def said(kind: str, **changes: object) -> Notice:
    return words.notice("7:knock-out:opens", kind, {**FACTS, **changes}, NOW, HERE)


def test_an_opening_is_told_in_the_order_of_the_trade() -> None:
    notice = said("opens")
    assert notice.title == "North bench: pull the knock-out before 18:10"
    assert notice.body == (
        "Safe from 14:30 (9 in 10), until 18:10. Why: Final set passed at 14:10."
        " Check first: A nail marks it but does not dent."
        " If missed: take the block out in pieces, no hammer."
    )


def test_another_day_is_named() -> None:
    soon = said("closes", latest="2026-10-17T00:10:00+00:00").title
    assert soon == "North bench: pull the knock-out soon, closes Fri 16 Oct 19:10"


def test_a_window_without_end_says_so() -> None:
    notice = said("opens", latest=None, step="coat-2", missed=None)
    assert notice.title == "North bench: coat 2 of sealer"
    assert "any time from then on" in notice.body
    assert "If missed" not in notice.body


def test_a_withdrawal_says_what_was_told_and_why_it_moved() -> None:
    colder = Message("air_colder", {"apart_K": 3.8, "over_h": 9.0})
    later = Message("moved_later", {"key": "knock-out", "by": Message("span_h", {"span_h": 3.0})})
    moved = as_json(Message("moved", {"moves": (later,), "reasons": (colder,)}))
    notice = said("correction", was="2026-10-15T15:00:00+00:00", why_moved=moved)
    assert notice.title == "North bench: do not pull the knock-out yet, safe from 14:30"
    assert notice.body.startswith(
        "The notice for 10:00 is withdrawn; now safe from 14:30 (9 in 10). Moved:"
        " knock out 3 h later: air 3.8 °C colder than forecast over 9 h."
    )


def test_too_short_a_window_is_only_probably_open() -> None:
    notice = said("opens", p90=None)
    assert notice.body.startswith(
        "Probably from 13:30; too uncertain to call safe before it closes 18:10: go by the check,"
        " not by the clock. Why:"
    )


def test_what_the_sky_brings_says_what_to_do_and_by_when() -> None:
    by = "2026-10-15T23:10:00+00:00"
    frost = said("frost", step="frost", act_by=by, remedy=code("cover", cover="blanket"))
    assert frost.title == "North bench: one blanket against frost by 18:10"
    assert frost.body.startswith("Final set passed")
    assert said("frost", step="frost", act_by=by, remedy=None).title == (
        "North bench: electric heat or a room against frost by 18:10"
    )
    gone = said("correction", step="rain", was=by, because=[], cautions=[], missed=None)
    assert (gone.title, gone.body) == (
        "North bench: no rain in sight any more",
        "The notice of rain for 18:10 is withdrawn.",
    )
    assert said("frost", step="frozen").title == (
        "North bench: probably frozen, leave it in the mould"
    )


def test_a_withdrawal_without_an_hour_says_that_none_can_be_told() -> None:
    notice = said("correction", was="2026-10-15T15:00:00+00:00", p90=None)
    assert notice.title == "North bench: do not pull the knock-out yet"
    assert "is withdrawn: too uncertain to say when. Why:" in notice.body
