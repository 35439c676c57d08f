"""A phone in the hand of a maker, and a pour that was logged with it."""

from collections.abc import Callable

import pytest
from starlette.testclient import TestClient

from service.store import Store
from tests.support.kept_shops import KeptShops
from tests.support.phone import Page, Phone
from tests.support.shop import Bench, Hands, Sky


@pytest.fixture
def phone(client: TestClient) -> Phone:
    return Phone(client)


@pytest.fixture
def read() -> Callable[[str], Page]:
    return Page


@pytest.fixture
def poured(
    phone: Phone,
    bench: Bench,
    client: TestClient,
    store: Store,
    hands: Hands,
    sky: Sky,
    kept_shops: KeptShops,
) -> str:
    """The address of a pour that was logged from the phone, with a forecast at hand."""

    def logged() -> tuple[Page, str]:
        assert client.post(f"/api/v1/places/{bench.place_id}/weather/refresh").status_code == 201
        phone.send(phone.open("/pour").form("/pour"), sealer_id=str(bench.sealer_id))
        assert phone.status == 200
        return phone.page, phone.path

    phone.page, phone.path = kept_shops.after(logged, store, client, hands, sky)
    phone.status = 200
    return phone.path
