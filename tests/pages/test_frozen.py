"""A piece that froze in the night: the first page and its own say so, and what to do now."""

from starlette.testclient import TestClient

from tests.support.phone import Phone
from tests.support.shop import Bench, Hands, Sky


def test_a_frozen_piece_is_told_on_both_pages_with_what_to_do(
    phone: Phone, client: TestClient, bench: Bench, sky: Sky, hands: Hands
) -> None:
    sky.air_C = -12.0
    refresh = f"/api/v1/places/{bench.place_id}/weather/refresh"
    assert client.post(refresh).status_code == 201
    phone.send(phone.open("/pour").form("/pour"), concrete_C="5 C")
    pour = phone.path
    hands.forward(40)
    assert client.post(refresh).status_code == 201
    page = phone.open(pour)
    assert "✻ frozen" in page.text
    assert ".." not in page.text
    assert "leave the mould on, bring it slowly over 10 °C" in page.text
    first = phone.open("/")
    assert "Frozen early" in first.text
    assert ".." not in first.text
    assert "Probably frozen since" in first.text
    told = client.get("/api/v1/due").json()
    (frozen,) = [one for one in told if one["step"]["state"] == "frozen"]
    assert frozen["step"]["step"] == "strip"
