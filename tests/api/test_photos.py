"""Photos through the API: bare bytes in, the same kind out, once for each key."""

from collections.abc import Callable

import pytest
from starlette.testclient import TestClient

from service.bodies import LARGEST_BODY
from tests.support.shop import Bench

API = "/api/v1"
Picture = Callable[[str], bytes]


@pytest.fixture
def address(pour_id: int) -> str:
    return f"{API}/pours/{pour_id}/photos"


def test_a_photo_comes_back_with_headers_that_keep_it_private(
    client: TestClient, address: str, picture: Picture
) -> None:
    sent = client.post(address, content=picture("jpg"), params={"step": "strip", "note": "west"})
    assert sent.status_code == 201, sent.text
    told = sent.json()
    assert (told["media_type"], told["step"], told["note"]) == ("image/jpeg", "strip", "west")
    got = client.get(f"{address}/{told['id']}")
    assert got.content == picture("jpg")
    assert got.headers["content-type"] == "image/jpeg"
    assert got.headers["x-content-type-options"] == "nosniff"
    assert got.headers["cache-control"].startswith("private")
    again = client.get(f"{address}/{told['id']}", headers={"If-None-Match": got.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")


def test_a_png_that_calls_itself_jpeg_is_served_as_what_it_is(
    client: TestClient, address: str, picture: Picture
) -> None:
    as_jpeg = {"Content-Type": "image/jpeg"}
    sent = client.post(address, content=picture("png"), headers=as_jpeg)
    assert sent.json()["media_type"] == "image/png"
    shown = client.get(f"{address}/{sent.json()['id']}")
    assert shown.headers["content-type"] == "image/png"


@pytest.mark.parametrize("content", [b"", b"<svg onload='alert(1)'/>", b"MZ" + 100 * b"\0"])
def test_what_is_no_picture_is_refused(client: TestClient, address: str, content: bytes) -> None:
    refused = client.post(address, content=content)
    assert refused.status_code == 422
    assert refused.json()["errors"][0]["field"] == "photo"
    assert client.get(address).json() == []


@pytest.mark.usefixtures("pour_id")
def test_thirty_megabytes_are_refused_and_nothing_is_stored(
    client: TestClient, address: str, picture: Picture
) -> None:
    huge = picture("jpg") + 30_000_000 * b"\0"
    refused = client.post(address, content=huge)
    assert refused.status_code == 413
    assert refused.json()["errors"][0]["allowed"] == "at most 8100000 bytes"
    streamed = client.post(
        address, content=(huge[k : k + 65536] for k in range(0, len(huge), 65536))
    )
    assert streamed.status_code == 413
    over = client.post(address, content=picture("jpg") + 8_000_001 * b"\0")
    assert over.json()["errors"][0]["wrong"] == "too large"
    assert client.get(address).json() == []


def test_a_photo_of_a_fault_may_be_as_large_as_one_of_a_pour(
    client: TestClient, bench: Bench, picture: Callable[[str], bytes]
) -> None:
    """What a camera adds behind the picture counts for its way here, and is not kept."""
    large = picture("jpg") + LARGEST_BODY * b" "
    answer = client.post(
        f"/api/v1/moulds/{bench.mould_id}/faults?kind=sticks",
        content=large,
        headers={"Content-Type": "image/jpeg"},
    )
    assert answer.status_code == 201, answer.text


def test_only_a_photo_may_be_that_large(client: TestClient, address: str) -> None:
    large = (LARGEST_BODY + 1) * b" "
    for path in (f"{API}/places", f"{address}/1", f"{address}/", f"{API}/pours/photos"):
        assert client.post(path, content=large).status_code == 413, path
    assert client.put(address, content=large).status_code == 413


def test_a_repeat_is_kept_once_and_another_step_is_another_request(
    client: TestClient, address: str, picture: Picture
) -> None:
    key = {"Idempotency-Key": "phone-1"}
    first = client.post(address, content=picture("jpg"), params={"step": "strip"}, headers=key)
    second = client.post(address, content=picture("jpg"), params={"step": "strip"}, headers=key)
    assert first.json() == second.json()
    other = client.post(address, content=picture("jpg"), params={"step": "turn"}, headers=key)
    assert other.status_code == 422
    assert len(client.get(address).json()) == 1


def test_a_photo_is_removed_and_of_no_pour_there_is_none(
    client: TestClient, address: str, picture: Picture
) -> None:
    photo_id = client.post(address, content=picture("webp")).json()["id"]
    assert client.get(f"{API}/pours/77/photos/{photo_id}").status_code == 404
    assert client.delete(f"{API}/pours/77/photos/{photo_id}").status_code == 404
    assert client.delete(f"{address}/{photo_id}").status_code == 204
    assert client.get(f"{address}/{photo_id}").status_code == 404
    assert client.post(f"{API}/pours/77/photos", content=picture("jpg")).status_code == 404
