"""Pour mode on a phone without script: batches, their hours, water, float and cover, undone."""

from datetime import timedelta

from starlette.testclient import TestClient

from tests.support.phone import Phone, Sheet
from tests.support.shop import Bench, Hands

API = "/api/v1"


def stamped(phone: Phone, poured: str, bags: str = "2") -> None:
    phone.send(phone.open(f"{poured}/mode").form("/mode/batch"), bags=bags)
    assert phone.status == 200
    assert phone.path == f"{poured}/mode"


def placed_at(client: TestClient, poured: str) -> str:
    return str(client.get(f"{API}{poured}").json()["placed_at"])


def test_three_batches_are_stamped_and_the_hours_count_from_the_last(
    phone: Phone, client: TestClient, poured: str, hands: Hands
) -> None:
    begun = placed_at(client, poured)
    for minutes in (0, 20, 25):
        hands.now += timedelta(minutes=minutes)
        stamped(phone, poured)
    assert "3 batches in, 6 bags" in phone.page.text
    assert "Next batch by" in phone.page.text
    after_three = placed_at(client, poured)
    assert after_three > begun
    phone.send(phone.page.form("/mode/undo"))
    assert "2 batches in, 4 bags" in phone.page.text
    assert begun < placed_at(client, poured) < after_three


def test_the_first_batch_of_a_pour_that_was_meant_for_later_sets_its_clock(
    phone: Phone, client: TestClient, poured: str, hands: Hands
) -> None:
    later = (hands.now + timedelta(hours=5)).isoformat()
    assert client.patch(f"{API}{poured}", json={"placed_at": later}).status_code == 200
    assert "The first batch sets the clock" in phone.open(f"{poured}/mode").text
    stamped(phone, poured)
    assert "Next batch by" in phone.page.text
    assert placed_at(client, poured)[:16] == hands.now.isoformat()[:16]


def test_the_same_tap_sent_twice_is_one_batch(phone: Phone, poured: str) -> None:
    sheet = phone.open(f"{poured}/mode").form("/mode/batch")
    phone.send(sheet)
    phone.send(sheet)
    assert "1 batch in" in phone.page.text


def test_the_hour_of_a_late_stamp_is_that_of_its_tap(
    phone: Phone, client: TestClient, poured: str, hands: Hands
) -> None:
    tapped = hands.now + timedelta(minutes=10)
    sheet = phone.open(f"{poured}/mode").form("/mode/batch")
    hands.forward(1)
    phone.send(sheet, at=tapped.isoformat())
    rows = client.get(f"{API}{poured}/batches").json()
    assert [one["at"][:16] for one in rows] == [tapped.isoformat()[:16]]


def test_a_batch_too_late_is_said(phone: Phone, poured: str, hands: Hands) -> None:
    stamped(phone, poured)
    hands.forward(6)
    assert "cold joint" in phone.open(f"{poured}/mode").text
    assert "may have begun to set" in phone.page.text


def test_without_weather_no_hour_is_promised(phone: Phone, pour_id: int) -> None:
    page = phone.open(f"/pours/{pour_id}/mode")
    assert "No weather here yet" in page.text
    assert "Next batch by" not in page.text


def test_water_is_answered_in_strength_and_set(phone: Phone, poured: str) -> None:
    stamped(phone, poured)
    page = phone.send(phone.page.form("/mode", "What does it cost?"), water_l="2")
    assert "of its strength" in page.text
    for told in ("Initial set", "Shrinkage", "Strip", "Water/cement ratio", "Wetter without it"):
        assert told in page.text
    wrong = phone.send(page.form("/mode", "What does it cost?"), water_l="a lot")
    assert "✕" in wrong.text


def test_floated_and_covered_and_taken_back(
    phone: Phone, client: TestClient, poured: str, hands: Hands
) -> None:
    stamped(phone, poured)
    hands.forward(3)
    phone.send(phone.open(f"{poured}/mode").form("/mode/finish"))
    assert "Undo floated" in phone.page.text or phone.page.form("/mode/finish", "Undo")
    done = client.get(f"{API}{poured}/steps").json()
    assert [one["step"] for one in done if not one["undone_at"]] == ["finish"]
    phone.send(phone.page.form("/mode/finish", "Undo"))
    done = client.get(f"{API}{poured}/steps").json()
    assert [one["step"] for one in done if not one["undone_at"]] == []


def test_a_batch_after_a_step_says_from_when_the_hours_count(
    phone: Phone, poured: str, hands: Hands
) -> None:
    stamped(phone, poured)
    hands.forward(2)
    phone.send(phone.open(f"{poured}/mode").form("/mode/finish"))
    hands.forward(0.5)
    stamped(phone, poured)
    assert "not from the last batch" in phone.page.text


def test_what_no_batch_has_is_refused_and_said(phone: Phone, poured: str) -> None:
    sheet = phone.open(f"{poured}/mode").form("/mode/batch")
    for fields in (
        {"bags": ""},
        {"bags": "0"},
        {"bags": "a few"},
        {"at": "2099-01-01T00:00:00+00:00"},
    ):
        page = phone.send(
            Sheet(sheet.action, "post", {**sheet.fields, "key": [str(fields)]}), **fields
        )
        assert phone.status == 422, fields
        assert "0 batches in" in page.text


def test_the_door_to_pour_mode_finds_the_pour(phone: Phone, poured: str, hands: Hands) -> None:
    phone.open("/pour/mode")
    assert phone.path == f"{poured}/mode"
    hands.forward(30)
    phone.open("/pour/mode")
    assert phone.path == "/pour"


def test_a_face_coat_tells_when_its_backing_goes_on_and_the_next_is_the_backing(
    phone: Phone, client: TestClient, poured: str, hands: Hands
) -> None:
    assert 'name="layer"' not in phone.open(f"{poured}/mode").source
    face = {"layer": "face", "thickness_mm": "1/8 in"}
    assert client.post(f"{API}{poured}/batches", json=face).status_code == 201
    page = phone.open(f"{poured}/mode")
    assert "Backing by" in page.text
    assert "takes a print" in page.text
    hands.forward(0.4)
    stamped(phone, poured)
    rows = client.get(f"{API}{poured}/batches").json()
    assert [one["layer"] for one in rows] == ["face", "backing"]


def test_a_backing_that_came_too_late_is_said_in_pour_mode(
    phone: Phone, client: TestClient, poured: str, hands: Hands
) -> None:
    assert client.post(f"{API}{poured}/batches", json={"layer": "face"}).status_code == 201
    hands.forward(4)
    stamped(phone, poured)
    assert "too late to bond all over" in phone.open(f"{poured}/mode").text


def test_what_goes_into_the_next_batch_is_ticked_and_damp_sand_is_weighed_wet(
    phone: Phone, client: TestClient, bench: Bench
) -> None:
    assert bench.piece_id
    parts = [
        {"kind": "cement", "kg": 20},
        {"kind": "sand", "kg": 52, "absorption_pct": 1},
        {"kind": "water", "kg": 8.4},
    ]
    row = {"class": "flowing", "name": "Own", "recipe": parts}
    mix = client.post("/api/v1/mixes", json=row).json()["id"]
    client.patch("/api/v1/shop", json={"mixer_l": 20})
    phone.send(phone.open("/pour").form("/pour"), mix_id=str(mix))
    page = phone.open(f"{phone.path.removesuffix('/mode')}/mode")
    assert "What goes into the next batch" in page.text
    phone.send(page.form("/mode", "Weigh it so"), damp_pct="6")
    assert phone.status == 200
    assert "Sand" in phone.page.text
    phone.send(phone.page.form("/mode", "Weigh it so"), damp_pct="a lot")
    assert "✕" in phone.page.text


def test_a_batch_typed_without_a_layer_has_none_and_is_of_the_pour_s_mix(
    phone: Phone, client: TestClient, poured: str
) -> None:
    phone.send(phone.open(f"{poured}/batch/add").form("/batch"), bags="2")
    assert phone.status == 200
    (row,) = client.get(f"{API}{poured}/batches").json()
    assert (row["layer"], row["mix_id"], row["bags"]) == (None, None, 2.0)
