"""Instruments at a broker, on the page of the owner."""

from starlette.testclient import TestClient

from models.records import Topic
from service.store import Store
from tests.support.phone import Phone
from tests.support.rows import only, rows
from tests.support.shop import Bench


def test_an_instrument_is_heard_and_left_again(
    client: TestClient, store: Store, bench: Bench, pour_id: int
) -> None:
    phone = Phone(client)
    phone.open("/shop/settings")
    assert "/shop/broker" in phone.page.links
    page = phone.open("/shop/broker")
    assert "CASTCLOCK_MQTT_URL" in page.text  # none is set here
    typed = {"name": "Probe", "pattern": "shed/probe", "kind": "concrete", "unit": "F"}
    page = phone.send(page.form("/shop/broker"), **typed, target=f"place:{bench.place_id}")
    assert phone.status == 422
    assert "kind" in page.notes
    page = phone.send(page.form("/shop/broker"), target=f"pour:{pour_id}", value_path="$.t")
    assert phone.path == "/shop/broker"
    assert "nothing heard yet" in page.text
    row = only(store, Topic)
    assert (row.name, row.pour_id, row.place_id, row.unit) == ("Probe", pour_id, None, "F")
    phone.send(page.form(f"/shop/broker/{row.id}/remove", "Remove"))
    assert rows(store, Topic) == []


def test_a_pattern_that_is_none_is_named_beside_its_field(
    client: TestClient, store: Store, bench: Bench
) -> None:
    phone = Phone(client)
    form = phone.open("/shop/broker").form("/shop/broker")
    page = phone.send(form, name="Yard", pattern="a/#/b", target=f"place:{bench.place_id}")
    assert "pattern" in page.notes
    assert rows(store, Topic) == []
