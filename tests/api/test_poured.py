"""A pour is what was poured: what the shop changes later changes it only where that is said."""

import pytest
from starlette.testclient import TestClient

from tests.support.raw import JsonDict
from tests.support.shop import Bench

API = "/api/v1"


@pytest.fixture
def logged(client: TestClient, bench: Bench) -> JsonDict:
    """A pour of the furnished bench, as it is answered."""
    wanted = {f"{noun}_id": getattr(bench, f"{noun}_id") for noun in ("mix", "piece", "place")}
    wanted |= {"mould_id": bench.mould_id, "sealer_id": bench.sealer_id}
    assert client.post(f"{API}/places/{bench.place_id}/weather/refresh").status_code == 201
    found: JsonDict = client.post(f"{API}/pours", json=wanted).json()
    return found


def row(client: TestClient, path: str) -> JsonDict:
    found: JsonDict = client.get(f"{API}/{path}").json()
    own = ("id", "created_at", "archived_at")
    learned = [name for name in found if name.startswith("learned_")]
    return {name: value for name, value in found.items() if name not in (*own, *learned)}


def mass_kg(client: TestClient, pour_id: int) -> float:
    told: float = client.get(f"{API}/pours/{pour_id}/record").json()["mass_kg"]
    return told


def test_a_pour_tells_what_was_poured(client: TestClient, logged: JsonDict, bench: Bench) -> None:
    for noun, path in (("piece", "pieces"), ("mix", "mixes"), ("place", "places")):
        assert logged["poured"][noun] == row(client, f"{path}/{getattr(bench, f'{noun}_id')}")
    assert logged["poured"]["mould"] == row(client, f"moulds/{bench.mould_id}")
    assert logged["poured"]["sealer"] == row(client, f"sealers/{bench.sealer_id}")


def test_a_changed_piece_counts_from_now_on_or_for_the_pours_that_are_named(
    client: TestClient, logged: JsonDict, bench: Bench
) -> None:
    pour, before = f"{API}/pours/{logged['id']}", mass_kg(client, logged["id"])
    piece = row(client, f"pieces/{bench.piece_id}")
    thicker = piece | {"thickness_mm": 2 * piece["thickness_mm"], "name": "Thick top"}
    assert client.put(f"{API}/pieces/{bench.piece_id}", json=thicker).status_code == 200
    client.get(f"{pour}/projection")
    assert client.get(pour).json()["poured"]["piece"] == piece
    assert mass_kg(client, logged["id"]) == before
    named = {"apply_to_pours": logged["id"]}
    answer = client.put(f"{API}/pieces/{bench.piece_id}", json=thicker, params=named)
    assert answer.status_code == 200
    assert client.get(pour).json()["poured"]["piece"] == thicker
    (due,) = {one["label"] for one in client.get(f"{API}/due?within_h=900").json()} or {""}
    assert due in ("", f"{piece['name']} #{logged['id']}", f"Thick top #{logged['id']}")


def test_a_mix_that_becomes_another_leaves_the_pours_of_before_what_they_were(
    client: TestClient, logged: JsonDict, bench: Bench
) -> None:
    mix = row(client, f"mixes/{bench.mix_id}")
    weak = mix | {"strength": [{"age_h": 672.0, "MPa": 18.0}]}
    assert client.put(f"{API}/mixes/{bench.mix_id}", json=weak).status_code == 200
    found = client.get(f"{API}/pours/{logged['id']}").json()
    assert found["poured"]["mix"] == logged["poured"]["mix"]
    assert row(client, f"mixes/{bench.mix_id}")["strength"] != mix["strength"]


def test_another_piece_named_by_a_correction_is_copied_as_it_stands(
    client: TestClient, logged: JsonDict, bench: Bench
) -> None:
    piece = row(client, f"pieces/{bench.piece_id}") | {"name": "Another", "length_mm": 900.0}
    other = client.post(f"{API}/pieces", json=piece).json()["id"]
    pour = f"{API}/pours/{logged['id']}"
    assert client.patch(pour, json={"piece_id": other}).json()["poured"]["piece"] == piece
    assert client.patch(pour, json={"mould_id": None}).json()["poured"]["mould"] is None


def test_a_finished_pour_never_changes(client: TestClient, logged: JsonDict, bench: Bench) -> None:
    """P21: an edit rewrote the record of a finished pour."""
    client.get(f"{API}/pours/{logged['id']}/projection")
    assert client.post(f"{API}/pours/{logged['id']}/close").status_code == 200
    record = f"{API}/pours/{logged['id']}/record"
    before = client.get(record).json()
    piece = row(client, f"pieces/{bench.piece_id}") | {"length_mm": 500.0, "name": "Short"}
    refused = client.put(
        f"{API}/pieces/{bench.piece_id}", json=piece, params={"apply_to_pours": logged["id"]}
    )
    assert refused.status_code == 422
    assert "apply_to_pours" in refused.text
    assert client.put(f"{API}/pieces/{bench.piece_id}", json=piece).status_code == 200
    place = row(client, f"places/{bench.place_id}") | {"kind": "open yard", "name": "Elsewhere"}
    assert client.put(f"{API}/places/{bench.place_id}", json=place).status_code == 200
    after = client.get(record).json()
    for name in ("piece", "mix", "place", "mould", "sealer", "mass_kg", "volume_l", "steps"):
        assert after[name] == before[name], name


def test_a_place_is_where_its_pours_stand(
    client: TestClient, logged: JsonDict, bench: Bench
) -> None:
    place = row(client, f"places/{bench.place_id}") | {"kind": "open yard"}
    assert client.put(f"{API}/places/{bench.place_id}", json=place).status_code == 200
    found = client.get(f"{API}/pours/{logged['id']}").json()
    assert found["poured"]["place"]["kind"] == "open yard"


@pytest.mark.parametrize("path", ["pieces", "mixes", "moulds", "sealers"])
def test_what_is_put_away_is_listed_no_more_and_comes_back(
    client: TestClient, logged: JsonDict, bench: Bench, path: str
) -> None:
    noun = {"pieces": "piece", "mixes": "mix", "moulds": "mould", "sealers": "sealer"}[path]
    address = f"{API}/{path}/{getattr(bench, f'{noun}_id')}"
    name = client.get(address).json()["name"]
    assert client.post(f"{address}/archive").json()["archived_at"]
    assert name not in client.get(f"{API}/{path}").text
    found = client.get(f"{API}/{path}", params={"archived": True, "q": name[1:].upper()}).json()
    assert [one["name"] for one in found] == [name]
    assert client.get(f"{API}/pours/{logged['id']}").json()["poured"][noun]["name"] == name
    assert client.post(f"{address}/restore").json()["archived_at"] is None
    assert name in client.get(f"{API}/{path}").text
    assert client.get(f"{API}/{path}", params={"q": "no such name"}).json() == []


def test_a_place_in_use_is_not_put_away(client: TestClient, logged: JsonDict, bench: Bench) -> None:
    address = f"{API}/places/{bench.place_id}/archive"
    refused = client.post(address)
    assert refused.status_code == 409
    assert f"#{logged['id']} stands there" in refused.text
    client.post(f"{API}/pours/{logged['id']}/close")
    assert client.post(address).status_code == 200


def test_pours_are_found_by_name_and_number(client: TestClient, logged: JsonDict) -> None:
    name, number = logged["poured"]["piece"]["name"], logged["id"]
    for q in (name[:4].upper(), str(number), f"#{number}"):
        found = client.get(f"{API}/pours", params={"q": q}).json()
        assert [one["id"] for one in found] == [number]
    assert client.get(f"{API}/pours", params={"q": "%"}).json() == []
