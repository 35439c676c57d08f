"""The printed record, the owner's care sheet, and photos from a phone without script."""

import re
from collections.abc import Callable
from datetime import datetime

import pytest
from starlette.testclient import TestClient

from models.facts.sealers import CHEMISTRIES
from service.actions.pours.keep_photo import keep_photo
from service.actions.pours.mark_step_done import mark_step_done
from service.actions.pours.record_reading import record_reading
from service.actions.shop.set_up_shop import save_piece, save_sealer
from service.actions.windows.project_pour import project_pour
from service.nouns.reading import ReadingCreate
from service.pages.view import title
from service.queries.rows import find_shop
from service.store import Store
from service.words import word
from tests.support.phone import Page, Phone
from tests.support.shop import HOUR, Bench, Hands, Windows
from tests.support.words import said


def test_the_pour_leads_to_its_record_its_care_sheet_and_its_photos(
    phone: Phone, poured: str
) -> None:
    links = phone.open(poured).links
    for part in ("record", "care", "photos"):
        assert f"{poured}/{part}" in links


def test_the_record_names_what_was_poured_read_and_done(
    phone: Phone, poured: str, store: Store, hands: Hands
) -> None:
    hands.forward(30)
    with store.unit_of_work() as session:
        record_reading(
            session, hands.now, 1, ReadingCreate(at=hands.now, kind="concrete", value_C=14.0)
        )
        record_reading(session, hands.now, 1, ReadingCreate(at=hands.now, kind="final-set"))
        mark_step_done(session, hands.now, 1, "finish", hands.now)
    text = phone.open(f"{poured}/record").text
    for words in (
        "North bench",
        "panel 1500 × 420 × 60 mm",
        "Grey bag",
        title("finish"),
        "Fri 16 Oct 00:00",
        "in the concrete",
        "14 °C",
        "hard: a nail leaves no dent",
        "about 90 ml",
        "water-based acrylic",
        "0 of 6 coats on",
    ):
        assert words in text, words
    for shown in ("today", "tomorrow", "yesterday"):
        assert shown not in text, "paper is read on another day"


def test_a_record_of_nothing_says_nothing_is_known(
    phone: Phone, store: Store, pour_id: int
) -> None:
    assert store is not None
    text = phone.open(f"/pours/{pour_id}/record").text
    for words in (
        "Nothing was said yet and nothing marked",
        "No reading, no set, no test",
        "Bare.",
        "No weather is known",
    ):
        assert words in text
    text = phone.open(f"/pours/{pour_id}/care").text
    assert "Not before" in text
    assert dates(text) == []


def test_a_script_in_a_name_stays_a_name(
    phone: Phone, poured: str, bench: Bench, store: Store, hands: Hands
) -> None:
    name = "</script><script>alert(1)</script>\"'><img src=x onerror=alert(1)>"
    with store.unit_of_work() as session:
        save_piece(session, hands.now, {"name": name}, bench.piece_id, [1])
        record_reading(
            session, hands.now, 1, ReadingCreate(at=hands.now, kind="air", value_C=4.0, note=name)
        )
    for part in ("record", "care", "photos"):
        page = phone.open(f"{poured}/{part}")
        assert phone.status == 200
        assert page.alone == []
        assert name in page.text
    for address in ("/pours/77/record", "/pours/77/care", "/pours/77/photos", "/pours/x/record"):
        phone.open(address)
        assert phone.status == 404


def test_the_care_sheet_gives_dates_only_where_they_are_known(
    phone: Phone, poured: str, store: Store, hands: Hands
) -> None:
    """P14: no year, and what is not known yet."""
    text = phone.open(f"{poured}/care").text
    assert "Not finished: 0 of 6 coats are on" in text
    assert f"says so: {said('bears_rain')}; {said('bears_light_use')}" in text
    assert dates(text) == []
    with store.unit_of_work() as session:
        mark_step_done(session, hands.now, 1, "coat-6", hands.now)
    text = phone.open(f"{poured}/care").text
    assert "2026" in dates(text)[0]
    assert text.index("Rain ") < text.index("Light use:") < text.index("Wet cloths")


def test_the_care_sheet_says_the_hours_of_the_step_no_finer_than_they_deserve(
    phone: Phone, pour_id: int, windows: Windows, store: Store, now: datetime
) -> None:
    """P14: care sheet and windows disagreed."""
    for step, hours in (("rain-safe", 30.1), ("light-use", 50.6)):  # 00:06, 20:36
        windows.say(step, "not yet", now + hours * HOUR)
    project_pour(store, now, pour_id)
    text = phone.open(f"/pours/{pour_id}/care").text
    assert "Rain 16 October 2026 00:15" in text
    assert "cold cup 17 October 2026" in text
    assert "17 October 2026 00:00" not in text, "nobody knows which midnight that is"


def test_the_sheet_of_the_owner_names_the_shop_and_shows_the_newest_photo(
    phone: Phone, poured: str, store: Store, hands: Hands, picture: Callable[[str], bytes]
) -> None:
    with store.unit_of_work() as session:
        kept = keep_photo(session, hands.now, 1, picture("jpg"), at=hands.now)
    for part in ("care", "record"):
        page = phone.open(f"{poured}/{part}")
        assert find_name(store) in page.text
        assert f"/photos/{kept.id}" in page.source
    assert 'class="qr"' in phone.open(f"{poured}/care").source


def test_without_weather_no_use_is_called_safe(
    phone: Phone, pour_id: int, client: TestClient
) -> None:
    client.get(f"/api/v1/pours/{pour_id}/projection")
    text = phone.open(f"/pours/{pour_id}/care").text
    assert dates(text) == []


def dates(text: str) -> list[str]:
    """What stands between the heading and the remark under the hours, where it is a date."""
    hours = text.partition("From when")[2].partition("sealer's own")[0].partition("As of")[0]
    return re.findall(r"\d+ [A-Z][a-z]+ \d{4} \d\d:\d\d", hours)


def find_name(store: Store) -> str:
    with store.reading() as session:
        return find_shop(session).name


def test_a_lost_piece_is_not_handed_over_without_a_word(
    phone: Phone, poured: str, client: TestClient
) -> None:
    client.post("/api/v1/pours/1/close", json={"why": "lost"})
    assert "Closed: lost" in phone.open(f"{poured}/care").text


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
def test_every_chemistry_has_its_own_words(
    phone: Phone, poured: str, client: TestClient, store: Store, hands: Hands, chemistry: str
) -> None:
    with store.unit_of_work() as session:
        sealer = save_sealer(session, hands.now, {"name": "S", "chemistry": chemistry})
    assert client.patch("/api/v1/pours/1", json={"sealer_id": sealer.id}).status_code == 200
    text = phone.open(f"{poured}/care").text
    for words in (
        word("chemistry", chemistry),
        word("care_heat", chemistry),
        word("care_cleaning", chemistry),
        "de-icing salt",
        "licensed installer",
        "silica dust",
        "spall",
    ):
        assert words in text, words


Part = tuple[str, tuple[str, bytes] | tuple[str, bytes, str]]


def form_of(phone: Phone, poured: str, **more: str) -> dict[str, str]:
    fields = phone.open(f"{poured}/photos").form("/photos").fields
    return {name: values[-1] for name, values in fields.items() if name != "photo"} | more


def test_a_photo_is_sent_without_script_and_shown(
    phone: Phone, poured: str, client: TestClient, picture: Callable[[str], bytes]
) -> None:
    """P10: its removal is taken back, too."""
    files: list[Part] = [
        ("photo", ("", b"")),
        ("photo", ("IMG_1.jpg", picture("png"), "image/jpeg")),
    ]
    fields = form_of(phone, poured, step="strip", note="<b>west")
    sent = client.post(f"{poured}/photos", data=fields, files=files)
    assert sent.status_code == 200
    assert said("saved_photo") in sent.text
    again = client.post(f"{poured}/photos", data=fields, files=files)
    assert said("saved_photo") in again.text
    page = phone.open(f"{poured}/photos")
    assert page.source.count("<img") == 1
    assert title("strip") in page.text
    assert "<b>west" in page.text
    assert "<img" in client.get(f"{poured}/record").text
    removed = phone.send(page.form("/remove"))
    assert "None yet." in phone.open(f"{poured}/photos").text
    content = client.get(f"/api/v1{poured}/photos/1").content
    phone.send(removed.form("/restore", "Undo"))
    assert client.get(f"/api/v1{poured}/photos/1").content != content
    assert "<b>west" in phone.open(f"{poured}/photos").text


def test_another_photo_under_the_same_key_is_not_lost_in_silence(
    phone: Phone, poured: str, client: TestClient, picture: Callable[[str], bytes]
) -> None:
    fields = form_of(phone, poured)
    for kind, status in (("png", 200), ("jpg", 422)):
        answer = client.post(
            f"{poured}/photos", data=fields, files=[("photo", ("a", picture(kind)))]
        )
        assert answer.status_code == status
    assert "has been sent already" in answer.text


@pytest.mark.parametrize("content", [b"", b"<svg onload=alert(1)>", b"%PDF-1.7"])
def test_what_is_no_photo_comes_back_with_the_form(
    phone: Phone, poured: str, client: TestClient, content: bytes, read: Callable[[str], Page]
) -> None:
    files = [("photo", ("x.jpg", content, "image/jpeg"))]
    answer = client.post(f"{poured}/photos", data=form_of(phone, poured, note="west"), files=files)
    assert answer.status_code == 422
    assert "JPEG, PNG or WebP" in read(answer.text).notes["photo"]
    assert 'value="west"' in answer.text


@pytest.mark.parametrize("kind", ["multipart/form-data", "multipart/form-data; boundary=x"])
def test_a_broken_upload_is_a_page_that_says_so(client: TestClient, poured: str, kind: str) -> None:
    answer = client.post(f"{poured}/photos", content=b"--y\r\n", headers={"Content-Type": kind})
    assert answer.status_code in (400, 422)
    assert "text/html" in answer.headers["content-type"]


def test_a_blocked_step_gives_no_date_to_the_owner_even_where_an_hour_is_told(
    phone: Phone, pour_id: int, windows: Windows, store: Store, now: datetime
) -> None:
    """As for a piece that probably froze: its hours stand, and yet nothing is promised."""
    for step in ("light-use", "full-use", "coat-6", "first-heating"):
        windows.say(step, "blocked", now, because="Probably frozen, before 3.5 MPa; wait")
    project_pour(store, now, pour_id)
    text = phone.open(f"/pours/{pour_id}/care").text
    assert dates(text) == []
    assert "Probably frozen" not in text, "that is the maker's to tell"
