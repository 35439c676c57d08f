"""A maker's first pour, from a shop with nothing in it, on a phone without script."""

from datetime import datetime

from models.facts.cements import CLASSES
from models.records import Mix, Mould, Piece, Place, Pour, ProtectionPeriod, Shop, WeatherRun
from service import towns
from service.pages.view import title
from service.store import Store
from tests.support.first import FIRST
from tests.support.phone import Phone
from tests.support.rows import rows
from tests.support.shop import Sky
from tests.support.words import said


def test_where_which_bag_and_which_piece_are_enough_and_nothing_is_invented(
    phone: Phone, store: Store, now: datetime
) -> None:
    form = phone.open("/pour").form("/pour")
    page = phone.send(
        form,
        piece__shape="box",
        piece__length_mm="700 mm",
        piece__width_mm="700 mm",
        piece__height_mm="500 mm",
        piece__wall_mm="50 mm",
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
    page = phone.send(phone.open("/pour").form("/pour"), **FIRST)
    assert "Without weather castclock can’t say when." in page.text
    assert "set the location of Yard" in page.text
    assert "● open" not in page.text
    assert "■ no hour yet" in page.text


def test_the_two_temperatures_typed_on_the_pour_give_windows(phone: Phone, store: Store) -> None:
    phone.send(phone.open("/pour").form("/pour"), **FIRST)
    page = phone.send(phone.page.form("/weather"), night_low_C="39 F", day_high_C="12")
    assert phone.status == 200
    assert [run.typed for run in rows(store, WeatherRun)] == [True]
    assert "Without weather" not in page.text
    assert "○ not yet" in page.text
    assert title("strip") in page.text


def test_coordinates_bring_the_forecast_at_once(phone: Phone, sky: Sky) -> None:
    page = phone.send(
        phone.open("/pour").form("/pour"),
        **FIRST,
        place__latitude="44.0",
        place__longitude="-92.0",
    )
    assert sky.asked == [(44.0, -92.0)]
    assert "○ not yet" in page.text
    assert "forecast 1 min old" in page.text


def test_a_dead_weather_service_is_told_and_stores_the_pour_all_the_same(
    phone: Phone, sky: Sky, store: Store
) -> None:
    sky.down = "no answer in 10 s"
    page = phone.send(
        phone.open("/pour").form("/pour"),
        **FIRST,
        place__latitude="44.0",
        place__longitude="-92.0",
    )
    assert len(rows(store, Pour)) == 1
    assert "no answer in 10 s" in page.text
    assert "● open" not in page.text


def test_lengths_are_taken_in_either_system_and_shown_in_the_readers(
    phone: Phone, store: Store
) -> None:
    page = phone.send(
        phone.open("/pour").form("/pour"),
        **FIRST
        | {
            "piece__length_mm": "4 ft 11 in",
            "piece__width_mm": "420",
            "piece__thickness_mm": "2 3/8 in",
            "mould_id": "new",
            "mould__thickness_mm": "3/4 in",
        },
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
        **FIRST,
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
        **FIRST,
        piece__hole0__length_mm="12 in",
        piece__hole0__width_mm="300 mm",
    )
    (piece,) = rows(store, Piece)
    assert piece.openings == [{"length_mm": 304.8, "width_mm": 300.0}]


def test_what_was_not_answered_is_asked_and_not_filled_in(phone: Phone, store: Store) -> None:
    page = phone.send(phone.open("/pour").form("/pour"))
    assert phone.status == 422
    asked = {"piece.length_mm", "piece.width_mm", "mix.kind", "place.kind"}
    assert asked <= set(page.notes)
    assert not rows(store, Piece)
    assert not rows(store, Mix)
    assert not rows(store, Place)


def test_a_town_by_name_gives_position_and_clock_and_the_forecast_at_once(
    phone: Phone, store: Store, sky: Sky
) -> None:
    phone.send(phone.open("/pour").form("/pour"), **FIRST, town="minneapolis")
    (place,) = rows(store, Place)
    assert (round(place.latitude or 0), round(place.longitude or 0)) == (45, -93)
    assert place.timezone == "America/Chicago"
    assert [shop.timezone for shop in rows(store, Shop)] == ["America/Chicago"]
    assert len(sky.asked) == 1


def test_of_towns_that_are_called_alike_one_is_chosen(phone: Phone, store: Store) -> None:
    page = phone.send(phone.open("/pour").form("/pour"), **FIRST, town="Springfield")
    assert phone.status == 422
    assert set(page.notes) == {"town_key"}
    assert "Springfield, IL, United States" in page.text
    (illinois,) = (town for town in towns.named("Springfield, IL"))
    phone.send(page.form("/pour"), town_key=illinois.key)
    (place,) = rows(store, Place)
    assert (place.latitude, place.longitude) == (illinois.latitude, illinois.longitude)


def test_a_town_that_is_none_is_said_beside_its_field(phone: Phone, store: Store) -> None:
    page = phone.send(phone.open("/pour").form("/pour"), **FIRST, town="Nowhere at all")
    assert "name a larger one" in page.notes["town"]
    assert rows(store, Pour) == []


def test_the_first_pour_says_what_is_assumed_before_it_is_stored(phone: Phone) -> None:
    page = phone.open("/pour")
    for kind, usual in CLASSES.items():
        assert f"{kind} {usual.strength_MPa_28d:.0f} MPa {usual.water_cement}" in page.text
