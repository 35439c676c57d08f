"""Heated hours, what heats, humidity, bags, water and board in a scenario file."""

from datetime import time
from pathlib import Path

import numpy as np
import pytest

from models.concrete import prior as priors
from models.errors import InputError
from service import scenario_file

TEXT = """
[place]
kind = "heated room"
setpoint_C = 18
latitude = 44
longitude = -92
timezone = "America/Chicago"
heated_hours = ["07:00", "18:00"]
heater = "electric"
hollow = "a hollow"
looks = "north"
[mix]
class = "glass-fibre"
polymer_pct = "5 %"
cement_class = "42.5R"
colour = "dark"
[piece]
shape = "panel"
length_mm = 1000
width_mm = 500
thickness_mm = 50
[pour]
at = 2026-01-14T19:00:00-06:00
bag_C = 4
water_C = "120 F"
board_C = -2
[[pour.protection]]
kind = "heated enclosure"
from_h = 1
to_h = 40
setpoint_C = 15
heater = "unvented"
[[reading]]
at = 2026-01-14T23:00:00-06:00
kind = "humidity"
rh_pct = 85
"""


def read(folder: Path, text: str) -> scenario_file.ScenarioFile:
    file = folder / "room.toml"
    file.write_text(text, encoding="utf-8")
    return scenario_file.read(file)


def refused_field(folder: Path, text: str) -> str:
    with pytest.raises(InputError) as refused:
        read(folder, text)
    return refused.value.field


def test_a_scenario_file_tells_them_all(tmp_path: Path) -> None:
    told = read(tmp_path, TEXT).scenario
    assert told.site.heated_hours == (time(7), time(18))
    assert told.site.heater == "electric"
    assert (told.site.hollow, told.site.looks) == ("a hollow", "north")
    assert told.mixture.polymer_pct == 5
    assert (told.mixture.cement_class, told.mixture.colour) == ("42.5R", "dark")
    assert told.coverings[0].heater == "unvented"
    assert (told.coverings[0].from_h, told.coverings[0].to_h) == (1, 40)
    assert told.placement.bag_C == 4
    assert told.placement.water_C == pytest.approx(48.89, abs=0.01)
    assert told.placement.board_C == -2
    assert (told.observations[0].kind, told.observations[0].value) == ("humidity", 85)


SACKS = """
[place]
kind = "covered"
[mix]
class = "general-purpose"
bag_kg = "80 lb"
bags = 3
water_l = "2.5 gal"
[piece]
shape = "panel"
length_mm = 1000
width_mm = 500
thickness_mm = 50
[pour]
at = 2026-05-14T19:00:00-06:00
"""


def test_water_by_the_bucket_gives_the_ratio(tmp_path: Path) -> None:
    """2.5 US gal are 9.464 l; the class has 330 kg of cement in 2300 kg of concrete."""
    told = read(tmp_path, SACKS).scenario.mixture
    cement_kg = 330.0 * (3 * 36.287 + 9.464) / 2300.0
    assert told.water_cement == pytest.approx(9.464 / cement_kg, rel=1e-3)
    assert "water_cement" not in told.resolved().assumed
    wet = read(tmp_path, SACKS.replace("2.5 gal", "3 gal")).scenario.mixture
    strong, weak = (np.median(priors.draw(one, 64, 1).strength_28d_MPa) for one in (told, wet))
    assert weak < 0.9 * strong


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ("bags = 3", "", "mix.water_l"),
        ('water_l = "2.5 gal"', "", "mix.bags"),
        ('bag_kg = "80 lb"', "", "mix.bag_kg"),
        ('"2.5 gal"', '"8 gal"', "mix.water_l"),
        ("bags = 3", "bags = 0", "mix.bags"),
        ("bags = 3", "bags = 3\nwater_cement = 0.5", "mix.water_cement"),
    ],
)
def test_water_by_the_bucket_that_tells_no_ratio_is_refused(
    tmp_path: Path, old: str, new: str, field: str
) -> None:
    assert refused_field(tmp_path, SACKS.replace(old, new)) == field


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ('heater = "electric"', 'heater = "stove"', "place.heater"),
        ('["07:00", "18:00"]', '["07:00", "07:00"]', "place.heated_hours"),
        ('heater = "unvented"', 'heater = "fire"', "pour.protection[0].heater"),
        ("rh_pct = 85", "rh_pct = 140", "reading[0].rh_pct"),
        ("rh_pct = 85", "value = 85", "reading[0].rh_pct"),
        ("rh_pct = 85", "rh_pct = 85\nvalue = 3", "reading[0].value"),
        ('kind = "humidity"', 'kind = "air"', "reading[0].rh_pct"),
        ('"42.5R"', '"42.5X"', "mix.cement_class"),
        ('"dark"', '"mauve"', "mix.colour"),
        ('"north"', '"up"', "place.looks"),
        ("board_C = -2", "board_C = 300", "pour.board_C"),
    ],
)
def test_what_cannot_be_is_refused_by_its_key(
    tmp_path: Path, old: str, new: str, field: str
) -> None:
    assert refused_field(tmp_path, TEXT.replace(old, new)) == field
