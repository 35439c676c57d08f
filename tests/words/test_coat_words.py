"""The sentences of coats, care and pieces."""

from datetime import UTC, datetime

import pytest

from models.facts.care import RAIN_AFTER_H
from models.facts.sealers import CHEMISTRIES
from models.message import Message, Value
from models.piece.shape import Opening, Shape
from service.words import US, Reader, say, word
from service.words.say import templates

HERE = Reader("America/New_York")
NINE = datetime(2026, 6, 21, 13, tzinfo=UTC)


def test_a_recoat_window_tells_both_of_its_ends() -> None:
    ends: dict[str, Value] = {"ready_at": NINE, "after_h": 4.0, "last_at": NINE, "limit_h": 18.0}
    assert say(Message("recoat_from_until", ends), HERE) == (
        "Not before Sun 21 Jun 09:00, 4.0 h after the coat under it; not after Sun 21 Jun 09:00"
        " (18 h), else abrade first."
    )


def test_a_plan_tells_its_coats_its_chance_and_its_tightest_hour() -> None:
    first = Message("coat_at", {"coat": 1, "at": NINE})
    plan: dict[str, Value] = {
        "groups": (Message("coats_sure", {"coats": (first,)}),),
        "chance": 0.93,
        "beyond": (Message("coats_beyond", {"coat": 2}),),
        "tightest": Message("coats_tightest", {"spread_K": 3.4, "most_rh": 0.81}),
    }
    assert say(Message("coats_planned", plan), HERE) == (
        "Safe: coat 1 Sun 21 Jun 09:00. That all of it works out: 9 in 10. No hour of the"
        " forecast is long enough from coat 2 on. The tightest hour: face 3.4 °C above the dew"
        " point, humidity 81%."
    )


def test_what_fails_is_told_one_after_the_other() -> None:
    fails = tuple(
        Message("coat_fails_from", {"fails": one, "at": NINE})
        for one in (
            Message("coat_fails_humidity", {"max_rh": 0.85}),
            Message("coat_fails_spread", {"margin_K": 3.0}),
        )
    )
    assert say(Message("coats_not_today", {"fails": fails}), HERE) == (
        "Not today: humidity passes 85% from Sun 21 Jun 09:00; the face comes within 3.0 °C of the"
        " dew point from Sun 21 Jun 09:00."
    )


@pytest.mark.parametrize("last", ["coat_limits", "coat_limits_last"])
def test_the_air_that_a_coat_asks_for_is_told_in_the_units_of_the_reader(last: str) -> None:
    air = {"max_rh": 0.85, "min_C": 10.0, "max_C": 32.0, "hold_h": 4.0, "rain_free_h": 12.0}
    assert say(Message(last, air), HERE).startswith("RH up to 85%, 10 to 32 °C, to hold ")
    assert "50 to 90 °F" in say(Message(last, air), Reader("UTC", US))


@pytest.mark.parametrize("chemistry", sorted(CHEMISTRIES))
def test_every_sealer_has_its_words_of_care(chemistry: str) -> None:
    assert chemistry in RAIN_AFTER_H
    for part in ("does", "cleaning", "avoid", "heat", "water", "reseal"):
        assert f"care_{part}.{chemistry}" in templates("en-GB")
    assert "-silane" not in word("chemistry", chemistry)


def test_a_piece_is_told_with_its_measures_its_wall_and_its_openings() -> None:
    box = Shape("box", 700.0, 700.0, height_mm=600.0, wall_mm=50.0)
    holed = Shape("panel", 1800.0, 900.0, 50.0, openings=(Opening(400.0, 300.0),))
    assert say(box.described, HERE) == "box 700 × 700 × 600 mm, wall 50 mm"
    assert say(holed.described, HERE) == "panel 1800 × 900 × 50 mm, 1 opening"
