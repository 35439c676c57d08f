"""An accelerator in the bag and a pad on the ground, from the phone to the windows."""

import pytest
from sqlmodel import select
from starlette.testclient import TestClient

from models.concrete import prior
from models.records import Mix, Mould, Pour
from service.actions.windows import scenario_rows
from service.store import Store
from tests.support.phone import Phone
from tests.support.raw import JsonDict
from tests.support.rows import only

MIX, MOULD = "/shop/mix/new", "/shop/mould/new"


def test_a_mix_with_an_accelerator_is_kept_and_sets_sooner(phone: Phone, store: Store) -> None:
    phone.send(phone.open(MIX).form(MIX), mix__name="Winter bag", mix__admixture="accelerator")
    row = only(store, Mix)
    assert row.admixture == "accelerator"
    sooner = prior.draw(scenario_rows.mixture_of(row), 64, 1).initial_set_h
    phone.send(phone.open("/shop/mix/1").form("/shop/mix/1"), mix__admixture="")
    plain = prior.draw(scenario_rows.mixture_of(only(store, Mix)), 64, 1).initial_set_h
    assert only(store, Mix).admixture is None
    assert (sooner < plain).all()


def test_the_form_shows_again_what_was_added(phone: Phone) -> None:
    phone.send(phone.open(MIX).form(MIX), mix__admixture="retarder")
    assert phone.open("/shop/mix/1").form("/shop/mix/1").fields["mix.admixture"] == ["retarder"]


def test_an_admixture_nobody_knows_is_refused_beside_its_field(phone: Phone, store: Store) -> None:
    page = phone.send(phone.open(MIX).form(MIX), mix__admixture="magic")
    assert phone.status == 422
    assert "accelerator | retarder | plasticiser" in page.notes["mix.admixture"]
    with store.reading() as session:
        assert session.exec(select(Mix)).all() == []


def test_a_mould_on_the_ground_is_kept(phone: Phone, store: Store) -> None:
    page = phone.open(MOULD)
    assert "the ground" in page.text
    phone.send(page.form(MOULD), mould__name="Pad forms", mould__material="ground")
    assert only(store, Mould).material == "ground"


def windows(client: TestClient, pour: str) -> JsonDict:
    told = client.get(f"/api/v1{pour}/projection").json()
    return {step["step"]: step for step in told["steps"]}


@pytest.mark.usefixtures("bench")
def test_a_pad_with_retarder_described_while_logging_is_finished_later(
    phone: Phone, client: TestClient, store: Store
) -> None:
    assert client.post("/api/v1/places/1/weather/refresh").status_code == 201
    phone.send(phone.open("/pour").form("/pour"))
    plain = windows(client, phone.path)
    phone.send(
        phone.open("/pour").form("/pour"),
        mix_id="new",
        mix__name="Slow",
        mix__admixture="retarder",
        mould_id="new",
        mould__material="ground",
        confirm="1",
    )
    assert phone.status == 200
    slow = windows(client, phone.path)
    assert slow["finish"]["earliest"]["p50"] > plain["finish"]["earliest"]["p50"]
    with store.reading() as session:
        pour = session.exec(select(Pour).where(Pour.id == 2)).one()
        scenario = scenario_rows.planned(session, pour)
    assert (scenario.mould.material, scenario.mixture.admixture) == ("ground", "retarder")
