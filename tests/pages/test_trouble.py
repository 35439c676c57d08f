"""Whatever goes wrong, a browser gets a page: what happened, what to do, and the way back."""

import pytest
from starlette.testclient import TestClient

from service.bodies import LARGEST_BODY, LARGEST_PHOTO_BODY
from service.problem import PAGES, trouble_page

BROWSER = {"Accept": "text/html,application/xhtml+xml,*/*;q=0.8"}
MACHINE = ("CASTCLOCK_", "Error", "None", "body", "bytes", "[Errno", "pour_id")


@pytest.mark.parametrize(
    ("method", "path", "status", "told"),
    [
        ("GET", "/nowhere", 404, "a letter of it is wrong"),
        ("GET", "/pours/1/nothing/at/all", 404, "a letter of it is wrong"),
        ("GET", "/pours/77", 404, "Not found"),
        ("GET", "/static/other.css", 404, "a letter of it is wrong"),
        ("PUT", "/pour", 405, "Go back to the form"),
        ("GET", "/pours/1/close", 405, "Go back to the form"),
    ],
)
def test_a_wrong_address_is_a_page(
    client: TestClient, method: str, path: str, status: int, told: str
) -> None:
    """P9d: raw JSON."""
    answer = client.request(method, path, headers=BROWSER)
    assert answer.status_code == status
    assert answer.headers["content-type"].startswith("text/html")
    assert told in answer.text
    assert 'href="/"' in answer.text


@pytest.mark.usefixtures("pour_id")
@pytest.mark.parametrize(
    ("path", "told"),
    [
        ("/pours/77", "There is no pour 77."),
        ("/in/9", "There is no mold 9."),
        ("/shop/mould/77", "There is no mold 77."),
        ("/places/9", "There is no place 9."),
        ("/shop/tool/new", "Nothing is at /shop/tool/new."),
        ("/pours/1/nothing/add", "Nothing is at /pours/1/nothing/add."),
    ],
)
def test_what_is_not_there_is_said_without_the_names_of_programs(
    client: TestClient, path: str, told: str
) -> None:
    """P19: "pour_id = 999: no such pour; give one of 1, 2, 3, 4, 5, 6"."""
    answer = client.get(path, headers=BROWSER | {"Accept-Language": "en-US"})
    assert answer.status_code == 404
    assert told in answer.text
    assert not any(word in answer.text for word in ("_id", " = ", " | "))


@pytest.mark.usefixtures("pour_id")
@pytest.mark.parametrize(
    ("path", "size"),
    [
        ("/pours/1/photos", LARGEST_PHOTO_BODY),
        ("/moulds/1/faults", LARGEST_PHOTO_BODY),
        ("/pour", LARGEST_BODY),
    ],
)
def test_what_is_too_large_is_a_page_that_says_what_is_taken(
    client: TestClient, path: str, size: int
) -> None:
    """P9d: what is too large answered raw JSON."""
    answer = client.post(path, content=b"x" * (size + 1), headers=BROWSER)
    assert answer.status_code == 413
    assert "A photo may have 8 MB" in answer.text
    assert 'href="/"' in answer.text


def test_a_program_still_gets_its_problem_document(client: TestClient) -> None:
    for path, headers in (("/api/v1/nowhere", BROWSER), ("/nowhere", {"Accept": "*/*"})):
        answer = client.get(path, headers=headers)
        assert answer.headers["content-type"] == "application/problem+json"
        assert answer.json()["status"] == 404


@pytest.mark.parametrize("of", [*PAGES, 418, 502])
def test_a_page_of_trouble_speaks_no_machine(of: int | str) -> None:
    """P19: errors showed machine values."""
    status, code = (of, None) if isinstance(of, int) else (403, of)  # whoever may not has a reason
    answer = trouble_page(status, code=code)
    text = bytes(answer.body).decode().partition("<main>")[2].partition("</main>")[0]
    assert answer.status_code == status
    # whoever meets 421 is setting castclock up, and this name is what they must know
    assert [word for word in MACHINE if word in text] == (["CASTCLOCK_"] if status == 421 else [])
    assert "Nothing that was stored before is lost." in text
