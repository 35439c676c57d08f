"""The next pour: mould, mix, piece and place as last time, one press."""

import re
from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest
from sqlmodel import select
from starlette.testclient import TestClient

from models.records import Mould, Piece, Pour, ProtectionPeriod, StepDone
from service.queries.poured import piece_label
from service.store import Store
from tests.support.phone import Phone
from tests.support.rows import newest, rows
from tests.support.shop import Bench, Hands


def test_a_piece_brings_what_it_was_poured_with_the_last_time(
    phone: Phone, store: Store, bench: Bench, client: TestClient, hands: Hands
) -> None:
    """P6: a second pour kept what the last one was made with, whatever piece was chosen."""
    form = phone.open("/pour").form("/pour")
    asked = {"mould_id": str(bench.mould_id), "sealer_id": str(bench.sealer_id)}
    phone.send(form, **asked, cover="two blankets")
    first = newest(store, Pour)
    client.post(f"/api/v1/pours/{first.id}/close")
    hands.forward(2.0)
    other = phone.open("/pour?piece=new").form("/pour")
    phone.send(other, piece__name="Low step", place_id=place(client, "Shed"), **measures(60.0))
    assert phone.status == 200
    assert newest(store, Pour).mould_id is None
    hands.forward(2.0)
    page = phone.open(f"/pour?piece={first.piece_id}")
    (sentence,) = re.findall(r'class="summary".*?</p>', page.source, re.DOTALL)
    for row in first.poured.values():
        assert row["name"] in sentence
    assert "two blankets" in sentence
    phone.send(page.form("/pour", "Poured"))
    second = newest(store, Pour)
    for name in ("mix_id", "piece_id", "place_id", "mould_id", "sealer_id"):
        assert getattr(second, name) == getattr(first, name)
    assert newest(store, ProtectionPeriod).kind == "two blankets"
    assert newest(store, ProtectionPeriod).pour_id == second.id
    assert second.placed_at == hands.now


def place(client: TestClient, name: str) -> str:
    values = {"name": name, "kind": "unheated room", "timezone": "America/Chicago"}
    return str(client.post("/api/v1/places", json=values).json()["id"])


def measures(thickness_mm: float) -> dict[str, str]:
    return {
        "piece__length_mm": "900 mm",
        "piece__width_mm": "400 mm",
        "piece__thickness_mm": f"{thickness_mm:g} mm",
    }


def test_a_piece_never_poured_takes_the_mould_built_for_it_and_no_sealer_of_another(
    phone: Phone, store: Store, bench: Bench, client: TestClient
) -> None:
    """P6: it kept mould and sealer of the last pour, whatever piece was chosen."""
    phone.send(phone.open("/pour").form("/pour"), mould_id=str(bench.mould_id))
    step = {"name": "Low step", "shape": "block", "length_mm": 900, "width_mm": 400}
    key = client.post("/api/v1/pieces", json=step | {"height_mm": 150}).json()["id"]
    own = client.post("/api/v1/moulds", json={"name": "Step mould", "piece_id": key}).json()["id"]
    page = phone.open(f"/pour?piece={key}")
    assert "still holds" not in page.text
    phone.send(page.form("/pour"))
    pour = newest(store, Pour)
    assert (pour.piece_id, pour.mould_id, pour.sealer_id) == (key, own, None)


@pytest.mark.usefixtures("poured")
def test_half_an_hour_ago_is_one_choice(phone: Phone, store: Store, hands: Hands) -> None:
    hands.forward(3.0)
    phone.send(phone.open("/pour").form("/pour"), ago="30")
    assert newest(store, Pour).placed_at == hands.now - timedelta(minutes=30)


@pytest.mark.usefixtures("poured")
def test_the_same_piece_again_within_minutes_is_asked_about(
    phone: Phone, store: Store, hands: Hands
) -> None:
    """P22: back, and Poured again, logged a second pour."""
    hands.forward(0.1)
    page = phone.send(phone.open("/pour").form("/pour"))
    assert phone.status == 422
    assert f"#{newest(store, Pour).id} was logged already" in page.text
    assert len(rows(store, Pour)) == 1
    phone.send(page.form("/pour"), confirm="1")
    assert len(rows(store, Pour)) == 2


def test_a_mould_that_still_holds_a_pour_is_asked_about_before_it_is_too_late(
    phone: Phone, store: Store, bench: Bench, hands: Hands
) -> None:
    """P6: the mould that still holds a pour went unnoticed."""
    phone.send(phone.open("/pour").form("/pour"), mould_id=str(bench.mould_id))
    held = newest(store, Pour)
    hands.forward(30.0)
    page = phone.open("/pour")
    assert f"still holds {piece_label(held)}" in page.text
    page = phone.send(page.form("/pour"))
    assert phone.status == 422
    assert "held" in page.notes
    assert len(rows(store, Pour)) == 1
    stripped = (hands.now - timedelta(hours=4)).astimezone(ZoneInfo("America/Chicago"))
    page = phone.send(page.form("/pour"), held="stripped", stripped_at=f"{stripped:%Y-%m-%dT%H:%M}")
    assert phone.status == 200
    (done,) = rows(store, StepDone)
    assert (done.pour_id, done.step) == (held.id, "strip")
    assert done.at == hands.now - timedelta(hours=4)
    assert newest(store, Pour).mould_id == bench.mould_id


def test_a_strip_that_was_told_too_late_is_asked_for_an_earlier_hour(
    phone: Phone, store: Store, bench: Bench, hands: Hands, client: TestClient
) -> None:
    """ "It was stripped" resolved nothing where a strip was told already."""
    phone.send(phone.open("/pour").form("/pour"), mould_id=str(bench.mould_id))
    held = newest(store, Pour)
    hands.forward(30.0)
    client.post(f"/api/v1/pours/{held.id}/steps/strip/done")

    def clock(hours: float) -> str:
        at = hands.now - timedelta(hours=hours)
        return f"{at.astimezone(ZoneInfo('America/Chicago')):%Y-%m-%dT%H:%M}"

    page = phone.send(phone.open("/pour").form("/pour"), placed_at=clock(2))
    assert phone.status == 422
    assert "an earlier hour at which the first was stripped" in page.notes["held"]
    page = phone.send(page.form("/pour"), held="stripped")
    assert "an earlier hour" in page.notes["held"]
    page = phone.send(page.form("/pour"), held="stripped", stripped_at=clock(3))
    assert phone.status == 200
    (strip,) = [row for row in rows(store, StepDone) if row.undone_at is None]
    assert (strip.pour_id, strip.at) == (held.id, hands.now - timedelta(hours=3))


def test_an_answer_about_a_number_that_is_none_is_asked_again(
    phone: Phone, store: Store, bench: Bench, hands: Hands
) -> None:
    phone.send(phone.open("/pour").form("/pour"), mould_id=str(bench.mould_id))
    hands.forward(30.0)
    form = phone.open("/pour").form("/pour")
    phone.send(form, held="stripped", held_pour="9" * 5000)
    assert phone.status == 422
    assert len(rows(store, Pour)) == 1


def test_an_answer_that_another_phone_gave_before_is_asked_again(
    phone: Phone, store: Store, bench: Bench, hands: Hands, client: TestClient
) -> None:
    """What is in the mould by then is not what this phone said was stripped."""
    phone.send(phone.open("/pour").form("/pour"), mould_id=str(bench.mould_id))
    hands.forward(30.0)
    mine = phone.open("/pour").form("/pour")
    other = Phone(client)
    other.send(other.open("/pour").form("/pour"), held="stripped", placed_at="2026-10-15T20:00")
    assert other.status == 200
    theirs = newest(store, Pour)
    page = phone.send(mine, held="stripped", confirm="1", note="the small one")
    assert phone.status == 422
    assert f"Holds {piece_label(theirs)}" in page.notes["held"]
    again = page.form("/pour")
    assert again.fields["held_pour"] == [str(theirs.id)]
    assert again.fields["note"] == ["the small one"]
    assert {one.pour_id for one in rows(store, StepDone)} == {theirs.id - 1}


def test_a_corrected_mould_that_holds_another_pour_is_said_beside_it(
    phone: Phone, store: Store, bench: Bench, hands: Hands
) -> None:
    phone.send(phone.open("/pour").form("/pour"), mould_id=str(bench.mould_id))
    held = newest(store, Pour)
    hands.forward(30.0)
    phone.send(phone.open("/pour").form("/pour"), mould_id="")
    edit = phone.open(f"{phone.path}/edit").form("/edit")
    page = phone.send(edit, mould_id=str(bench.mould_id))
    assert phone.status == 422
    assert piece_label(held) in page.text
    assert newest(store, Pour).mould_id is None


def test_another_mould_of_the_kind_is_made_of_the_one_that_is_full(
    phone: Phone, store: Store, bench: Bench, hands: Hands
) -> None:
    phone.send(phone.open("/pour").form("/pour"), mould_id=str(bench.mould_id))
    hands.forward(30.0)
    phone.send(phone.open("/pour").form("/pour"), held="another")
    assert phone.status == 200
    first, second = rows(store, Mould)
    assert newest(store, Pour).mould_id == second.id
    assert (second.material, second.thickness_mm) == (first.material, first.thickness_mm)
    assert second.name == f"{first.name} 2"
    assert rows(store, StepDone) == []


def test_a_piece_that_was_put_away_is_offered_no_more_and_its_pour_keeps_it(
    phone: Phone, store: Store, poured: str, bench: Bench
) -> None:
    name = newest(store, Piece).name
    page = phone.open(f"/shop/piece/{bench.piece_id}")
    page = phone.send(page.form("/archive"))
    assert "Bring it back" in str(page.forms)
    assert f"/pour?piece={bench.piece_id}" not in phone.open("/pour").links
    assert name in phone.open(f"{poured}/edit").source
    phone.send(phone.open(f"/shop/piece/{bench.piece_id}").form("/restore"))
    assert f"/pour?piece={bench.piece_id}" in phone.open("/pour").links


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
    page = phone.send(form, note="the second one", confirm="1")
    assert phone.status == 422
    assert "sent already" in page.text
    again = page.form("/pour")
    assert again.fields["note"] == ["the second one"]
    phone.send(again, confirm="1")
    assert newest(store, Pour).note == "the second one"


@pytest.mark.usefixtures("poured")
def test_a_new_piece_can_be_described_beside_an_old_mix_and_place(
    phone: Phone, store: Store, bench: Bench
) -> None:
    phone.send(
        phone.open("/pour?piece=new").form("/pour"),
        piece__length_mm="900 mm",
        piece__width_mm="400 mm",
        piece__name="Low step",
        piece__shape="block",
        piece__height_mm="6 in",
    )
    assert newest(store, Piece).height_mm == 152.4
    assert newest(store, Pour).piece_id == newest(store, Piece).id
    assert newest(store, Pour).mix_id == bench.mix_id


@pytest.mark.usefixtures("poured")
def test_a_pour_logged_by_mistake_is_undone_with_one_press(phone: Phone, store: Store) -> None:
    page = phone.send(phone.page.form("/close", "Undo"))
    assert newest(store, Pour).closed_why == "logged by mistake"
    assert "Closed: Wrong entry" in page.text
    assert "Next:" not in page.text
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
