"""Every browser reads in its own units, words and clock: what it chose, else what it speaks."""

import re
from dataclasses import replace
from datetime import UTC, datetime, time

from starlette.testclient import TestClient

from models.records import Place, Shop
from service import preference
from service.actions.shop.set_up_shop import change_shop, save_place
from service.store import Store
from service.words import SI, US, chance, instant, measure
from service.words.reader import PLAIN, Reader, Units
from tests.support.phone import Phone
from tests.support.shop import Bench

BORN = datetime(2026, 10, 1, tzinfo=UTC)
AMERICAN = Reader("America/Chicago", US, "en-US", hours=12, order="mdy")


def shop(store: Store) -> Shop:
    with store.reading() as session:
        found = session.get(Shop, 1)
        assert found is not None
        return found


def test_a_browser_chooses_its_units_and_keeps_them(client: TestClient, pour_id: int) -> None:
    phone = Phone(client)
    assert " mm " in phone.open(f"/pours/{pour_id}").text
    answer = client.post(
        "/reader", data={"units": "us", "back": f"/pours/{pour_id}"}, follow_redirects=False
    )
    assert (answer.status_code, answer.headers["location"]) == (303, f"/pours/{pour_id}")
    assert "HttpOnly" in answer.headers["set-cookie"]
    assert not re.search(r"\d mm\b", phone.open(f"/pours/{pour_id}").text)


def test_the_other_units_are_a_tap_away_and_back(client: TestClient, store: Store) -> None:
    client.get("/shop")
    client.post("/reader", data={"flip": "1"})
    secret = shop(store).feed_token
    cookie = client.cookies[preference.COOKIE].strip('"')
    assert preference.of_browser(PLAIN, cookie, "", secret).units == US
    client.post("/reader", data={"flip": "1"})
    cookie = client.cookies[preference.COOKIE].strip('"')
    assert preference.of_browser(PLAIN, cookie, "", secret).units == SI


def test_wherever_numbers_are_told_the_other_units_are_a_tap_away_and_lead_back(
    client: TestClient, bench: Bench, pour_id: int
) -> None:
    phone = Phone(client)
    assert client.post(f"/api/v1/places/{bench.place_id}/weather/refresh").status_code == 201
    asked = f"asked=1&place_id={bench.place_id}&piece_id={bench.piece_id}&mix_id={bench.mix_id}"
    pour, tonight, place = f"/pours/{pour_id}", f"/tonight?{asked}", f"/places/{bench.place_id}"
    paths = (pour, tonight, place, "/", "/shop", *(f"{pour}/{part}" for part in ("record", "care")))
    for path in paths:
        client.headers["Referer"] = f"http://testserver{path}"
        seen = phone.open(path)
        form = seen.form("/reader")
        assert [words for words, _, _ in form.buttons] == ["Show °F and inches"]
        other = phone.send(form, "Show °F and inches")
        assert phone.path == path.partition("?")[0]
        assert other.text != seen.text
        left = re.findall(r".{0,40}\d (?:mm|kg|°C)(?![\w/]).{0,20}", other.text)
        assert not left, (path, left)
        back = phone.send(other.form("/reader"), "Show °C and mm")
        assert [words for words, _, _ in back.form("/reader").buttons] == ["Show °F and inches"]


def test_a_cookie_that_was_not_written_here_counts_for_nothing() -> None:
    foreign = preference.signed(AMERICAN, "another shop")
    assert preference.of_browser(PLAIN, foreign, "", "this shop") == PLAIN
    assert preference.of_browser(PLAIN, "nonsense", "", "this shop") == PLAIN
    assert preference.of_browser(PLAIN, None, "", "this shop") == PLAIN


def test_a_choice_that_is_none_changes_nothing(client: TestClient) -> None:
    wrong = {"units": "cubits", "hours": "13", "language": "xx", "mass": "stone", "order": "7" * 9}
    assert client.post("/reader", data=wrong, follow_redirects=False).status_code == 303
    page = client.get("/shop")
    assert page.status_code == 200
    assert '<html lang="en-GB"' in page.text


def test_it_leads_back_to_our_own_pages_only(client: TestClient) -> None:
    for wanted, leads in (
        ("https://elsewhere.example/x?y=1", "/x?y=1"),
        ("//elsewhere.example", "/"),
        ("/\\elsewhere.example", "/"),
        ("", "/"),
        ("/week?piece_id=1", "/week?piece_id=1"),
    ):
        answer = client.post("/reader", data={"back": wanted}, follow_redirects=False)
        assert answer.headers["location"] == leads, wanted


def test_before_a_choice_the_browser_and_the_shop_decide() -> None:
    chicago = Shop(timezone="America/Chicago", feed_token="x", created_at=BORN)
    leeds = Shop(timezone="Europe/London", feed_token="x", created_at=BORN)
    works = (time(7), time(21))
    assert preference.of_shop(chicago) == replace(AMERICAN, works=works)
    assert preference.of_shop(leeds) == Reader("Europe/London", works=works)
    metric = Shop(timezone="America/Chicago", units="si", feed_token="x", created_at=BORN)
    assert preference.of_shop(metric).units == SI
    british = preference.of_browser(preference.of_shop(chicago), None, "en-NZ,en;q=0.9", "x")
    assert (british.language, british.hours, british.units) == ("en-GB", 24, US)
    american = preference.of_browser(preference.of_shop(leeds), None, "de, en-US;q=0.5", "x")
    assert (american.language, american.hours, american.order) == ("en-US", 12, "mdy")


def test_each_quantity_is_told_in_the_unit_of_its_reader() -> None:
    for value, dimension, si, us in (
        (60.0, "length_mm", "60 mm", "2 3/8 in"),
        (2200.0, "length_mm", "2200 mm", "7 ft 2 5/8 in"),
        (0.0, "length_mm", "0 mm", "0 in"),
        (9.525, "length_mm", "9.5 mm", "3/8 in"),
        (-1.7, "temperature_C", "-1.7 °C", "29 °F"),
        (11.0, "temperature_difference_K", "11 °C", "20 °F"),
        (9.31, "stress_MPa", "9.3 MPa", "1,350 psi"),
        (3.5, "stress_MPa", "3.5 MPa", "510 psi"),
        (107.8, "mass_kg", "108 kg", "238 lb"),
        (0.06, "volume_l", "60 ml", "2 fl oz"),
        (6.0, "volume_l", "6 L", "1.6 gal"),
        (46.4, "concrete_l", "46.4 L", "1.6 cu ft"),
        (1.364, "area_m2", "1.36 m²", "14.7 sq ft"),
        (12000.0, "length_mm", "12,000 mm", "39 ft 4 7/16 in"),
        (0.98, "evaporation_kg_m2h", "0.98 kg/m²h", "0.2 lb/sq ft/h"),
    ):
        assert measure(value, dimension, PLAIN) == si
        assert measure(value, dimension, AMERICAN) == us
        assert measure(value, dimension, PLAIN, other=True).replace(",", "") == us.replace(",", "")
    assert measure(None, "length_mm", PLAIN) == ""
    mixed = Reader("UTC", Units(temperature="F"))
    assert measure(0.0, "temperature_C", mixed) == "32 °F"
    assert measure(10.0, "mass_kg", mixed) == "10 kg"


def test_a_chance_is_one_of_few_words() -> None:
    told = [chance(p) for p in (0.0, 0.019, 0.02, 0.06, 0.1, 0.21, 0.34, 0.5, 0.67, 0.8, 0.91)]
    assert told == [
        *("very unlikely", "very unlikely", "1 in 50", "1 in 20", "1 in 10", "1 in 5", "1 in 3"),
        *("even", "2 in 3", "4 in 5", "9 in 10"),
    ]
    assert [chance(p) for p in (0.95, 0.98, 0.99, 1.0)] == [
        *("19 in 20", "49 in 50", "almost certain", "almost certain"),
    ]


def test_an_hour_is_told_by_the_readers_clock_and_calendar() -> None:
    at = datetime(2026, 11, 27, 5, 45, tzinfo=UTC)
    assert instant(at, "", Reader("America/Chicago")) == "Thu 26 Nov 23:45"
    assert instant(at, "", AMERICAN) == "Thu Nov 26, 11:45 pm"
    assert instant(at, "date", AMERICAN) == "November 26, 2026"


def test_a_place_without_coordinates_follows_the_clock_of_the_shop(
    store: Store, now: datetime, bench: Bench
) -> None:
    """P7: hours stood in two clocks."""
    with store.unit_of_work() as session:
        change_shop(session, now, {"timezone": "Etc/UTC"})
        placed = session.get_one(Place, bench.place_id)
        shed = save_place(session, now, {"name": "Shed", "kind": "covered", "timezone": "Etc/UTC"})
        change_shop(session, now, {"timezone": "America/Denver"})
        assert shed.timezone == "America/Denver"
        assert placed.timezone == "America/Chicago"  # which its coordinates tell
