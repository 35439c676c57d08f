"""The next pour: mould, mix, piece and place as last time, one press."""

from typing import TypeVar

import pytest
from sqlmodel import select

from models.records import Piece, Pour, ProtectionPeriod
from service.store import Store
from tests.support.phone import Phone
from tests.support.rows import rows
from tests.support.shop import Bench

Logged = TypeVar("Logged", Piece, Pour, ProtectionPeriod)


def newest(store: Store, table: type[Logged]) -> Logged:
    return max(rows(store, table), key=lambda row: row.id)


def test_poured_now_takes_what_was_taken_last_time(
    phone: Phone, store: Store, bench: Bench, poured: str
) -> None:
    form = phone.open("/pour").form("/pour")
    phone.send(form, mould_id=str(bench.mould_id), cover="two blankets")
    first = newest(store, Pour)
    phone.send(phone.open("/pour").form("/pour", "Poured now"))
    second = newest(store, Pour)
    assert second.id == first.id + 1
    for name in ("mix_id", "piece_id", "place_id", "mould_id"):
        assert getattr(second, name) == getattr(first, name)
    assert newest(store, ProtectionPeriod).kind == "two blankets"
    assert newest(store, ProtectionPeriod).pour_id == second.id
    assert poured != phone.path


@pytest.mark.usefixtures("bench")
def test_a_form_sent_twice_logs_one_pour(phone: Phone, store: Store) -> None:
    form = phone.open("/pour").form("/pour")
    phone.send(form)
    once = phone.path
    phone.send(form)
    assert phone.path == once
    with store.reading() as session:
        assert len(session.exec(select(Pour)).all()) == 1


@pytest.mark.usefixtures("bench")
def test_a_changed_form_under_the_same_key_comes_back_and_can_be_sent_again(
    phone: Phone, store: Store
) -> None:
    form = phone.open("/pour").form("/pour")
    phone.send(form)
    page = phone.send(form, note="the second one")
    assert phone.status == 422
    assert "sent already" in page.text
    again = page.form("/pour")
    assert again.fields["note"] == ["the second one"]
    phone.send(again)
    assert newest(store, Pour).note == "the second one"


@pytest.mark.usefixtures("poured")
def test_a_new_piece_can_be_described_beside_an_old_mix_and_place(
    phone: Phone, store: Store, bench: Bench
) -> None:
    phone.send(
        phone.open("/pour").form("/pour"),
        piece_id="new",
        piece__name="Low step",
        piece__shape="block",
        piece__height_mm="6 in",
    )
    assert newest(store, Piece).height_mm == 152.4
    assert newest(store, Pour).piece_id == newest(store, Piece).id
    assert newest(store, Pour).mix_id == bench.mix_id


def test_a_pour_logged_by_mistake_is_undone_with_one_press(
    phone: Phone, store: Store, poured: str
) -> None:
    page = phone.send(phone.open(f"{poured}?said=poured").form("/close", "Undo"))
    assert newest(store, Pour).closed_why == "logged by mistake"
    assert "Closed: logged by mistake" in page.text
    assert "Windows" not in page.text
    phone.send(page.form("/reopen"))
    assert newest(store, Pour).closed_at is None


def test_details_of_the_evening_correct_the_pour_without_moving_its_time(
    phone: Phone, store: Store, poured: str
) -> None:
    before = newest(store, Pour).placed_at
    phone.send(
        phone.open(f"{poured}/edit").form("/edit"),
        concrete_C="59 F",
        bags="2 1/2",
        water_added_l="1 qt",
    )
    after = newest(store, Pour)
    assert phone.status == 200
    assert (after.concrete_C, after.bags, after.placed_at) == (15.0, 2.5, before)
    assert round(after.water_added_l, 3) == 0.946
