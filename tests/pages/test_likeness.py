"""Like pour 12: what differs between two pours, and from when their colours may be judged."""

from datetime import datetime, timedelta

import pytest
from starlette.testclient import TestClient

from tests.support.phone import Phone
from tests.support.shop import Bench, Hands

RECIPE = [{"kind": "cement", "kg": 20, "lot": "A7"}, {"kind": "sand", "kg": 52}]


def mix(client: TestClient, name: str, water: float, lot: str) -> int:
    parts = [{**RECIPE[0], "lot": lot}, RECIPE[1], {"kind": "water", "kg": water}]
    row = {"class": "flowing", "name": name, "recipe": parts}
    return int(client.post("/api/v1/mixes", json=row).json()["id"])


def pour(client: TestClient, bench: Bench, mix_id: int, at: datetime, **more: object) -> int:
    keys = {"piece_id": bench.piece_id, "place_id": bench.place_id, "mix_id": mix_id}
    answer = client.post("/api/v1/pours", json={**keys, "placed_at": at.isoformat(), **more})
    assert answer.status_code == 201, answer.text
    return int(answer.json()["id"])


@pytest.fixture
def two(client: TestClient, bench: Bench, hands: Hands) -> tuple[int, int]:
    wet, dry = mix(client, "Wet", 9.6, "A7"), mix(client, "Dry", 8.4, "B2")
    first = pour(client, bench, wet, hands.now - timedelta(days=20), concrete_C=12.0)
    second = pour(client, bench, dry, hands.now - timedelta(hours=1), concrete_C=13.0)
    return first, second


def test_water_and_lots_differ_and_a_degree_does_not_show(
    client: TestClient, two: tuple[int, int]
) -> None:
    first, second = two
    told = client.get(f"/api/v1/pours/{second}/like").json()
    assert told["other_id"] == first
    unlike = {one["what"]: (one["then"], one["now"]) for one in told["facts"] if one["differs"]}
    assert unlike == {
        "mix": ("Wet", "Dry"),
        "water_cement": (0.48, 0.42),
        "lots": ("cement A7", "cement B2"),
    }


def test_no_colour_is_judged_before_the_younger_one_is_four_weeks_old(
    client: TestClient, phone: Phone, two: tuple[int, int], hands: Hands
) -> None:
    told = client.get(f"/api/v1/pours/{two[1]}/like", params={"other_id": two[0]}).json()
    judge, placed = (datetime.fromisoformat(told[name]) for name in ("judge_from", "placed_at"))
    assert judge - placed == timedelta(days=28)
    assert "Do not judge the colour" in phone.open(f"/pours/{two[1]}/like").text
    hands.forward(28 * 24)
    assert "may be judged" in phone.open(f"/pours/{two[1]}/like").text


def test_a_piece_that_was_poured_once_has_nothing_beside_it(
    client: TestClient, two: tuple[int, int]
) -> None:
    assert client.get(f"/api/v1/pours/{two[0]}/like").status_code == 422
    alone = client.get(f"/api/v1/pours/{two[0]}/like", params={"other_id": two[0]})
    assert alone.status_code == 422
    assert "the same pour" in alone.text
    assert client.get("/api/v1/pours/99/like").status_code == 404
