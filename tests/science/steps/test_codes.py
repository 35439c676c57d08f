"""ACI in the Americas, EN elsewhere; cold weather is a chance: half a kelvin moves it little."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete.mixture import Mixture
from models.errors import InputError
from models.facts.codes import CODES
from models.piece.shape import Shape
from models.planning import pour_check, watch
from models.simulation.scenario import Placement, Scenario, ShopRules
from models.steps import place as placing

ASKED = datetime(2026, 3, 10, 15, tzinfo=UTC)


def weather(low_C: float) -> AirSeries:
    """Days of a low and a high 8 K over it."""
    t = np.arange(72 + 12 * 24)
    air = low_C + 4.0 + 4.0 * np.sin(2 * np.pi * (t - 3) / 24)
    same = np.ones_like(air)
    dry, calm, none, clouds, sun = air - 4, 2.0 * same, 0.0 * same, 0.5 * same, np.nan * same
    return AirSeries(ASKED - 72 * HOUR, air, dry, calm, none, clouds, sun, ASKED, "made up")


def bench(code: str | None, mix_C: float = 12.0) -> Scenario:
    return Scenario(
        "bench",
        Site("covered", 44.0, 0.0),
        Mixture("general-purpose"),
        Shape("panel", 1500, 420, 60),
        Placement(ASKED, mix_C),
        rules=ShopRules(code=code),
    )


def too_cold(code: str, low_C: float, mix_C: float = 12.0) -> float:
    """Chance that it is too cold to place, bare."""
    answer = pour_check.check(bench(code, mix_C), weather(low_C), ASKED, only=ASKED)
    bare = next(o for o in answer.options if o.protection.code == "way_bare")
    return next(r.probability for r in bare.risks if r.risk == watch.COLD)


@pytest.mark.parametrize(
    ("zone", "latitude", "longitude", "code"),
    [
        ("America/Chicago", 44.9, -93.1, "ACI"),
        ("America/Chicago", None, None, "ACI"),
        ("Pacific/Honolulu", None, None, "ACI"),
        ("UTC", 41.5, -74.0, "ACI"),
        ("Europe/Oslo", 59.9, 10.7, "EN"),
        ("Asia/Tokyo", 35.7, 139.7, "EN"),
        ("UTC", None, None, "EN"),
    ],
)
def test_the_region_of_the_place_chooses_and_the_shop_may(
    zone: str, latitude: float | None, longitude: float | None, code: str
) -> None:
    there = replace(bench(None), site=Site("covered", latitude, longitude, timezone=zone))
    assert there.code.key == code
    for chosen in CODES:
        assert replace(there, rules=ShopRules(code=chosen)).code.key == chosen


def test_another_code_is_refused() -> None:
    with pytest.raises(InputError, match="code"):
        ShopRules(code="BS")


def test_cold_weather_begins_at_40_f_and_not_five_degrees_early() -> None:
    """A mix of 12 degC with a low of 9.0 was certain to be too cold, at 9.5 never."""
    assert too_cold("ACI", 9.0) < 0.25
    assert too_cold("ACI", 0.0) > 0.9
    for low_C in np.arange(0.0, 10.0, 0.5):
        warmer, colder = too_cold("ACI", low_C + 0.5), too_cold("ACI", low_C)
        assert warmer <= colder + 1e-9
        assert colder - warmer < 0.25, low_C


def test_en_asks_5_degc_of_the_concrete_and_10_in_air_under_minus_3() -> None:
    """betontechnische-daten.de 10.3 (DIN 1045-3)."""
    for air_C, least_C in ((6.0, 5.0), (4.9, 5.0), (-3.0, 5.0), (-3.1, 10.0)):
        assert placing.least_placed_C(CODES["EN"], 60.0, air_C) == least_C
    assert too_cold("EN", 1.0) < 0.05
    assert too_cold("EN", 1.0, mix_C=4.0) > 0.9


def test_a_piece_bears_frost_later_by_en_and_both_figures_are_told() -> None:
    freezing = {}
    for code in CODES:
        answer = pour_check.check(bench(code, 14.0), weather(-3.0), ASKED, only=ASKED)
        bare = next(o for o in answer.options if o.protection.code == "way_bare")
        freezing[code] = bare.frost_chance
        differ = next(c for c in answer.cautions if c.code == "codes_differ")
        assert {differ.values["frost_MPa"], differ.values["other_frost_MPa"]} == {3.5, 5.0}
        assert differ.values["code"] == code
    assert freezing["EN"] is not None
    assert freezing["ACI"] is not None
    assert freezing["EN"] >= freezing["ACI"]
