"""In autumn one hour comes twice: what happened in it can be told, and is asked which it was."""

from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from starlette.testclient import TestClient

from models.records import Reading
from service.nouns.moments import ComesTwice, moment, typed_moment
from service.store import Store
from tests.support.phone import Phone
from tests.support.rows import only, rows
from tests.support.shop import Hands

CHICAGO = "America/Chicago"
FIRST = datetime(2026, 11, 1, 6, 15, tzinfo=UTC)  # 01:15 CDT
SECOND = datetime(2026, 11, 1, 7, 15, tzinfo=UTC)  # 01:15 CST
TYPED = "2026-11-01T01:15"


@pytest.fixture
def at_night(hands: Hands, poured: str) -> Callable[[datetime], str]:
    """The address of a pour, once it is so late."""

    def wait(now: datetime) -> str:
        hands.now = now
        return poured

    return wait


@pytest.mark.parametrize(("which", "at"), [("first", FIRST), ("second", SECOND)])
def test_a_reading_of_the_doubled_hour_is_asked_which_it_was(
    phone: Phone,
    store: Store,
    at_night: Callable[[datetime], str],
    which: str,
    at: datetime,
) -> None:
    poured = at_night(datetime(2026, 11, 1, 8, 0, tzinfo=UTC))
    form = phone.open(f"{poured}/reading/add").form("/reading")
    assert "at.pass" not in form.fields, "nobody is asked about any other hour"
    page = phone.send(form, kind="air", value_C="9 C", at=TYPED)
    assert phone.status == 422
    assert "the first (CDT) or the second (CST)" in page.notes["at"]
    asked = page.form("/reading")
    assert asked.fields["at"] == [TYPED]
    assert asked.fields["at.pass"] == [""]
    phone.send(asked, **{"at.pass": which})
    assert only(store, Reading).at == at


def test_in_its_first_pass_it_can_be_typed(
    phone: Phone, store: Store, at_night: Callable[[datetime], str]
) -> None:
    """It was taken for the second, which was still to come, and refused."""
    poured = at_night(datetime(2026, 11, 1, 6, 40, tzinfo=UTC))
    form = phone.open(f"{poured}/reading/add").form("/reading")
    phone.send(form, kind="air", value_C="9 C", at=TYPED, **{"at.pass": "second"})
    assert phone.status == 422
    assert rows(store, Reading) == []
    phone.send(form, kind="air", value_C="9 C", at=TYPED, **{"at.pass": "first"})
    assert only(store, Reading).at == FIRST


def test_another_hour_typed_after_the_question_is_that_hour(
    phone: Phone, store: Store, at_night: Callable[[datetime], str]
) -> None:
    poured = at_night(datetime(2026, 11, 1, 8, 40, tzinfo=UTC))
    form = phone.open(f"{poured}/reading/add").form("/reading")
    page = phone.send(form, kind="air", value_C="9 C", at=TYPED)
    phone.send(page.form("/reading"), at="2026-11-01T02:05", **{"at.pass": "first"})
    assert only(store, Reading).at == datetime(2026, 11, 1, 8, 5, tzinfo=UTC)


def test_a_pour_of_that_hour_is_corrected_without_being_moved(
    phone: Phone, at_night: Callable[[datetime], str], client: TestClient
) -> None:
    poured = at_night(datetime(2026, 11, 1, 8, 0, tzinfo=UTC))
    pour = f"/api/v1{poured}"
    for at in (FIRST, SECOND):
        moved = client.patch(pour, json={"placed_at": at.isoformat()})
        assert moved.status_code == 200, moved.text
        phone.send(phone.open(f"{poured}/edit").form("/edit"))
        told = datetime.fromisoformat(client.get(pour).json()["placed_at"])
        assert told == at


def test_what_is_shown_of_an_instant_is_read_back_as_it() -> None:
    for at in (FIRST, SECOND, FIRST.replace(hour=3), SECOND.replace(month=7)):
        shown = typed_moment("at", at, CHICAGO)
        assert moment("at", shown["at"][0], CHICAGO, shown.get("at.pass", [""])[0]) == at
    with pytest.raises(ComesTwice, match="comes twice"):
        moment("at", TYPED, CHICAGO)
    assert moment("at", "2026-11-01T01:15-05:00", CHICAGO) == FIRST
