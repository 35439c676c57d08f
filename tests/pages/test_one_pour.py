"""One pour: windows, pictures, what was logged, and how each is taken back."""

import html
import re
from datetime import datetime, timedelta

import pytest
from starlette.testclient import TestClient

from models.message import Message, Value
from service.pages.view import title
from tests.support.phone import Page, Phone
from tests.support.shop import Hands, Sky, Windows
from tests.support.words import said, tells

LATER: dict[str, Value] = {
    "chance": 0.3,
    "from_at": datetime.fromisoformat("2026-10-20T03:00+00:00"),
    "lowest_C": -3.0,
    "least_MPa": 20.0,
}
NOW = datetime.fromisoformat("2026-10-14T23:00+00:00")


def test_what_is_next_stands_first_and_the_rest_in_the_order_of_its_hours(
    phone: Phone, poured: str
) -> None:
    text = phone.open(poured).text
    first = f"Next: {title('finish')} ○ not yet probably from today"
    assert first in text or f"Next: {title('finish')} ○ not yet safe from today" in text
    places = [text.index(name) for name in (title("finish"), title("strip"), title("end-wet-cure"))]
    assert places == sorted(places)
    assert re.search(r"safe from \w+ \d+ \w+ \d\d:\d\d in \d+ (h|days)", text)
    assert said("strength_coldest") in text.lower()


def test_the_picture_is_drawn_here_and_told_in_words_and_numbers(phone: Phone, poured: str) -> None:
    source = phone.open(poured).source
    *drawings, key = re.findall(r"<svg.*?</svg>", source, re.S)
    assert len(drawings) == 2  # for a phone, and for a wide screen or paper, which has its key
    assert key in source.partition("and the marks")[2]
    drawings[0] += key
    for drawing in drawings:
        assert 4_000 <= len(drawing) <= 32_000
        assert "<title" in drawing
        assert "<desc" in drawing
        assert 'class="band"' in drawing
        for words in ("5 strip", "coldest place", "air", "probably", "night"):
            assert words in drawing
    assert source.count("<tr data-x") >= 40


def test_a_step_that_waits_for_another_says_only_that(phone: Phone, poured: str) -> None:
    """P11: hours slid with the clock, and steps were offered out of order."""
    (later,) = re.findall(r'class="plain later".*?</ol>', phone.open(poured).source, re.DOTALL)
    text = Page(later).text
    waiting = text[text.index(f"{title('turn')}, ") :]
    assert "safe from" not in waiting[: waiting.index(f"{title('strip')} first")]
    assert text.lower().count("coats 1 to 6") == 1


def test_the_picture_stands_between_what_is_next_and_the_rest(phone: Phone, poured: str) -> None:
    source = phone.open(poured).source
    assert source.index("<svg") > source.index('id="finish"')
    assert source.index("<svg") < source.index('class="plain later"')


def test_a_max_min_reading_of_the_night_moves_the_windows_and_is_undone(
    phone: Phone, poured: str, hands: Hands
) -> None:
    hands.forward(13)
    before = phone.open(poured).text
    form = phone.open(f"{poured}/reading/add").form("/reading")
    page = phone.send(form, value_C="45 F", value_max_C="52 F")
    assert said("saved_reading") in page.text
    assert "7.2 °C" in page.text
    assert _safe(page.text) != _safe(before)
    page = phone.send(page.form("/remove", "Undo"))
    assert "7.2 °C" not in page.text
    assert _safe(page.text) == _safe(before)


def test_a_tile_weighed_and_a_film_looked_at_are_put_down_and_taken_back(
    phone: Phone, poured: str, hands: Hands
) -> None:
    hands.forward(30)
    page = phone.send(phone.open(f"{poured}/dryness/add").form("/dryness"), mass_g="1840.5 g")
    assert said("saved_dryness") in page.text
    assert "witness tile: 1840.5 g" in page.text
    form = phone.open(f"{poured}/dryness/add").form("/dryness")
    page = phone.send(form, kind="film-dry", mass_g="9 g")  # a mass left over from another choice
    assert "taped film: dry under it" in page.text
    assert "no proof" in page.text
    page = phone.send(page.form("/remove", "Undo"))
    assert "taped film" not in page.text
    assert "witness tile" in page.text


def _safe(text: str) -> str:
    after = text[text.index(title("strip")) :]
    found = re.search(r"safe from (.*?) in \d+", after)
    assert found is not None
    return found[1]


def test_strip_is_marked_done_seen_and_taken_back(phone: Phone, poured: str, hands: Hands) -> None:
    hands.forward(30)
    page = phone.send(phone.open(f"{poured}/steps").form("/steps"), title("strip"))
    page = phone.send(page.form("/steps"), "It is done")  # too early, as the page says
    assert said("saved_done", doing="strip") in page.text
    assert "✓ done" in page.text
    page = phone.send(page.form("/strip/undo", "Undo"))
    assert said("saved_undone", doing="strip") in page.text
    assert "✓ done" not in page.text


def test_a_step_marked_twice_says_who_was_first(phone: Phone, poured: str, hands: Hands) -> None:
    hands.forward(30)
    form = phone.open(f"{poured}/steps").form("/steps")
    asked = phone.send(form, title("strip")).form("/steps")
    phone.send(asked, "It is done")
    page = phone.send(form, title("strip"), key="another key")
    assert phone.status == 409
    assert "marked done already" in page.text
    assert poured in page.links


def test_a_cover_goes_on_and_comes_off(phone: Phone, poured: str, hands: Hands) -> None:
    hands.forward(2)
    phone.send(phone.open(f"{poured}/cover/add").form("/cover"), kind="two blankets")
    page = phone.open(poured)
    assert "two blankets, over the top on today" in page.text
    hands.forward(5)
    page = phone.send(phone.open(poured).form("/off", "Off now"))
    assert said("saved_off") in page.text
    assert re.search(r"two blankets, over the top on \w+ \d\d:\d\d, off \w+ \d\d:\d\d", page.text)


def test_a_cube_is_put_down_and_narrows_what_is_known(
    phone: Phone, poured: str, hands: Hands
) -> None:
    hands.forward(48)
    wide = _spread(phone.open(poured).text)
    form = phone.open(f"{poured}/test/add").form("/test")
    page = phone.send(form, kind="cube", MPa="1800 psi")
    assert "cube 12.4 MPa" in page.text
    assert _spread(page.text) < wide


def _spread(text: str) -> float:
    now = re.escape(said("strength_coldest")) + r" about [\d.]+ MPa \(([\d.]+) to ([\d.]+)\)"
    found = re.search(now, text, re.IGNORECASE)
    assert found is not None
    return float(found[2]) - float(found[1])


@pytest.mark.parametrize("hours", [7.0, 30.0])
def test_a_reckoning_that_has_aged_is_made_anew_when_the_page_is_opened(
    phone: Phone, poured: str, hands: Hands, hours: float
) -> None:
    hands.forward(hours)
    assert "Updated today 18:00." in re.sub(r"\d\d:\d\d", "18:00", phone.open(poured).text)


def test_a_window_that_closed_since_is_never_shown_as_open(
    phone: Phone, poured: str, windows: Windows, hands: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    windows.say("turn", "open", NOW - timedelta(hours=1), NOW + timedelta(hours=2))
    phone.send(phone.open(poured).form("/reckon"))
    assert "● open" in phone.page.text
    hands.forward(3)
    monkeypatch.setattr("service.request_context.RequestContext.recompute", lambda *_: None)
    assert "● open" not in phone.open(poured).text
    assert "✕ past" in phone.page.text
    assert "●" not in phone.open("/").text


def test_what_nobody_reckoned_for_hours_opens_nothing(
    phone: Phone, poured: str, windows: Windows, hands: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    windows.say("strip", "open", NOW - timedelta(hours=1))
    phone.send(phone.open(poured).form("/reckon"))
    monkeypatch.setattr("service.request_context.RequestContext.recompute", lambda *_: None)
    hands.forward(7)
    for page in (phone.open(poured), phone.open("/")):
        assert "●" not in page.text
        assert tells(page.text, "stale_h", age_h="7 h")
    assert "Nothing was worked out for 7 h" in phone.page.text


def test_an_old_forecast_is_called_old(phone: Phone, poured: str, hands: Hands, sky: Sky) -> None:
    sky.down = "unreachable"
    hands.forward(9)
    told = "■ Old forecast. Carport: forecast 9 h old (a sky of the tests)."
    assert told in phone.open(poured).text
    assert "the forecast is 9 h old" in phone.page.text.lower()


def test_the_caution_of_the_next_step_stands_once_with_first_aid_a_tap_away(
    phone: Phone, poured: str
) -> None:
    """No litany: what hurts in this step, and no other's; of the others each where it is told."""
    page = phone.open(poured)
    card = page.source.split('class="card step')[1].split("</section>")[0]
    assert html.unescape(card).count(said("hazard_wet_cement")) == 1
    assert said("hazard_silica") not in html.unescape(card)
    assert "/help/first-aid" in page.links
    assert "does not certify" in page.text


def test_a_batch_is_written_down_shown_and_taken_back(phone: Phone, poured: str) -> None:
    form = phone.open(f"{poured}/batch/add").form("/batch")
    page = phone.send(form, bags="2 1/2", water_l="6 l", concrete_C="64 F", note="second mixer")
    assert said("saved_batch") in page.text
    assert "batch of 2.5 bags, 6 L" in page.text
    assert "second mixer" in phone.open(f"{poured}/record").text
    page = phone.send(phone.open(poured).form("/remove", "Remove"))
    assert "batch of" not in phone.open(poured).text
    empty = phone.send(phone.open(f"{poured}/batch/add").form("/batch"))
    assert phone.status == 422
    assert "nothing is told" in empty.text


def test_a_reading_whose_instrument_was_wrong_stays_and_counts_no_more(
    phone: Phone, poured: str, hands: Hands
) -> None:
    hands.forward(4)
    phone.send(phone.open(f"{poured}/reading/add").form("/reading"), kind="air", value_C="9 C")
    page = phone.send(phone.open(poured).form("/wrong", "Instrument was wrong"))
    assert "instrument wrong: not counted" in page.text
    page = phone.send(page.form("/right", "It counts after all"))
    assert "not counted" not in page.text


def test_no_notice_goes_out_of_a_step_that_waits_for_another(
    phone: Phone, poured: str, windows: Windows, hands: Hands, client: TestClient
) -> None:
    windows.say("strip", "open", NOW - timedelta(hours=1))
    windows.say("turn", "not yet", NOW + timedelta(hours=1), after="strip")
    phone.send(phone.open(poured).form("/reckon"))
    text = phone.page.text
    assert f"{title('strip')} first" in text[text.index(title("turn")) :]
    hands.forward(2)
    phone.open(poured)
    owed = client.get(f"/api/v1{poured}/reminders").json()
    assert "turn" not in {row["step"] for row in owed if row["state"] != "cancelled"}


def test_evaporation_under_its_limit_is_no_alarm(
    phone: Phone, poured: str, windows: Windows
) -> None:
    """P15: an alert below its limit stood first, twice."""
    windows.say("strip", "open", NOW - timedelta(hours=1))
    values = {"rate_kg_m2h": 0.67, "limit_kg_m2h": 1.0}
    windows.warnings = (Message("evaporation_watch", values), Message("frost_later", LATER))
    page = phone.send(phone.open(poured).form("/reckon"))
    assert page.text.count("▲") == 1
    assert tells(page.text, "evaporation_watch")


def test_a_note_is_kept_shown_and_taken_back(phone: Phone, poured: str, hands: Hands) -> None:
    hands.forward(2)
    page = phone.send(phone.open(f"{poured}/note/add").form("/note"), note="north corner damp")
    assert said("saved_note") in page.text
    assert "north corner damp" in page.text
    page = phone.send(page.form("/note/remove", "Undo"))
    assert "north corner damp" not in page.text
    page = phone.send(page.form("/note", "Undo"))
    assert "north corner damp" in page.text


def test_humidity_is_read_beside_the_piece(phone: Phone, poured: str, hands: Hands) -> None:
    """P20: asked for, and nowhere to be typed."""
    hands.forward(2)
    form = phone.open(f"{poured}/reading/add").form("/reading")
    page = phone.send(form, kind="humidity", rh_pct="62", value_C="9")
    assert "humidity of the air: 62 %" in page.text
    again = phone.open(f"{poured}/reading/add")
    assert again.form("/reading").fields["kind"] == ["humidity"]
    assert "humidity 62 %" in again.text


def test_a_check_by_hand_is_answered_with_one_tap(
    phone: Phone, poured: str, hands: Hands, client: TestClient
) -> None:
    hands.forward(5)
    page = phone.open(poured)
    form = next(one for one in page.forms if one.fields.get("kind") == ["initial-set"])
    phone.send(form)
    (row,) = client.get(f"/api/v1{poured}/readings").json()
    assert row["kind"] == "initial-set"
