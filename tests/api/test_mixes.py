"""A mix by the API: admixture, the mill's sheet, the error of a fitted energy."""

from datetime import datetime, timedelta

import pytest
from sqlmodel import select
from starlette.testclient import TestClient

from models.facts.cements import CEMENT_CLASSES
from models.records import Pour
from service.actions.windows import scenario_rows
from service.store import Store
from tests.support.raw import JsonDict
from tests.support.shop import Bench

MIXES = "/api/v1/mixes"


def test_all_that_is_told_of_a_mix_is_given_back(client: TestClient) -> None:
    body = {
        "name": "Slag mix",
        "class": "blended",
        "admixture": "retarder",
        "activation_energy_kJ_mol": 44,
        "activation_energy_error_kJ_mol": "3.1 kJ/mol",
        "cement": {"C3S_pct": 58, "C2S_pct": "14 %", "blaine_m2_kg": "3900 cm2/g", "slag_pct": 40},
    }
    made = client.post(MIXES, json=body)
    assert made.status_code == 201, made.text
    told = client.get(f"{MIXES}/1").json()
    assert told["admixture"] == "retarder"
    assert told["activation_energy_error_kJ_mol"] == pytest.approx(3.1)
    assert told["cement"] == pytest.approx(
        {"C3S_pct": 58.0, "C2S_pct": 14.0, "blaine_m2_kg": 390.0, "slag_pct": 40.0}
    )
    assert made.json() == told


def test_a_mix_without_them_has_none(client: TestClient) -> None:
    assert client.post(MIXES, json={"name": "Bag", "class": "flowing"}).status_code == 201
    told = client.get(f"{MIXES}/1").json()
    assert (told["admixture"], told["cement"], told["activation_energy_error_kJ_mol"]) == (
        None,
        None,
        None,
    )


@pytest.mark.parametrize("cement_class", CEMENT_CLASSES)
def test_a_pour_is_of_the_cement_class_that_its_mix_was_told(
    client: TestClient, store: Store, bench: Bench, now: datetime, cement_class: str
) -> None:
    made = client.post(
        MIXES, json={"name": "Sack", "class": "general-purpose", "cement_class": cement_class}
    )
    assert made.status_code == 201, made.text
    mix_id = made.json()["id"]
    assert client.get(f"{MIXES}/{mix_id}").json()["cement_class"] == cement_class
    placed = {
        "mix_id": mix_id,
        "piece_id": bench.piece_id,
        "place_id": bench.place_id,
        "placed_at": (now - timedelta(hours=1)).isoformat(),
    }
    poured = client.post("/api/v1/pours", json=placed)
    assert poured.status_code == 201, poured.text
    with store.reading() as session:
        pour = session.exec(select(Pour).where(Pour.id == poured.json()["id"])).one()
        assert scenario_rows.planned(session, pour).mixture.cement_class == cement_class


def test_batches_with_their_bags_and_water_tell_the_ratio_of_a_pour(
    client: TestClient, store: Store, bench: Bench, now: datetime
) -> None:
    body = {"name": "Sack", "class": "general-purpose", "bag_kg": 36}
    mix_id = client.post(MIXES, json=body).json()["id"]
    placed = {
        "mix_id": mix_id,
        "piece_id": bench.piece_id,
        "place_id": bench.place_id,
        "placed_at": (now - timedelta(hours=1)).isoformat(),
    }
    pour_id = client.post("/api/v1/pours", json=placed).json()["id"]
    batches = f"/api/v1/pours/{pour_id}/batches"

    def ratio() -> float | None:
        with store.reading() as session:
            return scenario_rows.gather(session, now, pour_id).scenario.mixture.water_cement

    assert ratio() is None
    refused = client.post(batches, json={"bags": 2, "water_l": 30})
    assert refused.status_code == 422
    assert refused.json()["errors"][0]["field"] == "water_l"
    assert ratio() is None
    logged = client.post(batches, json={"bags": 2, "water_l": "1.6 gal"})
    assert logged.status_code == 201, logged.text
    client.post(batches, json={"bags": 1, "water_l": 2.8})
    water_kg = 1.6 * 3.785412 + 2.8
    wanted = water_kg / (330.0 * (3 * 36.0 + water_kg) / 2300.0)
    assert ratio() == pytest.approx(wanted, rel=1e-4)


@pytest.mark.parametrize(
    ("more", "field", "allowed"),
    [
        ({"polymer_pct": 5}, "polymer_pct", "nothing, or class glass-fibre"),
        (
            {"cement_class": "42.5X"},
            "cement_class",
            "one of 32.5L | 32.5N | 32.5R | 42.5L | 42.5N | 42.5R | 52.5L | 52.5N | 52.5R",
        ),
        ({"admixture": "magic"}, "admixture", "one of accelerator | retarder | plasticiser"),
        ({"cement": {"C3S_pct": 78}}, "cement.C3S_pct", "70 to 100 %"),
        ({"cement": {"slag_pct": 95}}, "cement.slag_pct", "0 to 80 %"),
        ({"activation_energy_error_kJ_mol": 3}, "activation_energy_error_kJ_mol", "both"),
        (
            {"activation_energy_kJ_mol": 40, "activation_energy_error_kJ_mol": 50},
            "activation_energy_error_kJ_mol",
            "0 to 20 kJ/mol",
        ),
    ],
)
def test_what_cannot_be_is_refused_by_field_and_nothing_is_stored(
    client: TestClient, more: JsonDict, field: str, allowed: str
) -> None:
    refused = client.post(MIXES, json={"name": "Bag", "class": "blended"} | more)
    assert refused.status_code == 422
    told = refused.json()
    assert told["errors"][0]["field"] == field
    assert allowed in told["errors"][0]["allowed"]
    assert client.get(MIXES).json() == []
