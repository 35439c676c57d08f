"""Quantities as makers type them: read exactly, refused with an example, shown back both ways."""

import random
import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models import quantity
from models.errors import InputError
from models.facts.conversions import DIMENSIONS

TYPED = [
    ("1 1/2 in", "length_mm", 38.1),
    ('1-1/2"', "length_mm", 38.1),
    ("1½ in", "length_mm", 38.1),
    ("1 ½”", "length_mm", 38.1),
    ("½ in", "length_mm", 12.7),
    ("1⁄2 in", "length_mm", 12.7),
    ("2 3/8", "length_mm", 60.325),
    ("2-3/8", "length_mm", 60.325),
    ("2.375 in", "length_mm", 60.325),
    ("60 mm", "length_mm", 60.0),
    ("38mm", "length_mm", 38.0),
    ("38 MM", "length_mm", 38.0),
    ("5' 6\"", "length_mm", 1676.4),
    ("5’ 6”", "length_mm", 1676.4),
    ("5′-6 1/2″", "length_mm", 1689.1),
    ("5 ft 6 in", "length_mm", 1676.4),
    ("5' 6", "length_mm", 1676.4),
    ("5'6''", "length_mm", 1676.4),
    ("0,5 m", "length_mm", 500.0),
    (",5 m", "length_mm", 500.0),
    ("0,500 m", "length_mm", 500.0),
    ("88-1/2 in.", "length_mm", 2247.9),
    ("55 F", "temperature_C", 115 / 9),
    ("55 degF", "temperature_C", 115 / 9),
    ("55°F", "temperature_C", 115 / 9),
    ("-4 F", "temperature_C", -20.0),
    ("−4 °F", "temperature_C", -20.0),
    ("13 °C", "temperature_C", 13.0),
    ("13 ℃", "temperature_C", 13.0),
    ("9 F", "temperature_difference_K", 5.0),
    ("-3 K", "temperature_difference_K", -3.0),
    ("28 N/mm²", "stress_MPa", 28.0),
    ("90 min", "time_h", 1.5),
    ("3 d", "time_h", 72.0),
    ("1 d 6 h", "time_h", 30.0),
    ("2 h 30 min", "time_h", 2.5),
    ("60 %", "percent", 60.0),
    ("45 %", "fraction", 0.45),
    ("0.45", "fraction", 0.45),
    ("36 km/h", "speed_m_s", 10.0),
    ("0.5 m²K/W", "resistance_m2K_W", 0.5),
]


@pytest.mark.parametrize(("typed", "dimension", "expected"), TYPED)
def test_what_a_maker_types_is_read_in_the_unit_written_beside_it(
    typed: str, dimension: str, expected: float
) -> None:
    assert quantity.read("box", typed, dimension) == pytest.approx(expected, rel=1e-11)


# NIST Special Publication 811 (2008), appendix B.8, to the seven figures printed there.
NIST_SP_811 = [
    ("1 ft", "length_mm", 304.8),
    ("1 yd", "length_mm", 914.4),
    ("1 in", "length_mm", 25.4),
    ("1 ft2", "area_m2", 9.290304e-2),
    ("1 psi", "stress_MPa", 6.894757e-3),
    ("1 ksi", "stress_MPa", 6.894757),
    ("1 bar", "stress_MPa", 0.1),
    ("1 lb", "mass_kg", 4.535924e-1),
    ("1 oz", "mass_kg", 2.834952e-2),
    ("1 gal", "volume_l", 3.785412),
    ("1 qt", "volume_l", 9.463529e-1),
    ("1 pt", "volume_l", 4.731765e-1),
    ("1 cup", "volume_l", 2.365882e-1),
    ("1 fl oz", "volume_l", 2.957353e-2),
    ("1 in3", "volume_l", 1.638706e-2),
    ("1 ft3", "volume_l", 2.831685e1),
    ("1 yd3", "volume_l", 7.645549e2),
    ("1 imp gal", "volume_l", 4.54609),
    ("1 mph", "speed_m_s", 4.4704e-1),
    ("1 km/h", "speed_m_s", 2.777778e-1),
    ("1 kn", "speed_m_s", 5.144444e-1),
    ("1 hft2F/Btu", "resistance_m2K_W", 1.761102e-1),
    ("1 lb/ft3", "density_kg_m3", 1.601846e1),
    ("1 lb/yd3", "density_kg_m3", 5.932764e-1),
    ("1 g/cm3", "density_kg_m3", 1000.0),
    ("1 Btu/lb", "heat_kJ_kg", 2.326),
    ("1 cal/g", "heat_kJ_kg", 4.184),
    ("1 kcal/mol", "energy_kJ_mol", 4.184),
]


@pytest.mark.parametrize(("typed", "dimension", "published"), NIST_SP_811)
def test_conversion_factors_are_those_printed_by_nist(
    typed: str, dimension: str, published: float
) -> None:
    """Half a unit of the seventh figure is at most 5e-7; the page prints no more."""
    assert quantity.read("box", typed, dimension) == pytest.approx(published, rel=5e-7)


REFUSED = [
    ("1400", "length_mm", "unit is missing"),
    ("4,000 psi", "stress_MPa", "thousands or decimals"),
    ("38 psi", "length_mm", "no unit of this quantity"),
    ("38 mm", "temperature_C", "no unit of this quantity"),
    ("1/0 in", "length_mm", "over nought"),
    ("5' 14\"", "length_mm", "14 in after ft"),
    ("5 in 6 in", "length_mm", "two quantities"),
    ("1 2 in", "length_mm", "unit is missing"),
    ("", "length_mm", "not a quantity"),
    ("thick", "length_mm", "not a quantity"),
    ("9**9**9", "length_mm", "no unit"),
    ("1e3 mm", "length_mm", "no unit"),
    ("٣٨ mm", "length_mm", "not a quantity"),
    ("3.5.2 in", "length_mm", "no unit"),
    ("1" * 61, "length_mm", "longer than 60"),
    (float("nan"), "length_mm", "not a finite"),
    (float("inf"), "length_mm", "not a finite"),
    (10**400, "length_mm", "not a finite"),
    (True, "length_mm", "neither a number"),
    (None, "length_mm", "neither a number"),
    ([38], "length_mm", "neither a number"),
]


@pytest.mark.parametrize(("typed", "dimension", "wrong"), REFUSED)
def test_anything_else_is_refused_with_the_field_and_an_example(
    typed: object, dimension: str, wrong: str
) -> None:
    with pytest.raises(InputError) as refused:
        quantity.read("piece.length_mm", typed, dimension)
    assert refused.value.field == "piece.length_mm"
    assert wrong in refused.value.wrong
    assert refused.value.allowed


def test_every_example_offered_in_a_refusal_can_itself_be_typed() -> None:
    for dimension, row in DIMENSIONS.items():
        for example in row.examples.replace(" or ", ", ").split(", "):
            quantity.read("box", example, dimension)


def test_the_unit_beside_the_box_is_used_only_when_the_text_has_none() -> None:
    assert quantity.read("box", "38", "length_mm", bare_unit="mm") == 38.0
    assert quantity.read("box", "55", "temperature_C", bare_unit="degF") == pytest.approx(115 / 9)
    assert quantity.read("box", "2 in", "length_mm", bare_unit="mm") == 50.8


def test_a_fraction_without_unit_is_inches_even_beside_a_millimetre_box() -> None:
    assert quantity.read("box", "2 3/8", "length_mm", bare_unit="mm") == 60.325


def test_ten_thousand_random_texts_raise_nothing_but_the_input_error() -> None:
    chance = random.Random(20261125)
    alphabet = string.printable + "½⅓⅟′″’”“°º²³·−–⁄٣\u00a0\x00é漢"
    bits = ["1", "1/2", " ", "-", "in", "ft", "'", '"', "F", ",", ".", "mm", "½", "d", "h"]
    read = 0
    for k in range(10_000):
        pool = alphabet if k % 2 else bits
        typed = "".join(chance.choice(pool) for _ in range(chance.randrange(0, 12)))
        dimension = chance.choice(list(DIMENSIONS))
        try:
            quantity.read("box", typed, dimension)
        except InputError:
            continue
        read += 1
    assert read > 20  # some of them are quantities after all


@given(st.text(max_size=80), st.sampled_from(sorted(DIMENSIONS)))
def test_any_text_is_a_finite_number_or_an_input_error(typed: str, dimension: str) -> None:
    try:
        got = quantity.read("box", typed, dimension)
    except InputError:
        return
    assert abs(got) < 1e80


@given(st.floats(0.0, 6000.0), st.sampled_from(["metric", "us"]))
def test_a_length_shown_and_typed_again_is_the_same_within_half_the_shown_step(
    length_mm: float, system: str
) -> None:
    for text in quantity.show(length_mm, "length_mm", system).split(" = "):
        again = quantity.read("box", text.removeprefix("about "), "length_mm")
        half = 0.05 if text.endswith("mm") else 25.4 / 32
        assert abs(again - length_mm) <= half + 1e-9
        if not text.startswith("about "):
            assert again == pytest.approx(length_mm, rel=2e-6, abs=1e-4)


@pytest.mark.parametrize(
    ("value", "dimension", "system", "text"),
    [
        (38.1, "length_mm", "metric", "38.1 mm = 1 1/2 in"),
        (38.1, "length_mm", "us", "1 1/2 in = 38.1 mm"),
        (38.0, "length_mm", "metric", "38 mm = about 1 1/2 in"),
        (38.17, "length_mm", "metric", "about 38.2 mm = about 1 1/2 in"),
        (304.8, "length_mm", "metric", "304.8 mm = 12 in"),
        (3.175, "length_mm", "metric", "about 3.2 mm = 1/8 in"),
        (10.0, "temperature_C", "metric", "10 degC = 50 degF"),
        (-1.0, "temperature_C", "us", "30.2 degF = -1 degC"),
        (28.0, "stress_MPa", "metric", "28 MPa = about 4061 psi"),
        (0.45, "fraction", "metric", "0.45 = 45 %"),
        (1.5, "time_h", "us", "1.5 h"),
        (0.0, "length_mm", "metric", "0 mm = 0 in"),
    ],
)
def test_a_value_is_shown_both_ways_and_says_about_where_it_is_rounded(
    value: float, dimension: str, system: str, text: str
) -> None:
    assert quantity.show(value, dimension, system) == text
