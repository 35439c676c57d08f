"""A phone in the hand of a maker, and a pour that was logged with it."""

from collections.abc import Callable

import pytest
from starlette.testclient import TestClient

from tests.support.phone import Page, Phone
from tests.support.shop import Bench


@pytest.fixture
def phone(client: TestClient) -> Phone:
    return Phone(client)


@pytest.fixture
def read() -> Callable[[str], Page]:
    return Page


@pytest.fixture
def poured(phone: Phone, bench: Bench, client: TestClient) -> str:
    """The address of a pour that was logged from the phone, with a forecast at hand."""
    assert client.post(f"/api/v1/places/{bench.place_id}/weather/refresh").status_code == 201
    phone.send(phone.open("/pour").form("/pour"), sealer_id=str(bench.sealer_id))
    assert phone.status == 200
    return phone.path
