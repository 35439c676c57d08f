"""Styles and scripts: small, kept for a year under a name that tells the content, and packed."""

import gzip
import re
from importlib.resources import files

import pytest
from starlette.testclient import TestClient

from service.pages import static_files

FOLDER = files("service.pages") / "static"
LARGEST = {"castclock.css": 4200}  # bytes when packed, on every first visit
# letters of a picture are measured in the picture, which grows as a whole
IN_PX = ("picture.css", "labels.css", "orders.css", "turning.css")  # letters of drawings
PX = re.compile(r"font(?:-size)?:[^;}]*\b\d+px")


@pytest.mark.parametrize("name", sorted(static_files.held()))
def test_a_file_is_small_and_fetches_nothing_from_elsewhere(name: str) -> None:
    content = static_files.held()[name].content
    assert len(gzip.compress(content)) < LARGEST.get(name, 3000)
    assert b"http" not in content.replace(b"http://www.w3.org/", b"")
    if name.endswith(".css") and name not in IN_PX:
        screen = content.decode().split("@media print")[0]
        words = [found for found in PX.findall(screen) if "svg" not in found]
        assert [one for one in words if not one.startswith("font:13px")] == []


def test_every_file_of_the_folder_can_be_fetched() -> None:
    assert {file.name for file in FOLDER.iterdir() if file.is_file()} == set(static_files.held())


def test_what_a_page_loads_is_kept_for_a_year(client: TestClient) -> None:
    page = client.get("/pour").text
    loaded = re.findall(r'(?:href|src)="(/static/[^"]+)"', page)
    assert len(loaded) >= 3
    for address in loaded:
        answer = client.get(address)
        assert answer.headers["cache-control"] == "public, max-age=31536000, immutable"
        again = client.get(address, headers={"If-None-Match": answer.headers["etag"]})
        assert (again.status_code, again.content) == (304, b"")


def test_a_name_of_yesterday_gets_the_file_of_today_but_not_for_a_year(client: TestClient) -> None:
    for name in ("castclock-0123456789ab.css", "castclock.css"):
        old = client.get(f"/static/{name}")
        assert old.content == static_files.held()["castclock.css"].content
        assert old.headers["cache-control"] == "no-cache"


@pytest.mark.parametrize("name", ["../view.py", "other.css", "castclock-0123456789ab.js", "%2e%2e"])
def test_nothing_else_is_served(client: TestClient, name: str) -> None:
    assert client.get(f"/static/{name}").status_code == 404


def test_pages_and_styles_come_packed_to_whoever_can_unpack(client: TestClient) -> None:
    for path in ("/pour", static_files.address("castclock.css"), "/api/v1/openapi.json"):
        packed = client.get(path, headers={"Accept-Encoding": "gzip"})
        plain = client.get(path, headers={"Accept-Encoding": "identity"})
        assert packed.headers["content-encoding"] == "gzip"
        assert "content-encoding" not in plain.headers
        assert "Accept-Encoding" in plain.headers["vary"]
        assert int(packed.headers["content-length"]) < 0.4 * len(plain.content)


def test_a_head_says_what_a_get_would_without_the_body(client: TestClient) -> None:
    for path in ("/", "/api/v1/shop", static_files.address("castclock.css")):
        head = client.head(path, headers={"Accept-Encoding": "identity"})
        got = client.get(path, headers={"Accept-Encoding": "identity"})
        assert (head.status_code, head.content) == (200, b"")
        assert head.headers["content-type"] == got.headers["content-type"]
    assert client.head("/nowhere").status_code == 404
