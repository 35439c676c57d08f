"""What a phone keeps for when it has no signal, and what becomes of the forms it sends later."""

import json
import re
from datetime import datetime, timedelta

import pytest
from starlette.testclient import TestClient

from models.records import Person, Reading
from service.actions.people.sign_in import begin
from service.actions.windows.project_pour import project_pour
from service.pages import form_post, kept
from service.signed_in import COOKIE
from service.store import Store
from tests.support.phone import Page, Phone
from tests.support.rows import rows
from tests.support.shop import Windows

HOUR = timedelta(hours=1)
LATER = re.compile(f"{kept.MARK}(.*?)<!--then(.*?)-->", re.DOTALL)  # as worker_pages.js has it
PERMISSION = re.compile(
    r"\bopen\b(?! (then|air|yard))|(?<!Update )\bnow\b(?! half)|ready|closing|you may|any time",
    re.IGNORECASE,
)
SAID_OF_THEN = ("seen then: ", "Seen then: ")


def as_kept(source: str) -> str:
    """What is read of a page that is read later."""
    later = LATER.sub(r"\2", source)
    assert kept.MARK not in later
    assert "<!--then" not in later
    return Page(later).text


def test_an_old_page_says_nothing_of_the_present(
    phone: Phone, store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    windows.say("finish", "closing", now - HOUR, now + HOUR)
    windows.say("cover", "open", now - HOUR, now + 9 * HOUR)
    windows.say("strip", "not yet", now + 9 * HOUR)
    windows.say("turn", "not yet", None, p50=now + 20 * HOUR)
    project_pour(store, now, pour_id)
    live = 0
    for path in ("/", "/pours/{}", "/pours/{}/steps", "/pours/{}/mode"):
        source = phone.open(path.format(pour_id)).source
        live += len(LATER.findall(source))
        text = as_kept(source)
        found = [text[max(0, m.start() - 40) : m.end() + 40] for m in PERMISSION.finditer(text)]
        assert not found, (path, "\n".join(found))
        for safe in re.finditer("safe from", text):
            assert text[: safe.start()].endswith(SAID_OF_THEN), path
    assert live >= 12


def test_an_answer_about_tonight_is_told_as_an_answer_of_then(phone: Phone, poured: str) -> None:
    assert poured
    page = phone.open("/tonight?asked=1&piece_id=1&mix_id=1&place_id=1")
    verdict = re.search(r'<p class="big-words">.*?</span> (.*?)</p>', page.source)
    assert verdict is not None
    text = as_kept(page.source)
    assert f"The answer then: {verdict[1]}" in text
    assert "Strip: safe from" not in text
    assert "●" not in text


def test_a_part_of_the_present_holds_no_other() -> None:
    assert str(kept.live("<b>", "was")) == "<!--live-->&lt;b&gt;<!--thenwas-->"
    with pytest.raises(ValueError, match="within another"):
        kept.live(kept.live("now"))


def test_the_worker_names_files_that_are_there_and_one_build_is_one_worker(
    client: TestClient,
) -> None:
    told = dict(re.findall(r"const (BUILD|FILES|PARTS) = (.*);", client.get("/worker.js").text))
    assert re.fullmatch(r'"[0-9a-f]{12}"', told["BUILD"])
    for name in json.loads(told["FILES"]) + json.loads(told["PARTS"]):
        answer = client.get(f"/{name}")
        assert answer.status_code == 200
        assert "immutable" in answer.headers["cache-control"]
    page = client.get("/pour").text
    loaded = set(re.findall(r'(?:href|src)="/(static/[^"]+)"', page))
    assert loaded <= set(json.loads(told["FILES"]))


def test_the_manifest_names_pictures_and_pages_that_are_there(client: TestClient) -> None:
    answer = client.get("/manifest.webmanifest")
    assert answer.headers["content-type"] == "application/manifest+json"
    told = answer.json()
    for icon in told["icons"]:
        assert client.get(f"/{icon['src']}").headers["content-type"] == icon["type"]
    for path in (told["start_url"], *(one["url"] for one in told["shortcuts"])):
        assert client.get(path.removeprefix(".")).status_code == 200


class Outbox:
    """The script of a phone: a form of a page, sent when it is."""

    def __init__(self, client: TestClient, sheet: dict[str, list[str]], to: str) -> None:
        self._client, self._sheet, self._to = client, sheet, to

    def send(self, wrote: str = "", **changed: str) -> tuple[int, str]:
        data = {**self._sheet, **{name: [value] for name, value in changed.items()}}
        headers = {form_post.WROTE: wrote}
        answer = self._client.post(self._to, data=data, headers=headers, follow_redirects=False)
        return answer.status_code, answer.text


@pytest.fixture
def reading(client: TestClient, phone: Phone, pour_id: int) -> Outbox:
    sheet = phone.open(f"/pours/{pour_id}/reading/add").form("/reading")
    return Outbox(client, sheet.fields | {"kind": ["concrete"], "value_C": ["12"]}, sheet.action)


def test_what_was_tapped_without_signal_is_stored_once_with_its_hour(
    reading: Outbox, store: Store, now: datetime
) -> None:
    tapped = now - timedelta(minutes=40)
    assert reading.send(tapped_at=tapped.isoformat())[0] == 201
    assert reading.send(tapped_at=(tapped + HOUR / 60).isoformat())[0] == 201
    assert reading.send()[0] == 201  # the first try had no hour: it came at once, and broke off
    (row,) = rows(store, Reading)
    assert row.at == tapped


def test_half_an_hour_ago_counts_from_the_tap(reading: Outbox, store: Store, now: datetime) -> None:
    assert reading.send(tapped_at=(now - HOUR / 4).isoformat(), ago="30")[0] == 201
    (row,) = rows(store, Reading)
    assert row.at == now - HOUR * 3 / 4


@pytest.mark.parametrize("ahead_min", [6.0, 60.0])
def test_an_hour_ahead_is_refused_and_one_of_seconds_is_now(
    reading: Outbox, store: Store, now: datetime, ahead_min: float
) -> None:
    status, text = reading.send(tapped_at=(now + timedelta(minutes=ahead_min)).isoformat())
    assert status == 422
    assert "Later than now" in Page(text).text
    assert rows(store, Reading) == []
    assert reading.send(tapped_at=(now + timedelta(seconds=9)).isoformat())[0] == 201
    (row,) = rows(store, Reading)
    assert row.at == now


def test_the_status_alone_says_what_became_of_it(
    client: TestClient, phone: Phone, reading: Outbox, pour_id: int
) -> None:
    assert reading.send(value_C="warm")[0] == 422
    sheet = phone.open(f"/pours/{pour_id}/steps").form("/steps")
    strip = Outbox(client, sheet.fields | {"step": ["strip"]}, sheet.action)
    status, text = strip.send()
    assert status == 409  # asked about, and so not stored
    assert Page(text).form("/steps").fields["step"] == ["strip"]
    assert strip.send(sure="1")[0] == 201


def test_what_one_wrote_is_not_stored_under_the_name_of_another(
    reading: Outbox, store: Store
) -> None:
    status, text = reading.send(wrote="J%C3%B8rn")
    assert status == form_post.SOMEBODY_ELSE
    assert "Jørn" in Page(text).text
    assert rows(store, Reading) == []


def test_what_nobody_signed_is_under_nobodys_name_once_people_sign_in(
    client: TestClient, reading: Outbox, store: Store, now: datetime
) -> None:
    """It is neither lost nor theirs who happens to be in: they read why, mend it and send it."""
    with store.unit_of_work() as session:
        person = Person(created_at=now, name="Ada", role="helper", password_hash="none")
        session.add(person)
        session.flush()
        client.cookies.set(COOKIE, begin(session, now, person.id, "A browser"))
    status, text = reading.send()
    assert status == 422  # to be mended by hand; of somebody else's (412) it would wait for them
    assert "Nobody was signed in" in Page(text).text
    assert rows(store, Reading) == []
    assert reading.send(wrote="Ada")[0] == 201
    assert [one.logged_by for one in rows(store, Reading)] == ["Ada"]
