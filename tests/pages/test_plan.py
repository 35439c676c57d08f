"""What if and the plan on a phone without script: tried, made the plan, moved, put back."""

from datetime import datetime, timedelta

import pytest
from starlette.testclient import TestClient

from models.air.series import AirSeries
from tests.support.phone import Phone
from tests.support.shop import Hands, Sky

API = "/api/v1"


class Frosty(Sky):
    """Air that freezes a bare piece in its first night, and warms later."""

    def forecast(self, latitude: float, longitude: float, now: datetime, *_: object) -> AirSeries:
        air = super().forecast(latitude, longitude, now)
        air.air_C[48:72] = -4.0
        air.dew_point_C[48:72] = -8.0
        return air


@pytest.fixture
def sky() -> Sky:
    return Frosty(air_C=10.0)


def plan_of(client: TestClient, address: str) -> dict[str, dict[str, str]]:
    told = client.get(f"{API}{address}/projection").json()["plan"]
    return {one["step"]: one for one in told if one["set_by"] != "logged"}


def test_a_cover_is_tried_and_made_the_plan(phone: Phone, client: TestClient, poured: str) -> None:
    page = phone.open(f"{poured}/plan")
    assert "Frost harm in 3 days" in page.text
    assert "Strip the walls" in page.text
    tried = phone.send(page.form("/plan", "Show"), cover="two blankets", faces="all")
    assert "as it stands" in tried.text
    assert client.get(f"{API}{poured}").json().get("plan", []) == []
    sheet = tried.form("/plan", "Make it the plan")
    sheet.method = "post"  # its button says so
    done = phone.send(sheet)
    assert phone.status == 200
    assert phone.path == f"{poured}/plan"
    assert "as you said" in done.text
    told = client.get(f"{API}{poured}/projection").json()["plan"]
    own = [(one["cover"], one["faces"]) for one in told if one["set_by"] == "maker"]
    assert own == [("two blankets", "all")]
    assert "as you said" not in phone.send(done.form("/plan/restore", "Undo")).text
    sheet.fields["key"] = ["again"]
    done = phone.send(sheet)
    bare = phone.send(done.form("/plan/back", "Leave it out"))
    assert "as you said" not in bare.text
    sheet.fields["key"] = ["once more"]
    again = phone.send(sheet)
    assert "as you said" in again.text
    assert "as you said" not in phone.send(again.form("/plan/clear")).text


def test_a_cover_that_lies_there_is_logged(phone: Phone, client: TestClient, poured: str) -> None:
    sheet = phone.open(f"{poured}/plan").form("/plan", "Show")
    sheet.action, sheet.method = f"{poured}/plan/laid", "post"
    refused = phone.send(sheet)
    assert phone.status == 422
    assert "No cover is chosen" in refused.text
    phone.send(sheet, cover="blanket", faces="sides", key="another")
    assert phone.status == 200
    laid = client.get(f"{API}{poured}/protections").json()
    assert [(one["kind"], one["faces"]) for one in laid][-1:] == [("blanket", "sides")]


def test_an_hour_is_moved_and_stays_until_it_is_put_back(
    phone: Phone, client: TestClient, poured: str, hands: Hands
) -> None:
    usual = plan_of(client, poured)["strip"]
    page = phone.open(f"{poured}/plan")
    sheet = next(one for one in page.forms if one.fields.get("step") == ["strip"])
    early = datetime.fromisoformat(usual["at"]) - timedelta(hours=14)
    moved = phone.send(sheet, at=early.strftime("%Y-%m-%dT%H:%M"))
    assert "as you said" in moved.text
    assert "Not safe" in moved.text
    assert datetime.fromisoformat(plan_of(client, poured)["strip"]["at"]) == early
    hands.forward(1)
    page = phone.open(f"{poured}/plan")
    back = next(
        one
        for one in page.forms
        if one.action.endswith("/plan/back") and one.fields["step"] == ["strip"]
    )
    phone.send(back)
    assert plan_of(client, poured)["strip"]["set_by"] == "default"


def test_what_cannot_be_is_said_and_nothing_kept(
    phone: Phone, client: TestClient, poured: str
) -> None:
    for choice in ({"cover": "duvet"}, {"mix_id": "x"}, {"strip_at": "2020-01-01T00:00+00:00"}):
        answer = client.get(f"{poured}/plan/answer", params=choice)
        assert answer.status_code == 422
        assert 'role="alert"' in answer.text
        assert client.get(f"{poured}/plan", params=choice).status_code == 200
    client.post(f"{API}{poured}/close", json={"why": "lost"})
    closed = phone.open(f"{poured}/plan")
    assert "closed" in closed.text


def test_the_answer_alone_is_what_the_page_says(client: TestClient, poured: str) -> None:
    choice = {"cover": "blanket", "faces": "sides"}
    alone = client.get(f"{poured}/plan/answer", params=choice).text
    assert alone.strip() in client.get(f"{poured}/plan", params=choice).text
