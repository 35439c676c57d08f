"""A maker's first pour, from a shop with nothing in it, on a phone without script."""

from datetime import datetime

from models.records import Mix, Mould, Piece, Place, Pour, ProtectionPeriod, Shop, WeatherRun
from service.pages.view import title
from service.store import Store
from tests.support.phone import Phone
from tests.support.rows import rows
from tests.support.shop import Sky
from tests.support.words import said


def test_five_choices_are_enough_and_all_else_has_a_visible_default(
    phone: Phone, store: Store, now: datetime
) -> None:
    form = phone.open("/pour").form("/pour")
    page = phone.send(
        form,
        piece__shape="box",
        mix__kind="rapid-setting",
        place__kind="unheated room",
        cover="blanket",
    )
    assert phone.status == 200
    (pour,) = rows(store, Pour)
    assert phone.path == f"/pours/{pour.id}"
    assert pour.placed_at == now
    (piece,) = rows(store, Piece)
    assert (piece.name, piece.shape, piece.height_mm, piece.wall_mm) == ("Piece 1", "box", 500, 50)
    assert piece.thickness_mm is None
    assert [row.name for row in rows(store, Mix)] == ["Rapid-setting mix"]
    assert [row.name for row in rows(store, Place)] == ["Garage"]
    assert [row.kind for row in rows(store, ProtectionPeriod)] == ["blanket"]
    assert said("saved_poured") in page.text


def test_a_first_pour_without_weather_says_what_is_missing_and_opens_nothing(phone: Phone) -> None:
    page = phone.send(phone.open("/pour").form("/pour"))
    assert "Without weather castclock can’t say when." in page.text
    assert "set the location of Yard" in page.text
    assert "● open" not in page.text
    assert "■ blocked" in page.text


def test_the_two_temperatures_typed_on_the_pour_give_windows(phone: Phone, store: Store) -> None:
    phone.send(phone.open("/pour").form("/pour"))
    page = phone.send(phone.page.form("/weather"), night_low_C="39 F", day_high_C="12")
    assert phone.status == 200
    assert [run.typed for run in rows(store, WeatherRun)] == [True]
    assert "Without weather" not in page.text
    assert "○ not yet" in page.text
    assert title("strip") in page.text


def test_coordinates_bring_the_forecast_at_once(phone: Phone, sky: Sky) -> None:
    page = phone.send(
        phone.open("/pour").form("/pour"), place__latitude="44.0", place__longitude="-92.0"
    )
    assert sky.asked == [(44.0, -92.0)]
    assert "○ not yet" in page.text
    assert "forecast 1 min old" in page.text


def test_a_dead_weather_service_is_told_and_stores_the_pour_all_the_same(
    phone: Phone, sky: Sky, store: Store
) -> None:
    sky.down = "no answer in 10 s"
    page = phone.send(
        phone.open("/pour").form("/pour"), place__latitude="44.0", place__longitude="-92.0"
    )
    assert len(rows(store, Pour)) == 1
    assert "no answer in 10 s" in page.text
    assert "● open" not in page.text


def test_lengths_are_taken_in_either_system_and_shown_in_the_readers(
    phone: Phone, store: Store
) -> None:
    page = phone.send(
        phone.open("/pour").form("/pour"),
        piece__length_mm="4 ft 11 in",
        piece__width_mm="420",
        piece__thickness_mm="2 3/8 in",
        mould_id="new",
        mould__thickness_mm="3/4 in",
    )
    (piece,) = rows(store, Piece)
    assert (piece.length_mm, piece.width_mm, piece.thickness_mm) == (1498.6, 420.0, 60.325)
    (mould,) = rows(store, Mould)
    assert (mould.name, mould.thickness_mm, mould.piece_id) == ("Piece 1 mould", 19.05, piece.id)
    assert "420 mm" in page.text


def test_a_typed_time_counts_instead_of_now__in_the_clock_of_the_place(
    phone: Phone, store: Store
) -> None:
    phone.send(
        phone.open("/pour").form("/pour"),
        placed_at="2026-10-14T16:30",
        place__timezone="America/Denver",
    )
    (pour,) = rows(store, Pour)
    assert pour.placed_at.isoformat() == "2026-10-14T22:30:00+00:00"
    (shop,) = rows(store, Shop)
    assert shop.timezone == "America/Denver"


def test_an_opening_goes_with_the_panel(phone: Phone, store: Store) -> None:
    phone.send(
        phone.open("/pour").form("/pour"),
        piece__hole0__length_mm="12 in",
        piece__hole0__width_mm="300 mm",
    )
    (piece,) = rows(store, Piece)
    assert piece.openings == [{"length_mm": 304.8, "width_mm": 300.0}]
