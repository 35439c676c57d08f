"""Several pieces of one mixing: logged at once, windows of their own, the same batches."""

from datetime import datetime, timedelta

from httpx2 import Response
from sqlmodel import select
from starlette.testclient import TestClient

from models.records import Pour
from service.store import Store
from tests.support.raw import JsonDict

API = "/api/v1/pours"


def another_piece(client: TestClient, thickness_mm: float) -> int:
    told = {
        "name": f"Shelf {thickness_mm:g}",
        "shape": "panel",
        "length_mm": 600,
        "width_mm": 300,
        "thickness_mm": thickness_mm,
    }
    made = client.post("/api/v1/pieces", json=told)
    assert made.status_code == 201, made.text
    return int(made.json()["id"])


def also(client: TestClient, pour_id: int, *pieces: JsonDict, key: str = "") -> Response:
    headers = {"Idempotency-Key": key} if key else {}
    body = {"pieces": list(pieces)}
    return client.post(f"{API}/{pour_id}/also", json=body, headers=headers)


def test_two_more_pieces_have_the_batches_the_mix_and_hours_of_their_own(
    client: TestClient, pour_id: int, now: datetime
) -> None:
    thin, thick = another_piece(client, 30), another_piece(client, 90)
    made = also(client, pour_id, {"piece_id": thin}, {"piece_id": thick}, key="both")
    assert made.status_code == 201, made.text
    again = also(client, pour_id, {"piece_id": thin}, {"piece_id": thick}, key="both")
    assert again.json() == made.json()
    first = client.get(f"{API}/{pour_id}").json()
    keys = [one["id"] for one in made.json()["pours"]]
    for one in made.json()["pours"]:
        assert one["poured_with_id"] == pour_id
        assert (one["mix_id"], one["placed_at"]) == (first["mix_id"], first["placed_at"])
    later = (now - timedelta(minutes=5)).isoformat()
    batch = client.post(f"{API}/{keys[0]}/batches", json={"bags": 2, "at": later})
    assert batch.status_code == 201, batch.text
    for key in (pour_id, *keys):
        assert [row["id"] for row in client.get(f"{API}/{key}/batches").json()] == [
            batch.json()["id"]
        ]
        assert client.get(f"{API}/{key}").json()["placed_at"][:16] == batch.json()["at"][:16]


def test_one_piece_that_is_not_there_stores_none(
    client: TestClient, pour_id: int, store: Store
) -> None:
    refused = also(client, pour_id, {"piece_id": another_piece(client, 30)}, {"piece_id": 999})
    assert refused.status_code == 422
    assert "piece_id" in refused.text
    with store.reading() as session:
        assert [row.id for row in session.exec(select(Pour))] == [pour_id]


def test_a_mould_that_holds_the_first_piece_is_asked_about(
    client: TestClient, pour_id: int
) -> None:
    mould = client.get(f"{API}/{pour_id}").json()["mould_id"]
    refused = also(client, pour_id, {"piece_id": another_piece(client, 30), "mould_id": mould})
    assert refused.status_code == 409


def test_a_burner_is_fitted_piece_by_piece(client: TestClient, pour_id: int) -> None:
    assert client.patch(f"{API}/{pour_id}", json={"burner_fitted": True}).status_code == 200
    (other,) = also(client, pour_id, {"piece_id": another_piece(client, 30)}).json()["pours"]
    assert other["burner_fitted"] is False


def test_another_piece_has_no_burner_fitted_unless_that_is_told(
    client: TestClient, pour_id: int
) -> None:
    thin, thick = another_piece(client, 30), another_piece(client, 90)

    def fitted(**told: object) -> object:
        changed = client.patch(f"{API}/{pour_id}", json=told)
        assert changed.status_code == 200, changed.text
        return changed.json()["burner_fitted"]

    assert fitted(burner_fitted=True) is True
    assert fitted(note="by the door") is True
    assert fitted(piece_id=thin) is False
    assert fitted(piece_id=thick, burner_fitted=True) is True
