"""A piece that a burner goes in: told on the phone, printed on its sheets, closed without a yes."""

from starlette.testclient import TestClient

from models.records import OwnerLink
from service.store import Store
from tests.support.phone import Phone
from tests.support.rows import rows
from tests.support.shop import Bench
from tests.support.words import said

API = "/api/v1"


def test_a_burner_is_asked_about_until_a_fitter_was_there(
    phone: Phone, bench: Bench, client: TestClient, store: Store
) -> None:
    form = phone.open(f"/shop/piece/{bench.piece_id}").form(f"/shop/piece/{bench.piece_id}")
    phone.send(form, piece__burner="1")
    assert client.get(f"{API}/pieces/{bench.piece_id}").json()["burner"] is True
    assert client.post(f"{API}/places/{bench.place_id}/weather/refresh").status_code == 201
    phone.send(phone.open("/pour").form("/pour"))
    pour = phone.path
    assert client.get(f"{API}/pours/1").json()["burner_fitted"] is False

    def fire() -> list[str]:
        told = client.get(f"{API}/pours/1/projection").json()["steps"]
        (one,) = [row for row in told if row["step"] == "first-heating"]
        assert one["earliest"]["safe"] is None
        return [code["code"] for code in one["reasons"]]

    assert "fire_no_yes" in fire()
    assert said("burner_asks") in phone.open(f"{pour}/care").text
    (link,) = rows(store, OwnerLink)
    assert said("burner_asks") in phone.open(f"/c/{link.code}").text
    phone.send(phone.open(f"{pour}/edit").form(f"{pour}/edit"), burner_fitted="1")
    assert client.get(f"{API}/pours/1").json()["burner_fitted"] is True
    assert "fire_no_yes" not in fire()
    phone.send(phone.open(f"{pour}/edit").form(f"{pour}/edit"), burner_fitted=[])
    assert client.get(f"{API}/pours/1").json()["burner_fitted"] is False


def test_a_tick_that_the_form_began_with_is_none_of_another_piece(
    phone: Phone, bench: Bench, client: TestClient, poured: str
) -> None:
    told = client.get(f"{API}/pieces/{bench.piece_id}").json()
    shape = ("shape", "length_mm", "width_mm", "thickness_mm")
    piece = {"name": "Other", **{name: told[name] for name in shape}}
    other = client.post(f"{API}/pieces", json=piece).json()["id"]
    client.patch(f"{API}{poured}", json={"burner_fitted": True})
    phone.send(phone.open(f"{poured}/edit").form(f"{poured}/edit"), piece_id=str(other))
    assert phone.status == 200
    changed = client.get(f"{API}{poured}").json()
    assert (changed["piece_id"], changed["burner_fitted"]) == (other, False)
