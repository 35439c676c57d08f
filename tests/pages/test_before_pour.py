"""The check list before a pour: made from piece, mould and plan, ticked on the phone."""

from datetime import datetime, timedelta
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.support.phone import Phone
from tests.support.shop import Bench, shell_told_by_hand

API = "/api/v1"


def planned_box(client: TestClient, bench: Bench, now: datetime, **mould: object) -> int:
    """A box that is to be poured in two hours."""
    box = {
        "name": "Planter",
        "shape": "box",
        "length_mm": 700,
        "width_mm": 700,
        "height_mm": 600,
        "wall_mm": 50,
    }
    piece = client.post(f"{API}/pieces", json=box).json()["id"]
    body = {"name": "Planter mould", "piece_id": piece, **mould}
    built = client.post(f"{API}/moulds", json=body).json()["id"]
    pour = {
        "piece_id": piece,
        "mould_id": built,
        "mix_id": bench.mix_id,
        "place_id": bench.place_id,
        "placed_at": (now + timedelta(hours=2)).isoformat(),
        "bags": 9,
    }
    answer = client.post(f"{API}/pours", json=pour)
    assert answer.status_code == 201, answer.text
    return int(answer.json()["id"])


def test_the_list_is_made_from_the_piece_and_its_mould(
    client: TestClient, bench: Bench, now: datetime
) -> None:
    pour_id = planned_box(client, bench, now, screw_spacing_mm=60)
    page = Phone(client).open(f"/pours/{pour_id}/before")
    assert "A wall bows so far" in page.text
    assert "The core floats: the mix lifts it with 475 kg" in page.text
    assert "9 bags at hand" in page.text
    assert "thin wax or oil" in page.text


def test_ticks_stay_with_the_hour_of_the_first_and_may_be_taken_back(
    client: TestClient, bench: Bench, now: datetime
) -> None:
    phone = Phone(client)
    path = f"/pours/{planned_box(client, bench, now)}/before"
    phone.open(path)
    phone.send(phone.page.form("/before"), ticked=["level", "seams"])
    told = client.get(f"{API}{path}").json()
    ticked = {one["key"]: one["ticked_at"] for one in told["items"] if one["ticked_at"]}
    assert ticked.keys() == {"level", "seams"}
    assert not told["ready"]
    phone.open(path)
    assert phone.page.form("/before").fields["ticked"] == ["level", "seams"]
    phone.send(phone.page.form("/before"), ticked=["seams", "cover"])
    again = {one["key"]: one["ticked_at"] for one in client.get(f"{API}{path}").json()["items"]}
    assert again["level"] is None
    assert again["seams"] == ticked["seams"]
    keys = [one["key"] for one in told["items"]]
    whole = client.post(f"{API}{path}", json={"ticked": keys}).json()
    assert whole["ready"] is True


def test_what_is_not_on_the_list_is_refused(
    client: TestClient, bench: Bench, now: datetime
) -> None:
    path = f"{API}/pours/{planned_box(client, bench, now)}/before"
    answer = client.post(path, json={"ticked": ["moon"]})
    assert answer.status_code == 422
    (error,) = answer.json()["errors"]
    assert error["field"] == "ticked"
    assert "level" in error["allowed"]


def test_of_what_is_told_by_hand_without_a_height_the_list_says_what_it_does_not_know(
    client: TestClient, bench: Bench, now: datetime
) -> None:
    piece, built = shell_told_by_hand(client)
    pour: dict[str, Any] = {"piece_id": piece, "mould_id": built, "mix_id": bench.mix_id}
    pour |= {"place_id": bench.place_id, "placed_at": (now + timedelta(hours=2)).isoformat()}
    answer = client.post(f"{API}/pours", json=pour)
    assert answer.status_code == 201, answer.text
    text = Phone(client).open(f"/pours/{answer.json()['id']}/before").text
    assert "does not know whether they hold" in text
    assert "does not know what floats" in text


@pytest.mark.parametrize("other", ["mould_id", "piece_id"])
def test_another_mould_or_piece_is_looked_at_anew(
    client: TestClient, bench: Bench, now: datetime, other: str
) -> None:
    pour_id = planned_box(client, bench, now)
    path = f"{API}/pours/{pour_id}/before"
    keys = [one["key"] for one in client.get(path).json()["items"]]
    assert client.post(path, json={"ticked": keys}).json()["ready"] is True
    client.patch(f"{API}/pours/{pour_id}", json={"note": "by the door"})
    assert client.get(path).json()["ready"] is True
    changed = client.patch(f"{API}/pours/{pour_id}", json={other: getattr(bench, other)})
    assert changed.status_code == 200, changed.text
    assert [one["key"] for one in client.get(path).json()["items"] if one["ticked_at"]] == []


def test_two_phones_keep_each_others_ticks(client: TestClient, bench: Bench, now: datetime) -> None:
    path = f"/pours/{planned_box(client, bench, now)}/before"
    first, second = Phone(client), Phone(client)

    def ticked() -> set[str]:
        items = client.get(f"{API}{path}").json()["items"]
        return {one["key"] for one in items if one["ticked_at"]}

    first.send(first.open(path).form("/before"), ticked=["level", "cover"])
    forms = [phone.open(path).form("/before") for phone in (first, second)]
    first.send(forms[0], ticked=["level"])
    second.send(forms[1], ticked=["level", "cover", "seams"])
    assert ticked() == {"level", "seams"}, "one took cover back, the other looked at the seams"
    first.send(first.open(path).form("/before"), ticked=["level", "seams", "gone meanwhile"])
    assert first.status == 200
    assert ticked() == {"level", "seams"}
