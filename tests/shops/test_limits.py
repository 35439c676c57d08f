"""What a shop may have at most: one more is refused by its name, in every way it can come."""

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from fastapi import FastAPI
from sqlmodel import select
from starlette.testclient import TestClient

from models.records import MouldFault, Person, Photo, Pour, Reading
from service.queries import limits
from service.settings import Settings, read
from service.store import Store
from service.store.shops import within
from tests.shops.conftest import PICTURE
from tests.support.two_shops import PASSWORD, Shops

Browser = Callable[[int], TestClient]
READING = {"kind": "concrete", "value_C": 12.0}


def count(store: Store, table: type[Pour] | type[Person] | type[Photo] | type[Reading]) -> int:
    with within(2), store.reading() as session:
        return len(session.exec(select(table.id)).all())


@pytest.fixture
def limited(doors: FastAPI, store: Store) -> Callable[..., None]:
    """Each shop has one person, pour and reading already; so many it may have."""
    del doors

    def limit(**most: int) -> None:
        store.ask = limits.asked(most)

    return limit


def refused(answer: object, field: str) -> None:
    told = answer.text  # type: ignore[attr-defined]
    assert answer.status_code == 422, told  # type: ignore[attr-defined]
    assert field in told
    assert "whoever runs the server" in told


def test_one_more_pour_than_is_allowed(
    browser: Browser, store: Store, shops: Shops, limited: Callable[..., None]
) -> None:
    client, keys = browser(2), shops.keys[2]
    named = {name: keys[name.removesuffix("_id")] for name in ("mix_id", "piece_id", "place_id")}
    limited(most_pours=1)
    refused(client.post("/api/v1/pours", json=named), "pours")
    pour = f"/api/v1/pours/{keys['pour']}"
    assert count(store, Pour) == 1
    assert client.post(f"{pour}/close", json={"why": "finished"}).status_code == 200
    assert client.post("/api/v1/pours", json=named).status_code == 201
    refused(client.post(f"{pour}/reopen"), "pours")
    assert browser(1).get("/api/v1/pours").status_code == 200
    limited()
    assert client.post(f"{pour}/reopen").status_code == 200


def test_one_more_place_than_weather_is_fetched_for(
    browser: Browser, limited: Callable[..., None]
) -> None:
    client, sent = browser(2), {"name": "Second yard", "kind": "covered"}
    limited(most_places=1)
    refused(client.post("/api/v1/places", json=sent), "places")
    limited()
    added = client.post("/api/v1/places", json=sent)
    place = f"/api/v1/places/{added.json()['id']}"
    assert client.post(f"{place}/archive").status_code == 200
    limited(most_places=1)
    refused(client.post(f"{place}/restore"), "places")


def test_one_more_reading_than_in_a_day(
    browser: Browser, store: Store, shops: Shops, limited: Callable[..., None], now: datetime
) -> None:
    client = browser(2)
    limited(most_readings=2)
    path = f"/api/v1/pours/{shops.keys[2]['pour']}/readings"
    sent = [{**READING, "at": (now - timedelta(minutes=k)).isoformat()} for k in (9, 8)]
    assert client.post(path, json=sent[0]).status_code == 201
    refused(client.post(path, json=sent[1]), "readings")
    bearer = {"authorization": f"Bearer {shops.codes[2]['instrument']}"}
    refused(browser(0).post(path, json=sent[1], headers=bearer), "readings")
    assert count(store, Reading) == 2


def test_one_more_photo_than_there_is_room_for(
    browser: Browser, store: Store, shops: Shops, limited: Callable[..., None]
) -> None:
    with within(2), store.unit_of_work() as session:
        session.exec(select(Photo)).one().size_bytes = 700_000
        session.exec(select(MouldFault)).one().size_bytes = 299_990
    limited(most_photo_mb=1)
    path = f"/api/v1/pours/{shops.keys[2]['pour']}/photos"
    refused(browser(2).post(path, content=PICTURE.read_bytes()), "photo_mb")
    assert count(store, Photo) == 1


def test_one_more_person_than_may_work_there(
    browser: Browser, store: Store, shops: Shops, limited: Callable[..., None]
) -> None:
    sent = {"name": "Cy", "password": PASSWORD}
    path = f"/join/{shops.codes[2]['join']}"
    limited(most_people=1)
    refused(browser(0).post(path, data=sent), "people")
    assert count(store, Person) == 1
    limited(most_people=2)
    assert browser(0).post(path, data=sent).status_code == 303


def test_what_is_set_is_what_is_asked() -> None:
    assert Settings().limits == {}
    found = read({"CASTCLOCK_MOST_PEOPLE": "3", "CASTCLOCK_MOST_PHOTO_MB": "500"})
    assert found.limits == {"most_people": 3, "most_photo_mb": 500}
