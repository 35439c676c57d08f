"""The invented shop: five moments that are true whatever the hour it is opened at."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from service import demo
from service.answers import AnswerResponse, StepWindowResponse, read_answer
from service.queries.projections import latest
from service.store import Store
from tests.support.phone import Phone
from tests.support.thorough import some

ZONE = ZoneInfo(demo.TIMEZONE)


def at(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=ZONE)


MIDNIGHT, SUMMER = at("2026-11-20T00:10"), at("2027-06-05T12:30")


@pytest.mark.parametrize("now", some([MIDNIGHT], [MIDNIGHT, SUMMER]))
def test_each_piece_stands_at_its_moment(store: Store, now: datetime) -> None:
    keys = demo.fill(store, demo.Replay(demo.TIMEZONE, now))
    with store.reading() as session:
        rows = [latest(session, key) for key in keys]
    answers = [read_answer(row.answer) for row in rows if row is not None]
    poured, to_strip, to_turn, coated, finished = answers
    assert "alert_frost_cover" in {one.code for one in poured.warning_codes}
    assert window(to_strip, "strip").state == "open"
    turn = window(to_turn, "turn").earliest.safe
    assert turn is not None
    assert (turn.astimezone(ZONE).date() - now.date()).days == 1
    assert window(coated, "coat-1").state == "done"
    assert window(coated, "coat-2").state == "not yet"
    assert window(finished, "coat-2").state == "done"


def window(answer: AnswerResponse, step: str) -> StepWindowResponse:
    return next(one for one in answer.steps if one.step == step)


def test_the_first_page_has_every_hour_at_once(store: Store, phone: Phone, now: datetime) -> None:
    demo.fill(store, demo.Replay(demo.TIMEZONE, now))
    assert 'http-equiv="refresh"' not in phone.open("/").source
