"""Faults of a piece through the API: kept with their place, with causes, in the record."""

from collections.abc import Callable

import pytest
from starlette.testclient import TestClient

from models.facts.faults import WEIGHTS
from models.records import PourFault
from service.store import Store
from tests.support.rows import only
from tests.support.shop import HOUR, Hands

API = "/api/v1"


@pytest.fixture
def address(pour_id: int) -> str:
    return f"{API}/pours/{pour_id}/faults"


def test_a_fault_is_kept_with_its_place_and_photo_and_stands_in_the_record(
    client: TestClient, address: str, pour_id: int, picture: Callable[[str], bytes], hands: Hands
) -> None:
    client.post(f"{API}/places/1/weather/refresh")
    hands.forward(30.0)
    photo = client.post(f"{API}/pours/{pour_id}/photos", content=picture("jpg")).json()
    told = {"kind": "crack", "x_mm": "10 in", "y_mm": 100, "face": "top", "photo_id": photo["id"]}
    sent = client.post(address, json=told | {"note": "hair wide"})
    assert sent.status_code == 201, sent.text
    assert sent.json()["x_mm"] == pytest.approx(254.0)
    assert client.get(address).json() == [sent.json()]
    causes = client.get(f"{address}/{sent.json()['id']}/causes").json()
    assert causes["fault"] == "crack"
    looked = [one["cause"] for one in causes["causes"]]
    assert sorted(looked + causes["untold"]) == sorted(WEIGHTS["crack"])
    assert "turned-early" in causes["untold"]
    record = client.get(f"{API}/pours/{pour_id}/record").json()
    assert [one["kind"] for one in record["faults"]] == ["crack"]
    assert record["faults"][0]["causes"] == causes
    csv = client.get(f"{API}/pours/{pour_id}/record.csv").text
    assert "fault,crack" in csv
    assert client.delete(f"{address}/{sent.json()['id']}").status_code == 204
    assert client.get(address).json() == []


def test_a_photo_that_is_removed_leaves_its_fault(
    client: TestClient, address: str, pour_id: int, picture: Callable[[str], bytes], store: Store
) -> None:
    photos = f"{API}/pours/{pour_id}/photos"
    photo = client.post(photos, content=picture("jpg")).json()["id"]
    client.post(address, json={"kind": "stain", "photo_id": photo})
    assert client.delete(f"{photos}/{photo}").status_code == 204
    assert only(store, PourFault).photo_id is None


@pytest.mark.parametrize(
    ("told", "field", "words"),
    [
        ({"kind": "wobble"}, "kind", "crack"),
        ({"kind": "crack", "x_mm": 9999, "y_mm": 10}, "x_mm", "length"),
        ({"kind": "crack", "x_mm": 10}, "y_mm", "both"),
        ({"kind": "crack", "face": "rim"}, "face", "top"),
        ({"kind": "crack", "photo_id": 77}, "photo_id", "none"),
    ],
)
def test_what_cannot_be_is_refused_by_name(
    client: TestClient, address: str, told: dict[str, object], field: str, words: str
) -> None:
    refused = client.post(address, json=told)
    assert refused.status_code in (404, 422), refused.text
    error = refused.json()["errors"][0]
    assert error["field"] == field
    assert words in error["allowed"]
    assert client.get(address).json() == []


def test_a_fault_of_before_the_pour_or_of_tomorrow_is_refused(
    client: TestClient, address: str, hands: Hands
) -> None:
    for at in (hands.now - 400 * HOUR, hands.now + 24 * HOUR):
        refused = client.post(address, json={"kind": "dust", "at": at.isoformat()})
        assert refused.status_code == 422
        assert refused.json()["errors"][0]["field"] == "at"


def test_without_weather_the_answer_is_that_nothing_can_be_looked_at(
    client: TestClient, address: str
) -> None:
    fault = client.post(address, json={"kind": "dust"}).json()
    causes = client.get(f"{address}/{fault['id']}/causes").json()
    assert causes["causes"] == []
    assert causes["verdict"]


def test_how_the_seal_looked_is_told_once_it_has_a_coat(
    client: TestClient, pour_id: int, hands: Hands
) -> None:
    address = f"{API}/pours/{pour_id}/sealed-as"
    assert client.post(address, json={"how": "even"}).status_code == 422
    hands.forward(24 * 30)
    client.post(f"{API}/pours/{pour_id}/steps/coat-1/done")
    told = client.post(address, json={"how": "cloudy"})
    assert told.status_code == 200, told.text
    assert client.get(f"{API}/pours/{pour_id}/record").json()["sealed_as"] == "cloudy"
